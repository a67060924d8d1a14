//! Price lists: one offer of one supplier a row.

use std::cmp::Ordering;
use std::collections::{BTreeSet, HashMap};

use rust_decimal::Decimal;

use super::catalog::Catalog;
use super::catalog::fits::{MeantFor, Thing};
use super::catalog::part::{Class, PartId};
use super::catalog::system::{System, SystemId};
use super::lexicon::{Lexicon, Word};
use super::pack::{self, Kind, Pack, PricedPer, SoldAs, Wrong};
use super::reading::{MOST_COUNTED, Reading, Row, Text, is_beyond, parts};

use super::run::{Run, Side};
use super::shape::table;
use crate::ground::name::natural;
use crate::ground::notice::{Finding, error, findings, remark};
use crate::ground::{Date, LengthUnit, RowAt};
use crate::table::{Quoted, TableFile};

mod priced;

use priced::{OtherCurrency, Price};

table! {
    /// The table `prices`.
    PRICES = "prices", Noticed, Column;
    /// A row of a price list.
    Offer(in_error) given asked: &Asked {
        supplier: Word = "supplier", required, Text, "who sells it; once is enough in a list that is of one supplier";
            |row, at| row.word(at);
        part: Word = "part", required, Text, "what it is, by any name of the part";
            |row, at| { row.needed(at); row.word_of_any_length(at) };
        sizes: Box<[Word]> = "size", required, Size,
            "its sizes in reading order: 3/4, 1 x 3/4 x 1/2; empty for what has none";
            |row, at| row.sizes(at);
        price: Decimal = "price", required, Number,
            "the price before discount: 7.10, $7.10, 1,234.50, 41.30/C; a row with n/a, no bid or -, or with neither price nor code nor day, is not offered";
            |row, _| asked.price.sum(row);
        systems: Box<[Word]> = "system" ["systems"], optional, Text,
            "systems, tube families or fits it is for, parted by semicolons; empty: any";
            |row, at| row.words(at);
        variant: Word = "variant", optional, Text, "which one of its kind: type L; empty: any";
            |row, at| row.word(at);
        color: Word = "color" ["colour"], optional, Text, "red or blue, where tube is sold by color; empty: any";
            |row, at| row.word(at);
        code: Text = "code", optional, Text, "the supplier's own code";
            |row, at| row.kept(at);
        description: Text = "description", optional, Text, "the supplier's own words";
            |row, at| row.kept(at);
        sold_as: SoldAs = "sold as", optional, Text, "coil, stick, bag or each; empty: each, or bag with a pack";
            |_, _| asked.sold.0;
        pack: Pack = "pack", optional, Text,
            "what one coil, stick or bag holds: 100 ft, 25, bag of 25, 1 lb; C is 100, M 1000";
            |_, _| asked.sold.1;
        per: PricedPer = "per", optional, Text,
            "what the price is for: each, pack, ft, m, 100 or 1000; C is a hundred and M a thousand, of tube in feet; empty: the pack, or each";
            |row, _| asked.price.per(row, asked.kind, &asked.ways);
        discount: Box<[Decimal]> = "discount", optional, Discount, "percent off, one after the other: 25+15";
            discount;
        breaks: Box<[(i64, Decimal)]> = "breaks", optional, Text, "prices from a number of packs up: 10: 3.20; 50: 2.90";
            breaks;
        low: Option<Decimal> = "low", optional, Number, "the lowest price seen: a price below is doubtful";
            |row, at| row.sum_from_zero(at);
        high: Option<Decimal> = "high", optional, Number, "the highest price seen: a price above is doubtful";
            |row, at| row.sum_from_zero(at);
        good_from: Option<Date> = "good from", optional, Date, "the first day it is good";
            |row, at| row.date(at);
        good_until: Option<Date> = "good until", optional, Date, "the last day it is good";
            |row, at| row.date(at);
        returnable: Option<bool> = "returnable", optional, YesNo, "whether unopened packs may go back";
            |row, at| row.yes_no(at);
    } unread {
        need = "need in all", optional, Text, "of a request for quotes: the length of tube needed, in whatever coils or sticks; changes nothing";
        asked = "quantity", optional, Text, "of a request for quotes: how much was asked for; changes nothing";
        unit = "unit", optional, Text, "of a request for quotes: the unit of the quantity; changes nothing, but for C and M, which the price is for then";
        section = "section", optional, Text, "of a request for quotes: where a store keeps it; changes nothing";
        shelf = "on hand", optional, Text, "of a request for quotes: what is on hand and not taken off the need yet; changes nothing";
        with = "asked for", optional, Text, "of a request for quotes: the bid, or the system or alternate that alone needs it; changes nothing";
        estimate = "estimate", optional, Text, "of a request for quotes: whether the estimate is complete; changes nothing";
    }
}

