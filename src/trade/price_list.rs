//! Price lists: one offer of one supplier a row.

use std::cmp::Ordering;
use std::collections::BTreeSet;

use rust_decimal::Decimal;

use super::catalog::Catalog;
use super::fits::MeantFor;
use super::lexicon::{Lexicon, Word};
use super::pack;
use super::priced::{self, OtherCurrency, Price};
use super::row::{Desk, MOST_COUNTED, Row, is_beyond, parts};
use super::shape::shape;
use super::terms::MEANT_AS_A_FRACTION;
use super::words::Trouble;
use crate::ground::name::natural;
use crate::ground::{Date, Length, LengthUnit, RowAt};
use crate::table::{Quoted, TableFile};

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
        Discount = "discount", optional, Discount, "points off, one after the other: 25+15";
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

/// How a thing is sold.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum SoldAs {
    /// A coil of tube.
    Coil,
    /// A stick of tube.
    Stick,
    /// A bag, box or roll of so many.
    Bag,
    /// Loose: any number or length.
    Each,
}

/// What one of it holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Pack {
    /// So many pieces.
    Count(i64),
    /// So much tube.
    Length(Length),
    /// So much of a consumable, in the unit of its joints row (a 1 lb roll).
    Amount(Decimal),
}

/// What the price is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PricedPer {
    /// One piece.
    Each,
    /// One pack, coil or stick.
    Pack,
    /// One foot (or metre) of tube.
    Length(Length),
    /// So many pieces: a hundred, a thousand.
    Many(i64),
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
    /// Chained discounts in points.
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
}

/// Reads a price list over a catalog, which says what a pack of a part holds; rows in error stay in it.
pub(super) fn read(file: &TableFile, desk: &mut Desk, catalog: &Catalog) -> Vec<Offer> {
    let units = pack::units(catalog);
    let mut offers = Vec::new();
    let bare = desk.bare;
    let (mut suppliers, mut not_offered) = (BTreeSet::new(), Vec::new());
    let mut foreign = OtherCurrency::default();
    desk.read(file, &PRICES, |row, lexicon| {
        suppliers.extend(Some(row.word(Column::Supplier, lexicon)).filter(|word| !word.is_empty()));
        let price = Price::of(row);
        if matches!(price, Price::NotOffered) || is_not_offered(row) {
            not_offered.push(row.at());
            return;
        }
        foreign.meet(&price, row);
        row.needed(Column::Part);
        let part = row.word(Column::Part, lexicon);
        let kind = pack::kind(part, catalog, &units);
        let sold_as = row.one_of(Column::SoldAs, &pack::SOLD_AS);
        let held = match kind {
            pack::Kind::Tube => tube_pack(row, bare),
            pack::Kind::Consumable(unit) => pack::amount(row.text(Column::Pack), lexicon.text(unit)),
            pack::Kind::Pieces => pack::count(row.text(Column::Pack)),
            pack::Kind::Unknown => pack::any(row.text(Column::Pack), bare),
        };
        let way = pack::sold(kind, sold_as.value(), held, row.text(Column::Pack));
        let sold = way.unwrap_or((SoldAs::Each, Pack::Count(1)));
        if let Err(wrong) = way
            && !row.in_error()
        {
            unsold(row, wrong);
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
            supplier: row.word(Column::Supplier, lexicon),
            part,
            sizes: row.sizes(Column::Size, lexicon),
            price: price.sum(row),
            systems: row.words(Column::System, lexicon),
            variant: row.word(Column::Variant, lexicon),
            color: row.word(Column::Color, lexicon),
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
        desk.trouble(*at, "price", Trouble::NotOffered { rows: not_offered.len() });
    }
    let job = desk.currency.clone();
    if let Some((at, trouble)) = foreign.trouble(&job) {
        desk.trouble(at, "price", trouble);
    }
    name_suppliers(&mut offers, &suppliers, desk);
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
fn name_suppliers(offers: &mut [Offer], suppliers: &BTreeSet<Word>, desk: &mut Desk) {
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
        let trouble = Trouble::NoSupplier { rows: nameless.len(), named: suppliers.len() };
        desk.trouble(*first, "supplier", trouble);
    }
}

/// A length is read as every length of a table is, with the unit of its heading; `C` and `M` are a hundred and a
/// thousand feet.
fn tube_pack(row: &mut Row<'_, '_>, bare: LengthUnit) -> Option<Pack> {
    match pack::per(pack::Kind::Tube, SoldAs::Coil, row.text(Column::Pack), bare) {
        Ok(PricedPer::Length(length)) if pack::is_many(row.text(Column::Pack)) => Some(Pack::Length(length)),
        Ok(_) | Err(_) if pack::is_many(row.text(Column::Pack)) => None,
        Ok(_) | Err(_) => row.length(Column::Pack).value().map(Pack::Length),
    }
}

fn unsold(row: &mut Row<'_, '_>, wrong: pack::Wrong) {
    match wrong {
        pack::Wrong::Pack(expected) => {
            let found = row.text(Column::Pack).to_owned();
            row.trouble(Column::Pack, Trouble::Pack { found: &found, expected });
        }
        pack::Wrong::SoldAs(expected) => {
            let found = row.text(Column::SoldAs).to_owned();
            row.trouble(Column::SoldAs, Trouble::SoldAs { found: &found, expected });
        }
    }
}

fn days(row: &mut Row<'_, '_>) -> (Option<Date>, Option<Date>) {
    let (from, until) = (row.date(Column::From), row.date(Column::Until));
    if let (Some(from), Some(until)) = (from, until)
        && from > until
    {
        let trouble = Trouble::FromAfterUntil { from: &from.to_string(), until: &until.to_string() };
        row.trouble(Column::From, trouble);
    }
    (from, until)
}

fn discount(row: &mut Row<'_, '_>) -> Box<[Decimal]> {
    let chain = row.discount(Column::Discount);
    for one in chain.iter().filter(|one| one.is_sign_negative() || **one >= Decimal::ONE_HUNDRED) {
        row.trouble(Column::Discount, Trouble::Discount { found: &one.to_string() });
    }
    // A fraction where points are meant; what a spreadsheet shows as a percentage comes as points already.
    if let [one] = chain[..]
        && one > Decimal::ZERO
        && one < MEANT_AS_A_FRACTION
        && Decimal::from_str_exact(row.text(Column::Discount)).is_ok_and(|written| written == one)
    {
        let (found, meant) =
            (one.normalize().to_string(), (one * Decimal::ONE_HUNDRED).normalize().to_string());
        let trouble = Trouble::PartOfAPoint { item: "discount", found: &found, points: &meant };
        row.trouble(Column::Discount, trouble);
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
            row.trouble(Column::Breaks, Trouble::Breaks { found: &text });
            Box::default()
        }
    }
}
