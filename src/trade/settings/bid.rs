//! What the table `job` says of the bid beside the percentages that stand in [`Settings`](super::Settings): sums, taxes by
//! class, fees, what the owner is told. The arithmetic is in `estimate::bid`.

use rust_decimal::Decimal;

use super::Column;
use super::item::ItemRow;
use crate::ground::money::round_half_away;
use crate::ground::name::fold;
use crate::ground::notice::{Finding, warning};
use crate::ground::{Date, RowAt};
use crate::trade::catalog::part::Class;
use crate::trade::lexicon::Word;
use crate::trade::shape::words;

words! {
    /// How the percentage of profit is meant.
    #[derive(Default)]
    pub enum ProfitAs {
        /// A share of what the work costs: 25 percent on 80 are 20.
        #[default]
        Markup = "markup",
        /// A share of the price before tax and fees: 20 percent of 100 are 20.
        Margin = "margin",
    }
}

/// What a sales tax may be taken on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Taxed {
    /// Material of a class.
    Class(Class),
    /// The small-parts allowance.
    SmallParts,
    /// Labor.
    Labor,
    /// Tools and one-offs.
    Tools,
    /// Delivery.
    Delivery,
}

impl Taxed {
    /// All of them in the order shown: the classes, then the rest.
    pub fn all() -> impl Iterator<Item = Self> {
        let rest = [Self::SmallParts, Self::Labor, Self::Tools, Self::Delivery];
        Class::ALL.into_iter().map(Self::Class).chain(rest)
    }

    /// The word for it in `for`.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Class(class) => class.word(),
            Self::SmallParts => "small parts",
            Self::Labor => "labor",
            Self::Tools => "tools",
            Self::Delivery => "delivery",
        }
    }

    /// Whether the rate said for all is taken on it: on what stays in the house. Labor, tools and delivery are taxed
    /// only where the job says so.
    pub const fn by_the_general_rate(self) -> bool {
        match self {
            Self::Class(_) | Self::SmallParts => true,
            Self::Labor | Self::Tools | Self::Delivery => false,
        }
    }
}

/// What a sum that the job states is in the bid.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum SumAs {
    /// Labor by the lump, whatever the hours: a direct cost, taxed as labor is.
    LumpSumLabor,
    /// A fee among the direct costs: contingency, overhead and profit are taken on it.
    MarkedUpFee,
    /// A fee that is handed on as it is, after profit.
    Fee,
}

impl SumAs {
    /// The item of the table `job` that states it.
    pub const fn item(self) -> &'static str {
        match self {
            Self::LumpSumLabor => "lump-sum labor",
            Self::MarkedUpFee => "marked up fee",
            Self::Fee => "fee",
        }
    }
}

/// A sum that the job states by name: a permit, a bond, the pressure test by the lump.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StatedSum {
    /// What it is for.
    pub name: Box<str>,
    /// The sum.
    pub sum: Decimal,
    /// What it is in the bid.
    pub is: SumAs,
}

/// What the table `job` says of the bid.
#[derive(Debug, Clone, Default)]
pub struct BidSettings {
    /// Small parts that nobody counts, in percent of material.
    pub small_parts: Decimal,
    /// A sum for delivery, beside the fees of suppliers.
    pub delivery: Decimal,
    /// How the percentage of profit is meant.
    pub profit_as: ProfitAs,
    /// Rates of sales tax that are said by class.
    pub tax_rates: Vec<(Taxed, Decimal)>,
    /// Classes, or labor and the like, on which no sales tax is taken, whatever rate is said.
    pub untaxed: Vec<Taxed>,
    /// Parts on which no sales tax is taken, by their words, with the row that says so.
    pub exempt: Vec<(Word, RowAt)>,
    /// Fees and labor by the lump, by name.
    pub sums: Vec<StatedSum>,
    /// The last day on which the bid stands, and the row that says so.
    pub good_until: Option<(Date, RowAt)>,
    /// What the owner is told is not in the price, by its text.
    pub not_included: Vec<Box<str>>,
}

impl BidSettings {
    /// The rates of sales tax by class: `tools 7 %; labor 2 %`.
    pub(super) fn tax_rates_in_words(&self) -> String {
        let one = |(of, rate): &(Taxed, Decimal)| format!("{} {} %", of.word(), rate.normalize());
        self.tax_rates.iter().map(one).collect::<Vec<_>>().join("; ")
    }