/// What the cells of an offer decide together.
pub(super) struct Asked {
    price: Price,
    kind: Kind,
    /// How it is sold, and what one of it holds.
    sold: (SoldAs, Pack),
    /// The ways in which it may be sold: only what goes with none of them is wrong by itself.
    ways: Vec<SoldAs>,
}

impl Offer {
    /// What it says that it is for.
    pub fn meant_for(&self) -> MeantFor<'_> {
        MeantFor { systems: &self.systems, variant: self.variant, color: self.color }
    }

    /// The offer in the words of another lexicon.
    pub(super) fn in_words_of(&self, from: &Lexicon, into: &mut Lexicon, row: RowAt) -> Self {
        let mut word = |word: Word| into.word(from.text(word));
        Self {
            row,
            supplier: word(self.supplier),
            part: word(self.part),
            sizes: self.sizes.iter().map(|size| word(*size)).collect(),
            systems: self.systems.iter().map(|system| word(*system)).collect(),
            variant: word(self.variant),
            color: word(self.color),
            ..self.clone()
        }
    }
}

/// All offers of all price lists of a job.
#[derive(Debug, Clone, Default)]
pub struct PriceList {
    /// In the order of supplier, part, size, row; the id of an offer is its index.
    pub offers: Vec<Offer>,
    /// Changes of price that are tried and stand in no list: `tube, copper +12 %`. Empty: the prices are real.
    pub tried: Vec<Box<str>>,
}

impl PriceList {
    /// The offers of several lists in their order.
    pub(super) fn of(mut offers: Vec<Offer>, lexicon: &Lexicon) -> Self {
        let by = |a: Word, b: Word| match a == b {
            true => Ordering::Equal,
            false => natural(lexicon.text(a), lexicon.text(b)),
        };
        let by_sizes = |a: &Offer, b: &Offer| {
            let pairs = a.sizes.iter().zip(&b.sizes).map(|(a, b)| by(*a, *b));
            pairs.fold(Ordering::Equal, Ordering::then).then(a.sizes.len().cmp(&b.sizes.len()))
        };
        offers.sort_by(|a, b| {
            by(a.supplier, b.supplier)
                .then_with(|| by(a.part, b.part))
                .then_with(|| by_sizes(a, b))
                .then_with(|| a.row.cmp(&b.row))
        });
        Self { offers, tried: Vec::new() }
    }

    /// The water systems that the lists cover, in the order of the table of systems: those whose tube is offered in every
    /// size that the run list has for runs that name no system, tails among them, by any offer whatever its day. What
    /// else a system lacks shows when it is taken off and bought: it is then shown, and not ranked.
    pub(super) fn covered(&self, catalog: &Catalog, runs: &[Run]) -> Vec<Word> {
        let free = runs.iter().filter(|run| run.system.is_empty() && run.service.is_water());
        let sizes: BTreeSet<Word> =
            free.flat_map(|run| std::iter::once(run.size).chain(run.reduce_to)).collect();
        let systems = (0_u32..).zip(&catalog.systems).filter(|(_, system)| system.side == Side::Water);
        let is_covered = |(id, system): &(u32, &System)| {
            let tube = Thing { system: Some(SystemId(*id)), variant: system.variant, color: Word::EMPTY };
            let offered = |size: &Word| {
                self.offers.iter().any(|offer| {
                    !offer.in_error
                        && catalog.is_tube(offer.part)
                        && *offer.sizes == [*size]
                        && catalog.fits(&offer.meant_for(), &tube)
                })
            };
            !sizes.is_empty() && sizes.iter().all(offered)
        };
        systems.filter(is_covered).map(|(_, system)| system.name).collect()
    }
}

