//! Landed cost: what goods cost with the delivery fees of the orders they come by, and which suppliers get an order.

use rust_decimal::Decimal;

use super::item::ItemId;
use crate::trade::Word;

/// Which suppliers get an order, what that costs, and how it compares with fewer of them.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct BuyingPlan {
    /// Goods and delivery fees of all orders.
    pub cost: Decimal,
    /// No choice of suppliers and packs costs less, each line being bought from one supplier.
    pub bound: Decimal,
    /// Whether choices are held: then it is the cost and the bound with what is held.
    pub holds: bool,
    /// The orders, by name of the supplier.
    pub suppliers: Vec<SupplierOrder>,
    /// All from one supplier, for each of them by name.
    pub with_one: Vec<OneSupplier>,
    /// The least with at most two suppliers; nothing where no two sell all that is sold.
    pub with_two: Option<FewSuppliers>,
}

impl BuyingPlan {
    /// Whether it is proven that nothing costs less.
    pub fn is_least(&self) -> bool {
        self.cost == self.bound
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
    /// The least sum of an order there; zero where there is none.
    pub least_order: Decimal,
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
    /// Goods and fee; nothing where something is not sold there, or the least order cannot be reached.
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