    /// The rate of sales tax on something, in percent: none where it is exempt, else as said for it, else the rate said for
    /// all where that is taken on it.
    pub fn tax_rate(&self, of: Taxed, general: Decimal) -> Decimal {
        if self.untaxed.contains(&of) {
            return Decimal::ZERO;
        }
        let said = self.tax_rates.iter().rev().find(|(one, _)| *one == of).map(|(_, rate)| *rate);
        said.unwrap_or(if of.by_the_general_rate() { general } else { Decimal::ZERO })
    }
}

/// What a tax is named for; nothing where no such thing is taxed. Tools are the parts of that class and the one-offs alike.
fn taxed(it: &ItemRow<'_, '_, '_>) -> Vec<Taxed> {
    let known: Vec<(Taxed, &'static str)> = Taxed::all().map(|taxed| (taxed, taxed.word())).collect();
    match it.said_for(&known) {
        Some(Taxed::Tools | Taxed::Class(Class::Tool)) => vec![Taxed::Tools, Taxed::Class(Class::Tool)],
        Some(one) => vec![one],
        None => Vec::new(),
    }
}

/// A sales tax, of all or of something: up to a hundred, and doubtful where it is beyond any that is taken.
pub(super) fn sales_tax(it: &mut ItemRow<'_, '_, '_>) {
    let mut rate = it.percent();
    if rate > Decimal::ONE_HUNDRED {
        it.wrong("a percentage from 0 to 100, such as 7 or 7.25");
        rate = Decimal::ZERO;
    } else if rate > HIGHEST_TAX {
        it.row.trouble(Column::Value, tax_too_high(rate));
    }
    if it.of.is_empty() {
        it.settings.sales_tax = rate;
        return;
    }
    let taxed = taxed(it);
    if taxed.is_empty() {
        it.unknown_for(&Taxed::all().map(Taxed::word).collect::<Vec<_>>());
    }
    it.settings.bid.tax_rates.extend(taxed.into_iter().map(|one| (one, rate)));
}

/// A tax on sales above this is doubtful (common practice: in the states a tenth or less, elsewhere up to 27).
const HIGHEST_TAX: Decimal = Decimal::from_parts(30, 0, 0, false, 0);

/// A tax that may be meant by one that no state takes: 7.25 for 72.5 or 725.
const USUAL_TAX: Decimal = Decimal::from_parts(15, 0, 0, false, 0);

/// A class of which none is taxed, or a part; that there is such a part is judged with the catalog.
pub(super) fn tax_exempt(it: &mut ItemRow<'_, '_, '_>) {
    if it.of.is_empty() {
        it.needs_for();
        return;
    }
    if it.row.yes_no(Column::Value) != Some(true) {
        return;
    }
    let taxed = taxed(it);
    if taxed.is_empty() {
        it.settings.bid.exempt.push((it.row.lexicon.word(it.of), it.row.at()));
    }
    it.settings.bid.untaxed.extend(taxed);
}

/// A sum is called as `for` says, else by its own item: `permit`, `bond`.
pub(super) fn stated_sum(it: &mut ItemRow<'_, '_, '_>, is: SumAs) {
    let item = fold(it.row.text(Column::Item));
    let item = item.strip_suffix(" fee").unwrap_or(&item);
    // Another name of the item says what the sum is for.
    let named = is == SumAs::Fee && !matches!(item, "fee" | "fees");
    let name = match (named, it.of.is_empty()) {
        (true, true) => item.to_owned(),
        (true, false) => format!("{item}, {}", it.of),
        (false, false) => it.of.to_owned(),
        (false, true) => {
            it.needs_for();
            return;
        }
    };
    let sum = it.sum(&name);
    it.settings.bid.sums.push(StatedSum { name: name.into(), sum, is });
}

/// A sales tax that no state takes.
fn tax_too_high(rate: Decimal) -> Finding {
    let finding = warning(
        "tax-too-high",
        format!("sales tax is {} in a hundred", rate.normalize()),
        "the percentage of the tax, such as 7 or 7.25",
        "check the decimal point",
    );
    let mut meant = [10, 100].into_iter().filter_map(|times| rate.checked_div(Decimal::from(times)));
    match meant.find(|meant| *meant <= USUAL_TAX) {
        Some(meant) => finding.meaning(round_half_away(meant, 4).normalize().to_string()),
        None => finding,
    }
}