/// Reads a price list over a catalog, which says what a pack of a part holds; rows in error stay in it.
pub(super) fn read(file: &TableFile, reading: &mut Reading, catalog: &Catalog) -> Vec<Offer> {
    let units = units(catalog);
    let mut offers = Vec::new();
    let bare = reading.bare;
    let (mut suppliers, mut not_offered) = (BTreeSet::new(), Vec::new());
    let mut foreign = OtherCurrency::default();
    reading.read(file, &PRICES, |row| {
        suppliers.extend(Some(row.word(Column::supplier)).filter(|word| !word.is_empty()));
        let price = Price::of(row);
        if matches!(price, Price::NotOffered) || is_not_offered(row) {
            not_offered.push(row.at());
            return;
        }
        foreign.meet(&price, row);
        let kind = kind(row.word(Column::part), catalog, &units);
        let way = sold(row, kind, bare);
        let sold = way.unwrap_or((SoldAs::Each, Pack::Count(1)));
        let ways = way.map_or_else(|| vec![SoldAs::Bag, SoldAs::Each], |(sold, _)| vec![sold]);
        let asked = Asked { price, kind, sold, ways };
        let mut offer = Offer::read(row, &asked);
        priced::range(row, &asked.price, offer.low, offer.high);
        days(row, &offer);
        offer.in_error = row.in_error();
        offers.push(offer);
    });
    if let Some(at) = not_offered.first() {
        reading.trouble(*at, "price", not_offered_rows(not_offered.len()));
    }
    if let Some((at, finding)) = foreign.finding(&reading.currency) {
        reading.trouble(at, "price", finding);
    }
    name_suppliers(&mut offers, &suppliers, reading);
    offers
}

/// Whether a supplier left a row as it was asked for: no price, and nothing that a supplier says of its own.
fn is_not_offered(row: &Row<'_, '_>) -> bool {
    let own = [Column::price, Column::code, Column::description, Column::discount, Column::breaks];
    let seen = [Column::low, Column::high, Column::good_from, Column::good_until, Column::returnable];
    !row.text(Column::part).is_empty() && own.into_iter().chain(seen).all(|column| row.is_blank(column))
}

/// How a thing is sold and what one of it holds; nothing where the cells do not go together, with the notice.
fn sold(row: &mut Row<'_, '_>, kind: Kind, bare: LengthUnit) -> Option<(SoldAs, Pack)> {
    let sold_as = row.choice(Column::sold_as);
    let held = match kind {
        Kind::Tube => tube_pack(row, bare),
        Kind::Consumable(unit) => pack::amount(row.text(Column::pack), row.lexicon.text(unit)),
        Kind::Pieces => pack::count(row.text(Column::pack)),
        Kind::Unknown => pack::any(row.text(Column::pack), bare),
    };
    let why = match pack::sold(kind, sold_as, held, row.text(Column::pack)) {
        Ok(sold) => return Some(sold),
        Err(why) => why,
    };
    let (column, finding) = match why {
        Wrong::Pack(expected) => (Column::pack, unread_pack(row.text(Column::pack), expected)),
        Wrong::SoldAs(expected) => (Column::sold_as, unread_sold_as(row.text(Column::sold_as), expected)),
    };
    if !row.in_error() {
        row.trouble(column, finding);
    }
    None
}

/// A list that names one supplier is that supplier's in every row; of a list that names none or several, rows without a
/// name are in error, told once.
fn name_suppliers(offers: &mut [Offer], suppliers: &BTreeSet<Word>, reading: &mut Reading) {
    let only = suppliers.first().filter(|_| suppliers.len() == 1);
    let mut nameless = Vec::new();
    for offer in offers.iter_mut().filter(|offer| offer.supplier.is_empty()) {
        match only {
            Some(only) => offer.supplier = *only,
            None => {
                offer.in_error = true;
                nameless.push(offer.row);
            }
        }
    }
    if let Some(first) = nameless.first() {
        reading.trouble(*first, "supplier", no_supplier(nameless.len(), suppliers.len()));
    }
}

/// A length is read as every length of a table is, with the unit of its heading; `C` and `M` are a hundred and a
/// thousand feet.
fn tube_pack(row: &mut Row<'_, '_>, bare: LengthUnit) -> Option<Pack> {
    match pack::per(Kind::Tube, SoldAs::Coil, row.text(Column::pack), bare) {
        Ok(PricedPer::Length(length)) if pack::is_many(row.text(Column::pack)) => Some(Pack::Length(length)),
        Ok(_) | Err(_) if pack::is_many(row.text(Column::pack)) => None,
        Ok(_) | Err(_) => row.length(Column::pack).value().map(Pack::Length),
    }
}

fn days(row: &mut Row<'_, '_>, offer: &Offer) {
    if let (Some(from), Some(until)) = (offer.good_from, offer.good_until)
        && from > until
    {
        row.trouble(Column::good_from, from_after_until(from, until));
    }
}

fn discount(row: &mut Row<'_, '_>, at: usize) -> Box<[Decimal]> {
    let chain = row.discount(at);
    for one in chain.iter().filter(|one| one.is_sign_negative() || **one >= Decimal::ONE_HUNDRED) {
        row.trouble(at, discount_out_of_range(*one));
    }
    if let [one] = chain[..] {
        row.doubt_a_fraction(at, "discount", one);
    }
    chain.into()
}

