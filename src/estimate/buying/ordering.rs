//! The order of one alternative: what it needs, with what is made up from other parts, and where all of it is bought.
//! Nothing is written down but what is decided. Called by [`super::buy`], and where whole orders are compared.

use rust_decimal::Decimal;

use super::Market;
use super::ask::OrderBuilder;
use super::coupling_iteration::{Needed, Order, iterate};
use super::extra_couplings::{add, add_to_needs};
use super::matching::describes;
use crate::estimate::needs::needs;
use crate::estimate::ranking::ranks;
use crate::estimate::takeoff::{Need, PartOf, Piece, Takeoff};
use crate::estimate::{Given, ItemId, Items, Opening, PieceEnd, Substitute};
use crate::ground::{Length, LengthUnit};
use crate::trade::{Class, MeantFor, OnHand, Substitutes};

/// What an alternative needs, and what of it is so because fittings are made up.
pub(super) struct ToBuy {
    needed: Needed,
    by_substitution: Vec<(ItemId, Decimal)>,
    /// What is given before anything is bought.
    given: Vec<Given>,
}

impl ToBuy {
    /// What a takeoff needs, with what its fittings are made up from.
    pub(super) fn of(builder: &OrderBuilder<'_>, takeoff: &Takeoff) -> Self {
        let (market, items, substitutes) = (builder.market, builder.items, builder.substitutes);
        let unit = market.settings.units;
        let (ranks, mut needs) = needs_in_order(market, items, takeoff);
        let by_substitution = by_substitution(substitutes, unit);
        let made_up: Vec<Need> = needs
            .iter()
            .filter(|need| substitutes.iter().any(|one| one.item == need.item))
            .copied()
            .collect();
        add_to_needs(&mut needs, &by_substitution, &made_up);
        no_later(&mut needs, substitutes, &made_up);
        needs.sort_by_key(|need| ranks[need.item.0 as usize]);
        let given = given(builder, &needs);
        let (tubes, others) = needs.into_iter().partition(|need| items.get(need.item).is_length());
        let pieces = takeoff.pieces.iter().chain(substitutes.iter().flat_map(|one| &one.cut));
        let pieces = pieces.map(|piece| beside_made_up(items, substitutes, piece));
        let pieces = pieces_by_item(items, pieces);
        Self { needed: Needed { tubes, others, pieces, ranks }, by_substitution, given }
    }

    /// Where all of it is bought.
    pub(super) fn order<'a>(&'a self, builder: &OrderBuilder<'a>) -> Order<'a> {
        let mut order = iterate(builder, &self.needed);
        order.plan.given.extend(&self.given);
        order.plan.given.sort_unstable();
        for (_, settled) in &mut order.lines {
            let of_item = |sums: &[(ItemId, Decimal)]| {
                let of_item = sums.iter().filter(|(item, _)| *item == settled.line.item);
                of_item.map(|(_, sum)| *sum).sum::<Decimal>()
            };
            settled.line.by_plan += of_item(&order.added) + of_item(&self.by_substitution);
        }
        order.plan.not_priced = order.not_priced();
        order
    }
}

/// The place of every item in the order shown, and what a takeoff needs in that order.
pub(super) fn needs_in_order(market: &Market<'_>, items: &Items, takeoff: &Takeoff) -> (Vec<u32>, Vec<Need>) {
    let ranks = ranks(market.lexicon, market.catalog, items);
    let mut needs = needs(market.catalog, items, market.settings.units, &takeoff.lines);
    needs.sort_by_key(|need| ranks[need.item.0 as usize]);
    (ranks, needs)
}

/// What is given before anything is bought: how fittings are made up, and which line takes what is on hand.
fn given(builder: &OrderBuilder<'_>, needs: &[Need]) -> Vec<Given> {
    let OrderBuilder { market, items, .. } = builder;
    // Where what is sold may be made up as well, buying it was a choice among the same ways.
    let fittings = || needs.iter().any(|need| items.get(need.item).class == Class::Fitting);
    let is_made_up = !builder.substitutes.is_empty()
        || (market.settings.substitutes == Substitutes::Cheaper && fittings());
    let fits_several = |stock: &OnHand| {
        let meant_for = MeantFor { systems: &stock.systems, variant: stock.variant, color: stock.color };
        let fits = needs.iter().filter(|need| {
            let item = items.get(need.item);
            stock.length.is_some() == item.is_length()
                && describes(market, stock.part, &stock.sizes, &meant_for, item)
        });
        fits.count() > 1
    };
    let is_shared = market.job.on_hand.iter().any(|stock| !stock.in_error && fits_several(stock));
    let given = [(Given::MadeUp, is_made_up), (Given::Shelf, is_shared)];
    given.into_iter().filter(|(_, is_so)| *is_so).map(|(given, _)| given).collect()
}

/// What making up fittings adds to each item: minus the fitting, plus what it is made up from.
fn by_substitution(substitutes: &[Substitute], unit: LengthUnit) -> Vec<(ItemId, Decimal)> {
    let mut sums = Vec::new();
    for one in substitutes {
        add(&mut sums, one.item, -Decimal::from(one.count));
        let mut parts: Vec<ItemId> =
            one.of.iter().map(|(item, _)| *item).chain(one.cut.iter().map(|piece| piece.item)).collect();
        parts.sort_unstable();
        parts.dedup();
        for item in parts {
            add(&mut sums, item, one.takes(item, unit));
        }
    }
    sums
}

/// What a fitting is made up from is needed no later than the fitting.
fn no_later(needs: &mut [Need], substitutes: &[Substitute], made_up: &[Need]) {
    for one in substitutes {
        let Some(fitting) = made_up.iter().find(|need| need.item == one.item) else { continue };
        let parts = one.of.iter().map(|(item, _)| *item).chain(one.cut.iter().map(|piece| piece.item));
        for part in parts {
            for need in needs.iter_mut().filter(|need| need.item == part) {
                need.phase = need.phase.min(fitting.phase);
            }
        }
    }
}

/// A piece as it is cut where fittings are made up: how far tube stops from the center of what is made up is not known.
fn beside_made_up(items: &Items, substitutes: &[Substitute], piece: &Piece) -> Piece {
    let is_made_up = |of: &Opening| {
        let mut made_up = substitutes.iter().map(|one| items.get(one.item));
        made_up.any(|item| {
            let of_system = item.system.is_none_or(|system| system == of.system);
            (item.part, item.sizes) == (of.part, of.fitting) && of_system
        })
    };
    let mut piece = *piece;
    for end in &mut piece.cut.ends {
        if let Some(of) = end.opening().copied().filter(is_made_up) {
            *end = PieceEnd::NotKnown(Some(of));
            piece.cut.as_cut = None;
        }
    }
    piece
}

/// The pieces of every item, by item id.
fn pieces_by_item(items: &Items, pieces: impl Iterator<Item = Piece>) -> Vec<Vec<Piece>> {
    let mut by_item = vec![Vec::new(); items.len()];
    for piece in pieces.filter(|piece| piece.copies > 0 && piece.length > Length::ZERO) {
        // What the takeoff parts at the stock length is one piece again: the plan parts it where that costs least.
        let whole = match piece.part {
            PartOf::Itself => piece,
            PartOf::Lengths => continue,
            PartOf::Rest(length) => Piece { length, ..piece },
        };
        if let Some(list) = by_item.get_mut(piece.item.0 as usize) {
            list.push(whole);
        }
    }
    by_item
}
