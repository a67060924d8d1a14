//! Price lists: one offer of one supplier a row.

use std::cmp::Ordering;
use std::collections::BTreeSet;

use rust_decimal::Decimal;

use super::catalog::Catalog;
use super::catalog::fits::{MeantFor, Thing};
use super::catalog::part::{Class, PartId};
use super::catalog::system::{Side, System, SystemId};
use super::lexicon::{Lexicon, Word};
use super::pack::{self, Kind, Pack, PricedPer, SoldAs, Wrong};
use super::reading::{MOST_COUNTED, Reading, Row, is_beyond, parts};
use super::run::Run;
use super::shape::{findings, shape};
use crate::ground::name::natural;
use crate::ground::notice::{Finding, error, remark};
use crate::ground::{Date, LengthUnit, RowAt};
use crate::table::{Quoted, TableFile};

mod priced;

use priced::{OtherCurrency, Price};

shape! {
    /// The table `prices`.
    PRICES = "prices", Noticed, Column {
        Supplier = "supplier", required, Text, "who sells it; once is enough in a list that is of one supplier";
        Part = "part", required, Text, "what it is, by any name of the part";
        Size = "size", required, Size, "its sizes in reading order: 3/4, 1 x 3/4 x 1/2; empty for what has none";
        Price = "price", required, Number, "the price before discount: 7.10, $7.10, 1,234.50, 41.30/C; a row with n/a, no bid or -, or with neither price nor code nor day, is not offered";
        System = "system" ["systems"], optional, Text, "systems, tube families or fits it is for, parted by semicolons; empty: any";
        Variant = "variant", optional, Text, "which one of its kind: type L; empty: any";
        Color = "color" ["colour"], optional, Text, "red or blue, where tube is sold by color; empty: any";
        Code = "code", optional, Text, "the supplier's own code";
        Description = "description", optional, Text, "the supplier's own words";
        SoldAs = "sold as", optional, Text, "coil, stick, bag or each; empty: each, or bag with a pack";
        Pack = "pack", optional, Text, "what one coil, stick or bag holds: 100 ft, 25, bag of 25, 1 lb; C is 100, M 1000";
        Per = "per", optional, Text, "what the price is for: each, pack, ft, m, 100 or 1000; C is a hundred and M a thousand, of tube in feet; empty: the pack, or each";
        Discount = "discount", optional, Discount, "percent off, one after the other: 25+15";
        Breaks = "breaks", optional, Text, "other prices from so many packs on: 10: 3.20; 50: 2.90";
        Low = "low", optional, Number, "the lowest price seen: a price below is doubtful";
        High = "high", optional, Number, "the highest price seen: a price above is doubtful";
        From = "good from", optional, Date, "the first day it is good";
        Until = "good until", optional, Date, "the last day it is good";
        Returnable = "returnable", optional, YesNo, "whether unopened packs may go back";
        Need = "need in all", optional, Text, "of a request for quotes: the length of tube needed, in whatever coils or sticks; changes nothing";
        Asked = "quantity", optional, Text, "of a request for quotes: how much was asked for; changes nothing";
        Unit = "unit", optional, Text, "of a request for quotes: the unit of the quantity; changes nothing, but for C and M, which the price is for then";
        Section = "section", optional, Text, "of a request for quotes: where a store keeps it; changes nothing";
        Shelf = "on hand", optional, Text, "of a request for quotes: what is on hand and not taken off the need yet; changes nothing";
        Estimate = "estimate", optional, Text, "of a request for quotes: whether the estimate is complete; changes nothing";
    }
}