fn breaks(row: &mut Row<'_, '_>, at: usize) -> Box<[(i64, Decimal)]> {
    let text = row.text(at).to_owned();
    let read: Option<Vec<(i64, Decimal)>> = parts(&text)
        .map(|one| {
            let (packs, price) = one.split_once(':')?;
            let is_count = |packs: &i64| *packs > 0 && *packs <= i64::from(MOST_COUNTED);
            let packs: i64 = packs.trim().parse().ok().filter(is_count)?;
            let Some(Quoted::Sum(price)) = row.money_in(price) else { return None };
            let is_price = price.per.is_empty() && price.amount > Decimal::ZERO && !is_beyond(price.amount);
            is_price.then_some((packs, price.amount))
        })
        .collect();
    match read.filter(|list| list.windows(2).all(|pair| pair[0].0 < pair[1].0)) {
        Some(list) => list.into(),
        None => {
            row.trouble(at, unread_breaks(&text));
            Box::default()
        }
    }
}

/// Consumables with the unit that their joints rows count in.
fn units(catalog: &Catalog) -> HashMap<PartId, (usize, Word)> {
    let mut units = HashMap::new();
    for (at, joint) in catalog.joints.iter().enumerate() {
        for id in catalog.parts_called(joint.part) {
            units.entry(*id).or_insert((at, joint.unit));
        }
    }
    units
}

/// What kind of thing a word names.
fn kind(part: Word, catalog: &Catalog, units: &HashMap<PartId, (usize, Word)>) -> Kind {
    let called = catalog.parts_called_or_used(part);
    let Some(first) = called.first() else { return Kind::Unknown };
    let class = catalog.part(*first).class;
    // The first row of the table counts.
    let unit = || called.iter().filter_map(|id| units.get(id)).min().map(|(_, unit)| *unit);
    if class == Class::Tube {
        return Kind::Tube;
    }
    unit().filter(|_| class.is_used_up()).map_or(Kind::Pieces, Kind::Consumable)
}

/// Rows of a list without a price: not offered.
fn not_offered_rows(rows: usize) -> Finding {
    remark(
        "not-offered",
        match rows {
            1 => "a row of this list has no price: it is taken as not offered".to_owned(),
            rows => format!("{rows} rows of this list have no price: they are taken as not offered"),
        },
        "the price of what the supplier sells",
        "nothing, if the supplier does not sell them; else type their prices",
    )
}

/// Rows of a list without a supplier, where the list names not exactly one.
fn no_supplier(rows: usize, named: usize) -> Finding {
    error(
        "no-supplier",
        match (rows, named) {
            (1, 0) => "a row of this list names no supplier, and no other row does".to_owned(),
            (rows, 0) => format!("{rows} rows of this list name no supplier, and no row does"),
            (1, named) => format!("a row of this list names no supplier, and others name {named}"),
            (rows, named) => format!("{rows} rows of this list name no supplier, and others name {named}"),
        },
        "who sells: in every row, or once in a list that is of one supplier alone",
        match named {
            0 => "type the supplier's name in one row of the list",
            _ => "type the supplier's name in each row that lacks it",
        },
    )
}

findings! {
    /// Good from a day after the last.
    fn from_after_until(from: Date, until: Date) = error("from-after-until",
        "good from is {from} and good until is {until}",
        "good from no later than good until",
        "exchange the two, or correct one");

    /// A discount outside 0 to 100.
    fn discount_out_of_range(found: Decimal) = error("discount-out-of-range",
        "discount is {found}",
        "a percentage from 0 to less than 100",
        "type for example 25, or 25+15 for a chain");

    /// Breaks that cannot be read.
    fn unread_breaks(found: &str) = error("unread-breaks",
        "breaks is \"{found}\"",
        "packs and price, packs rising: 10: 3.20; 50: 2.90",
        "type from how many packs on which price holds");
}

/// A pack that cannot be read, or does not go with how the thing is sold.
fn unread_pack(found: &str, expected: &str) -> Finding {
    error("unread-pack", empty_or("pack", found), expected, "type what one pack, coil or stick holds")
}

/// A way to sell that does not go with the thing.
fn unread_sold_as(found: &str, expected: &str) -> Finding {
    error("unread-sold-as", empty_or("sold as", found), expected, "type how it is sold")
}

fn empty_or(heading: &str, found: &str) -> String {
    if found.is_empty() { format!("{heading} is empty") } else { format!("{heading} is \"{found}\"") }
}
