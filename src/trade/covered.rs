//! Which water systems the price lists of a job cover: `compare with | priced` compares those.
//!
//! A system is covered where its tube is offered in every size that the run list has for runs that name no system, tails
//! among them, by any offer whatever its day. What else a system lacks shows when it is taken off and bought: it is then
//! shown, and not ranked.

use std::collections::BTreeSet;

use super::catalog::Catalog;
use super::fits::Thing;
use super::lexicon::Word;
use super::price_list::PriceList;
use super::run::Run;
use super::system::{Side, SystemId};

/// The water systems that the price lists cover, in the order of the table of systems.
pub(super) fn covered(catalog: &Catalog, prices: &PriceList, runs: &[Run]) -> Vec<Word> {
    let free = runs.iter().filter(|run| run.system.is_empty() && is_water(run));
    let sizes: BTreeSet<Word> = free.flat_map(|run| std::iter::once(run.size).chain(run.reduce_to)).collect();
    let systems = (0_u32..).zip(&catalog.systems).filter(|(_, system)| system.side == Side::Water);
    systems
        .filter(|(id, system)| {
            let tube = Thing { system: Some(SystemId(*id)), variant: system.variant, color: Word::EMPTY };
            let offered = |size: &Word| {
                prices.offers.iter().any(|offer| {
                    !offer.in_error
                        && catalog.is_tube(offer.part)
                        && *offer.sizes == [*size]
                        && catalog.fits(&offer.meant_for(), &tube)
                })
            };
            !sizes.is_empty() && sizes.iter().all(offered)
        })
        .map(|(_, system)| system.name)
        .collect()
}

fn is_water(run: &Run) -> bool {
    use super::run::Service;
    match run.service {
        Service::Cold | Service::Hot | Service::Mixed | Service::Return => true,
        Service::Drain | Service::Vent => false,
    }
}