/// A row of a price list.
#[derive(Debug, Clone)]
pub struct Offer {
    /// Where it stands.
    pub row: RowAt,
    /// Whether a cell of the row was misread: it is not used.
    pub in_error: bool,
    /// Who sells it.
    pub supplier: Word,
    /// What it is, by the words written.
    pub part: Word,
    /// Its sizes in reading order; none for parts without a size.
    pub sizes: Box<[Word]>,
    /// The price before discounts.
    pub price: Decimal,
    /// Systems or tube families it is for; empty: any.
    pub systems: Box<[Word]>,
    /// Its variant; empty: any.
    pub variant: Word,
    /// Its color; empty: any.
    pub color: Word,
    /// The supplier's own code, as written.
    pub code: Box<str>,
    /// The supplier's own words, as written.
    pub description: Box<str>,
    /// How it is sold.
    pub sold_as: SoldAs,
    /// What one of it holds.
    pub pack: Pack,
    /// What the price is for.
    pub per: PricedPer,
    /// Chained discounts in percent.
    pub discount: Box<[Decimal]>,
    /// From so many packs on, this price.
    pub breaks: Box<[(i64, Decimal)]>,
    /// Lowest and highest price seen, if the user keeps them.
    pub low: Option<Decimal>,
    /// Highest price seen.
    pub high: Option<Decimal>,
    /// First day it is good.
    pub good_from: Option<Date>,
    /// Last day it is good.
    pub good_until: Option<Date>,
    /// Whether unopened packs may go back.
    pub returnable: Option<bool>,
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
        suppliers.extend(Some(row.word(Column::Supplier)).filter(|word| !word.is_empty()));
        let price = Price::of(row);
        if matches!(price, Price::NotOffered) || is_not_offered(row) {
            not_offered.push(row.at());
            return;
        }
        foreign.meet(&price, row);
        row.needed(Column::Part);
        let part = row.word(Column::Part);
        let kind = kind(part, catalog, &units);
        let sold_as = row.choice(Column::SoldAs);
        let held = match kind {
            Kind::Tube => tube_pack(row, bare),
            Kind::Consumable(unit) => pack::amount(row.text(Column::Pack), row.lexicon.text(unit)),
            Kind::Pieces => pack::count(row.text(Column::Pack)),
            Kind::Unknown => pack::any(row.text(Column::Pack), bare),
        };
        let way = pack::sold(kind, sold_as, held, row.text(Column::Pack));
        let sold = way.unwrap_or((SoldAs::Each, Pack::Count(1)));
        match way {
            Err(Wrong::Pack(expected)) if !row.in_error() => {
                row.trouble(Column::Pack, unread_pack(row.text(Column::Pack), expected));
            }
            Err(Wrong::SoldAs(expected)) if !row.in_error() => {
                row.trouble(Column::SoldAs, unread_sold_as(row.text(Column::SoldAs), expected));
            }
            Ok(_) | Err(_) => {}
        }
        // What the other cells become decides what goes with them: only what goes with neither is wrong by itself.
        let ways = match way {
            Ok((sold, _)) => vec![sold],
            Err(_) => vec![SoldAs::Bag, SoldAs::Each],
        };
        let per = price.per(row, kind, &ways, bare);
        let (low, high) = priced::range(row, &price);
        let (good_from, good_until) = days(row);
        let mut offer = Offer {
            row: row.at(),
            in_error: false,
            supplier: row.word(Column::Supplier),
            part,
            sizes: row.sizes(Column::Size),
            price: price.sum(row),
            systems: row.words(Column::System),
            variant: row.word(Column::Variant),
            color: row.word(Column::Color),
            code: row.text(Column::Code).into(),
            description: row.text(Column::Description).into(),
            sold_as: sold.0,
            pack: sold.1,
            per,
            discount: discount(row),
            breaks: breaks(row),
            low,
            high,
            good_from,
            good_until,
            returnable: row.yes_no(Column::Returnable),
        };
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
    let own = [
        Column::Price,
        Column::Code,
        Column::Description,
        Column::Discount,
        Column::Breaks,
        Column::Low,
        Column::High,
        Column::From,
        Column::Until,
        Column::Returnable,
    ];
    !row.text(Column::Part).is_empty() && own.into_iter().all(|column| row.is_blank(column))
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
    match pack::per(Kind::Tube, SoldAs::Coil, row.text(Column::Pack), bare) {
        Ok(PricedPer::Length(length)) if pack::is_many(row.text(Column::Pack)) => Some(Pack::Length(length)),
        Ok(_) | Err(_) if pack::is_many(row.text(Column::Pack)) => None,
        Ok(_) | Err(_) => row.length(Column::Pack).value().map(Pack::Length),
    }
}

fn days(row: &mut Row<'_, '_>) -> (Option<Date>, Option<Date>) {
    let (from, until) = (row.date(Column::From), row.date(Column::Until));
    if let (Some(from), Some(until)) = (from, until)
        && from > until
    {
        row.trouble(Column::From, from_after_until(from, until));
    }
    (from, until)
}

fn discount(row: &mut Row<'_, '_>) -> Box<[Decimal]> {
    let chain = row.discount(Column::Discount);
    for one in chain.iter().filter(|one| one.is_sign_negative() || **one >= Decimal::ONE_HUNDRED) {
        row.trouble(Column::Discount, discount_out_of_range(*one));
    }
    if let [one] = chain[..] {
        row.doubt_a_fraction(Column::Discount, "discount", one);
    }
    chain.into()
}

fn breaks(row: &mut Row<'_, '_>) -> Box<[(i64, Decimal)]> {
    let text = row.text(Column::Breaks).to_owned();
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
            row.trouble(Column::Breaks, unread_breaks(&text));
            Box::default()
        }
    }
}

/// Consumables with the unit that their joints rows count in.
fn units(catalog: &Catalog) -> Vec<(PartId, Word)> {
    let rows = catalog.joints.iter();
    rows.flat_map(|joint| catalog.parts_called(joint.part).iter().map(|id| (*id, joint.unit))).collect()
}

/// What kind of thing a word names.
fn kind(part: Word, catalog: &Catalog, units: &[(PartId, Word)]) -> Kind {
    let called = catalog.parts_called_or_used(part);
    let Some(first) = called.first() else { return Kind::Unknown };
    match catalog.part(*first).class {
        Class::Tube => Kind::Tube,
        Class::Consumable => {
            let unit = units.iter().find(|(id, _)| called.contains(id)).map(|(_, unit)| *unit);
            unit.map_or(Kind::Pieces, Kind::Consumable)
        }
        Class::Fitting
        | Class::Ring
        | Class::Valve
        | Class::Device
        | Class::Manifold
        | Class::Support
        | Class::Cap
        | Class::Trim
        | Class::Tool => Kind::Pieces,
    }
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

findings! {
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
