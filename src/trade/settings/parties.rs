//! What the table `job` says of people: who bids, for whom, who buys, who signs. It stands on papers as it is written and
//! changes no sum. A cell may hold several lines, parted by semicolons.

use super::Column;
use super::item::ItemRow;
use crate::ground::{Date, RowAt};
use crate::trade::lexicon::Word;

/// Who stands on the papers of a job. What is not said is empty and leaves no gap there.
#[derive(Debug, Clone, Default)]
pub struct Parties {
    /// Who bids and buys.
    pub firm: Firm,
    /// For whom the house is piped.
    pub customer: Customer,
    /// Where the house stands.
    pub site: Box<str>,
    /// The bid as a paper.
    pub bid: BidPaper,
    /// The orders as papers.
    pub order: OrderPaper,
}

/// The firm that bids and buys.
#[derive(Debug, Clone, Default)]
pub struct Firm {
    /// Its name.
    pub name: Box<str>,
    /// Its address.
    pub address: Box<str>,
    /// Its telephone.
    pub phone: Box<str>,
    /// Its mail address.
    pub mail: Box<str>,
    /// The number of its licence.
    pub licence: Box<str>,
    /// Its tax number.
    pub tax_number: Box<str>,
}

/// The customer.
#[derive(Debug, Clone, Default)]
pub struct Customer {
    /// Its name.
    pub name: Box<str>,
    /// Its address.
    pub address: Box<str>,
    /// Its telephone or mail address.
    pub contact: Box<str>,
}

/// What a bid says beside the work and its price.
#[derive(Debug, Clone, Default)]
pub struct BidPaper {
    /// Its number.
    pub number: Box<str>,
    /// Its day; nothing: the date of the job.
    pub date: Option<Date>,
    /// The number of the change order, where the bid is changed.
    pub change_number: Box<str>,
    /// When it is paid: a cell each, of one line or several.
    pub payment_terms: Vec<Box<str>>,
    /// What is included, in the bidder's own words: a cell each, of one line or several.
    pub included: Vec<Box<str>>,
    /// Who signs for the firm.
    pub signed_by: Box<str>,
    /// What the bid offers beside its price: alternates of the run list and systems compared, by name, with the row that
    /// says so; nothing: all alternates of the run list.
    pub offered: Option<(Vec<Word>, RowAt)>,
}

/// What orders and requests say beside the goods.
#[derive(Debug, Clone, Default)]
pub struct OrderPaper {
    /// Numbers of orders.
    pub numbers: Vec<OrderNumber>,
    /// The day of the orders; nothing: the date of the job.
    pub date: Option<Date>,
    /// Who buys.
    pub buyer: Box<str>,
    /// Telephone or mail address of the buyer.
    pub buyer_contact: Box<str>,
    /// The last day on which quotes are wanted.
    pub quote_by: Option<Date>,
}

/// The number of an order.
#[derive(Debug, Clone)]
pub struct OrderNumber {
    /// Whose order it is; empty: of all, which are counted behind it.
    pub supplier: Word,
    /// The number.
    pub number: Box<str>,
    /// The row that says so.
    pub row: RowAt,
}

impl OrderPaper {
    /// The number of the order to a supplier: its own, or else that of all with its place among so many orders.
    pub fn number_for(&self, supplier: Word, (place, many): (usize, usize)) -> String {
        let of = |who: Word| self.numbers.iter().find(|one| one.supplier == who);
        match (of(supplier), of(Word::EMPTY)) {
            (Some(own), _) => own.number.to_string(),
            (None, Some(all)) if many > 1 => format!("{}-{place}", all.number),
            (None, Some(all)) => all.number.to_string(),
            (None, None) => String::new(),
        }
    }
}

/// What the bid offers beside its price; `none` and `all` go without names.
pub(super) fn offered(it: &mut ItemRow<'_, '_, '_>) {
    let (none, all) = (it.row.lexicon.word("none"), it.row.lexicon.word("all"));
    let mut words = it.row.words(Column::Value).into_vec();
    let is_all = words == [all];
    words.retain(|word| *word != none);
    it.settings.parties.bid.offered = (!is_all).then(|| (words, it.row.at()));
}

/// The number of the orders; of the supplier named in `for`, where one is named.
pub(super) fn order_number(it: &mut ItemRow<'_, '_, '_>) {
    let supplier = it.row.lexicon.word(it.of);
    let number = OrderNumber { supplier, number: it.value(), row: it.row.at() };
    it.settings.parties.order.numbers.push(number);
}
