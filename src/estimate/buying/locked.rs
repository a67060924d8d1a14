//! Locked choices: what the table `held` keeps for each item, and how it names offers and what a fitting is made up from.

use super::Market;
use super::lot::Lot;
use super::matching::{describes, find_lot};
use crate::estimate::{Item, Items, OfferId, Substitute};
use crate::ground::LengthUnit;
use crate::ground::name::fold;
use crate::trade::{Held, MeantFor, Pack, PricedPer, Sides, SoldAs, Word};

/// What stands before the parts in the table `held` where a fitting is made up.
const MADE_UP_FROM: &str = "made up from ";

/// The choices that are locked for an item in one alternative.
#[derive(Default)]
pub(super) struct Locked {
    /// Those that can be bought.
    pub(super) choices: Vec<Choice>,
    /// Rows whose offer cannot be bought for the item now, by their index, each with what it names, folded: an offer, or
    /// what the fitting is made up from.
    pub(super) lost: Vec<(usize, String)>,
    /// All rows of the table that speak of the item, whether they count or not.
    pub(super) rows: Vec<usize>,
}

/// An offer that is locked for an item.
pub(super) struct Choice {
    /// The row of the table `held`, by its index.
    pub(super) row: usize,
    pub(super) lot: Lot,
    /// So many packs; nothing where the row leaves it open.
    pub(super) packs: Option<u64>,
    /// Whether of the smallest packs too so many are bought, even where fewer would do.
    pub(super) at_least: bool,
}

impl Locked {
    /// The choices of an item, each offer once (the last row counts). The day of an offer is not judged: it was chosen.
    /// Where rows name the alternative, those that name none do not count. A row that names none but a system speaks of
    /// an item without one in the alternative of that system only.
    pub(super) fn of(market: &Market<'_>, alternative: Sides, item: &Item) -> Self {
        let own = alternative.name;
        let of_a_side = |systems: &[Word]| {
            let sides = [Some(alternative.water), alternative.drain].into_iter().flatten();
            sides.into_iter().any(|system| market.catalog.takes_in(systems, system))
        };
        let speaks = |held: &Held| {
            let systems: &[Word] = if held.system.is_empty() { &[] } else { &[held.system] };
            let meant_for = MeantFor { systems, variant: held.variant, color: held.color };
            let of_alternative = match held.alternative {
                Word::EMPTY => item.system.is_some() || of_a_side(systems),
                named => named == own,
            };
            !held.in_error && of_alternative && describes(market, held.part, &held.sizes, &meant_for, item)
        };
        let rows: Vec<(usize, &Held)> =
            market.job.held.iter().enumerate().filter(|(_, held)| speaks(held)).collect();
        let is_named = rows.iter().any(|(_, held)| held.alternative == own);
        let mut locked = Self { rows: rows.iter().map(|(row, _)| *row).collect(), ..Self::default() };
        for (row, held) in rows.into_iter().filter(|(_, held)| !is_named || held.alternative == own) {
            let wanted = fold(&held.offer);
            let mut offers: Vec<OfferId> = market.offers_called(item).to_vec();
            offers.retain(|id| fold(&market.kept_as(*id)) == wanted);
            offers.sort_by(|a, b| market.in_order(*a, *b));
            let Some(lot) = offers.into_iter().find_map(|id| find_lot(market, id, item)) else {
                locked.lost.push((row, wanted));
                continue;
            };
            locked.choices.retain(|choice| choice.lot.offer != lot.offer);
            let (packs, at_least) = (held.packs.map(u64::from), fold(&held.plan) == "at least");
            locked.choices.push(Choice { row, lot, packs, at_least });
        }
        locked
    }

    /// What the last row says that the fitting is made up from, folded, where it says so.
    pub(super) fn substitute(&self) -> Option<&str> {
        let (_, last) = self.lost.last()?;
        (self.choices.is_empty() && last.starts_with(MADE_UP_FROM)).then_some(last)
    }
}

impl Market<'_> {
    /// How the table `held` says that a fitting is made up, and from what.
    pub(crate) fn made_up_as(&self, items: &Items, substitute: &Substitute) -> String {
        made_up_from(&substitute.in_words(self.lexicon, self.catalog, items))
    }

    /// How the table `held` names an offer of an item: supplier, how it is sold, and its code where it has one.
    /// `Fennwick Supply, coil of 100 ft, F-4121`.
    pub fn kept_as(&self, id: OfferId) -> String {
        let offer = self.offer(id);
        let sold = match (offer.sold_as, offer.pack) {
            (SoldAs::Each, _) => match offer.per {
                PricedPer::Length(_) => String::from("loose"),
                PricedPer::Each | PricedPer::Pack | PricedPer::Many(_) => String::from("each"),
            },
            (sold_as, pack) => format!("{} of {}", way(sold_as), holds(pack)),
        };
        let mut text = format!("{}, {sold}", self.lexicon.text(offer.supplier));
        if !offer.code.is_empty() {
            text.push_str(", ");
            text.push_str(&offer.code);
        }
        text
    }
}

/// How the table `held` says what a fitting is made up from.
pub(super) fn made_up_from(parts: &str) -> String {
    format!("{MADE_UP_FROM}{parts}")
}

fn way(sold_as: SoldAs) -> &'static str {
    match sold_as {
        SoldAs::Coil => "coil",
        SoldAs::Stick => "stick",
        SoldAs::Bag => "bag",
        SoldAs::Each => "each",
    }
}

fn holds(pack: Pack) -> String {
    match pack {
        Pack::Count(count) => count.to_string(),
        Pack::Amount(amount) => amount.normalize().to_string(),
        Pack::Length(length) => {
            // In whichever unit is the rounder.
            let metres = length.nanometres() % LengthUnit::Foot.nanometres() != 0;
            let unit = if metres { LengthUnit::Metre } else { LengthUnit::Foot };
            format!("{} {}", length.shown(unit).normalize(), unit.abbreviation())
        }
    }
}
