//! Landed cost: what goods cost with the delivery fees of the orders they come by, and which suppliers get an order.

use rust_decimal::Decimal;

use super::ItemId;
use crate::trade::Word;

/// Which suppliers get an order, what that costs, and how it compares with fewer of them.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct BuyingPlan {
    /// Goods and delivery fees of all orders.
    pub cost: Decimal,
    /// No choice of suppliers and packs costs less, each line being bought from one supplier, with what is `given`.
    pub bound: Decimal,
    /// What the bound takes as it is, in the order of [`Given`].
    pub given: Vec<Given>,
    /// Lines of the order that have no price.
    pub not_priced: usize,
    /// The orders, by name of the supplier.
    pub suppliers: Vec<SupplierOrder>,
    /// All from one supplier, for each of them by name.
    pub with_one: Vec<OneSupplier>,
    /// The least with at most two suppliers; nothing where no two sell all that is sold.
    pub with_two: Option<FewSuppliers>,
}

/// What was decided before the order was bought, or by rule: a cost is proven least only with it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Given {
    /// Choices that the job locks.
    Locked,
    /// Fittings are made up from others: the ways to do so were compared, but not all of them together.
    MadeUp,
    /// Long pieces are joined: how often is a matter of the cut plans, where a joint has one price for all suppliers.
    Joined,
    /// A supplier sells a tube both in lengths and loose, and it is bought in one of the two ways.
    Loose,
    /// What is on hand fits several lines, and the first takes it.
    Shelf,
    /// An offer serves several lines, and each is bought by itself: no pack or break is shared.
    Apart,
    /// An order is topped up to its minimum with more of what is bought, and not with other cuts of its tube.
    ToppedUp,
}

impl Given {
    /// In a sentence: least with ...
    pub const fn words(self) -> &'static str {
        match self {
            Self::Locked => "what is held",
            Self::MadeUp => "the fittings made up as listed",
            Self::Joined => "long pieces joined as the cut plans say",
            Self::Loose => "each tube in lengths or loose, not both",
            Self::Shelf => "what is on hand used as listed",
            Self::Apart => "each line in packs of its own",
            Self::ToppedUp => "orders topped up beside their cut plans",
        }
    }
}

/// What may be said of a plan.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Claim {
    /// Nothing is bought: no order, no least.
    NoOrder,
    /// An order is below the minimum that its supplier takes.
    BelowMinimum,
    /// Nothing costs less, with what is given; of what is priced, where some lines are not.
    Least,
    /// It may cost so much more than the least.
    AtMostAbove(Decimal),
}

impl BuyingPlan {
    /// What may be said of it.
    pub fn claim(&self) -> Claim {
        self.claim_of(self.cost, self.bound)
    }

    /// Whether it is proven that nothing costs less, all lines being priced, with what is `given`.
    pub fn is_least(&self) -> bool {
        self.claim() == Claim::Least && self.not_priced == 0
    }

    fn claim_of(&self, cost: Decimal, bound: Decimal) -> Claim {
        if self.suppliers.is_empty() {
            return Claim::NoOrder;
        }
        if self.suppliers.iter().any(|order| !order.met) {
            return Claim::BelowMinimum;
        }
        if cost == bound { Claim::Least } else { Claim::AtMostAbove(cost - bound) }
    }

    /// In words what may be said of it: the word least, how far it may be from the least, or neither.
    pub fn said(&self) -> String {
        self.said_of(self.claim())
    }

    /// The same of the least with a few suppliers.
    pub fn said_of_few(&self, few: &FewSuppliers) -> String {
        self.said_of(self.claim_of(few.landed, few.bound))
    }

    fn said_of(&self, claim: Claim) -> String {
        let of = if self.not_priced > 0 { " of what is priced" } else { "" };
        let given: Vec<&str> = self.given.iter().map(|given| given.words()).collect();
        let with = match given.as_slice() {
            [] => String::new(),
            [one] => format!(" with {one}"),
            [all @ .., last] => format!(" with {} and {last}", all.join(", ")),
        };
        match claim {
            Claim::NoOrder if self.not_priced > 0 => "nothing that is needed is priced".to_owned(),
            Claim::NoOrder => "nothing is ordered".to_owned(),
            Claim::BelowMinimum => "an order is below its minimum".to_owned(),
            Claim::Least => format!("least{of}{with}, proven"),
            Claim::AtMostAbove(above) => format!("at most {above} above the least{of}{with}"),
        }
    }

    /// The goods of all orders.
    pub fn goods(&self) -> Decimal {
        self.suppliers.iter().map(|order| order.goods).sum()
    }

    /// The delivery fees of all orders.
    pub fn fees(&self) -> Decimal {
        self.suppliers.iter().map(|order| order.fee).sum()
    }
}

/// The order of one supplier.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SupplierOrder {
    /// Who sells.
    pub supplier: Word,
    /// The sum of the goods.
    pub goods: Decimal,
    /// Charged once for the order.
    pub fee: Decimal,
    /// The minimum of an order there; zero where there is none.
    pub minimum_order: Decimal,
    /// Whether the goods reach it.
    pub met: bool,
    /// What of the goods was added to reach it: whole packs that are left over.
    pub topped_up: Decimal,
}

/// All from one supplier.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OneSupplier {
    /// Who sells.
    pub supplier: Word,
    /// Goods and fee; nothing where something is not sold there, or the minimum order cannot be reached.
    pub landed: Option<Decimal>,
    /// What is sold by others alone, or held there, in the order shown.
    pub lacks: Vec<ItemId>,
}

/// The least with a few suppliers.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FewSuppliers {
    /// Who gets an order, by name.
    pub suppliers: Vec<Word>,
    /// Goods and fees.
    pub landed: Decimal,
    /// No choice of so few suppliers costs less.
    pub bound: Decimal,
}

#[cfg(test)]
mod tests {
    use super::*;

    fn plan(cost: i64, bound: i64) -> BuyingPlan {
        let order = SupplierOrder {
            supplier: Word::EMPTY,
            goods: Decimal::from(cost),
            fee: Decimal::ZERO,
            minimum_order: Decimal::ZERO,
            met: true,
            topped_up: Decimal::ZERO,
        };
        BuyingPlan {
            cost: Decimal::from(cost),
            bound: Decimal::from(bound),
            suppliers: vec![order],
            ..BuyingPlan::default()
        }
    }

    #[test]
    fn least_is_said_only_of_an_order_and_with_all_that_it_rests_on() {
        assert_eq!(plan(5, 5).said(), "least, proven");
        assert_eq!(plan(5, 3).said(), "at most 2 above the least");
        assert_eq!(BuyingPlan::default().said(), "nothing is ordered");
        assert!(!BuyingPlan::default().is_least());
        let nothing = BuyingPlan { not_priced: 4, ..BuyingPlan::default() };
        assert_eq!(nothing.said(), "nothing that is needed is priced");
        let some = BuyingPlan { not_priced: 4, given: vec![Given::Locked, Given::MadeUp], ..plan(5, 5) };
        let words = "least of what is priced with what is held and the fittings made up as listed, proven";
        assert_eq!((some.said().as_str(), some.is_least()), (words, false));
        let mut below = plan(5, 5);
        below.suppliers[0].met = false;
        assert_eq!((below.said().as_str(), below.is_least()), ("an order is below its minimum", false));
    }
}
