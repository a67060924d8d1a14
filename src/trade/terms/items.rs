//! What the table `job` can say: its items, with the words and the help of each. No reading.

use super::super::bid_terms::ProfitAs;

/// What the table `job` can say.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(super) enum Item {
    Name,
    Date,
    Currency,
    WaterSystem,
    DrainSystem,
    CompareWith,
    Allowance,
    Contingency,
    Overhead,
    Profit,
    SalesTax,
    TaxExempt,
    ProfitAs,
    SmallParts,
    Delivery,
    Fee,
    MarkedUpFee,
    GoodUntil,
    NotIncluded,
    StaticPressure,
    CodeFamily,
    TurnsInPlastic,
    Colors,
    Units,
    PriceList,
    Tables,
    TubeAllowance,
    Substitutes,
    Crew,
    Rate,
    Burden,
    Productivity,
    Difficulty,
    HoursADay,
    Kerf,
    ShortestJoined,
    KeepFrom,
    Reference,
    ShipTo,
    Needed,
    Accept,
}

impl Item {
    /// The items of which `for` says what they are said for.
    const TAKING_FOR: [Self; 11] = [
        Self::Allowance,
        Self::SalesTax,
        Self::TaxExempt,
        Self::Fee,
        Self::MarkedUpFee,
        Self::Crew,
        Self::Rate,
        Self::Difficulty,
        Self::Kerf,
        Self::Needed,
        Self::Accept,
    ];

    /// Whether `for` says what it is said for.
    pub(super) fn takes_for(self) -> bool {
        Self::TAKING_FOR.contains(&self)
    }

    /// Whether several rows of it add up.
    pub(super) const fn may_stand_often(self) -> bool {
        matches!(
            self,
            Self::PriceList | Self::Tables | Self::Fee | Self::MarkedUpFee | Self::NotIncluded | Self::Accept
        )
    }
}

/// The names of the items of which `for` says what they are said for.
pub(in crate::trade) fn taking_for() -> String {
    let name = |item: Item| KNOWN.iter().find(|(known, _)| *known == item).map(|(_, name)| *name);
    Item::TAKING_FOR.into_iter().filter_map(name).collect::<Vec<_>>().join(", ")
}

/// The items of the table `job`, each with its help and what it is where it is left out.
pub const ITEMS: [(&str, &str); 41] = [
    ("name", "the name of the job; left out: nothing"),
    ("date", "the day prices must be good on, as 2026-03-01; left out: validity is not judged"),
    ("currency", "shown beside sums; left out: USD"),
    ("water system", "the system of water runs that name none; left out: pex-clamp"),
    ("drain system", "the system of drain runs that name none; left out: none"),
    (
        "compare with",
        "systems to compare it with, parted by semicolons; none: compare with nothing; priced: every water system whose \
         tube the price lists have in all sizes of the run list; left out: of pex-clamp and copper-solder the other, for \
         any other system none",
    ),
    (
        "allowance",
        "points added to what is counted of a class, named in for; left out: 0. Beside a cut plan the allowance of \
         tube is what `tube allowance` says",
    ),
    ("small parts", "points of material for small parts that nobody counts; left out: 0"),
    ("delivery", "a sum for delivery, beside the delivery fees of the table suppliers; left out: 0"),
    ("contingency", "points of direct cost for what cannot be foreseen; left out: 0"),
    ("overhead", "points of direct cost and contingency; left out: 0"),
    ("profit", "points for profit; left out: 0"),
    (
        "profit as",
        "markup: a share of the cost (25 on 80 is 20); margin: a share of the price before tax and fees (20 of 100 is \
         20); left out: markup",
    ),
    (
        "sales tax",
        "points of what material and small parts cost; in for a class, or labor, tools or delivery, which are taxed only \
         where they are named; left out: 0",
    ),
    ("tax exempt", "yes for a class or a part, named in for, on which no sales tax is taken; left out: none"),
    (
        "fee",
        "a sum that is handed on after profit, named in for: permit, inspection, bond; several rows; left out: none",
    ),
    (
        "marked up fee",
        "the same among the direct costs, with overhead and profit taken on it; left out: none",
    ),
    (
        "bid good until",
        "the last day on which the bid stands, as 2026-04-30; left out: the owner's page says none",
    ),
    (
        "not included",
        "what the owner is told is not in the price; several rows; left out: what the sums show",
    ),
    ("static pressure", "static pressure in psi; not used yet"),
    ("code family", "the code that the authority goes by; not used yet"),
    ("turns in plastic", "bend or elbow, in tube that bends; left out: bend"),
    ("colors", "yes to buy tube red for hot and blue for cold where it is sold so; left out: yes"),
    ("units", "ft or m: what a bare length is, and what lengths are shown in; left out: ft"),
    (
        "price list",
        "a file or folder of price lists, from the folder of the job; several rows, or parted by semicolons",
    ),
    (
        "tables",
        "a folder of tables shared by jobs, from the folder of the job; several rows, or parted by semicolons",
    ),
    (
        "substitutes",
        "which fittings are built from others: needed (those nobody sells), cheaper (those too that cost less built), \
         none; left out: needed",
    ),
    ("tube allowance", "what becomes of it beside a cut plan: plan, piece or end; left out: plan"),
    (
        "crew",
        "how many work, of each kind named in for; left out: one person, or one of each that has a rate",
    ),
    ("rate", "wages an hour, of the kind named in for; left out: labor is counted in hours and not priced"),
    ("burden", "points on wages for taxes, insurance and the like; left out: 0"),
    ("productivity", "points: at 80 an hour of the table labor takes 1.25; left out: 100"),
    ("difficulty", "points added to the hours in the area named in for; left out: 0"),
    ("hours a day", "hours that the crew works in a day; left out: 8"),
    (
        "kerf",
        "what a saw cut loses, with its unit: 1/8 in. Of all that is handled in sticks, or of the system or tube named in \
         for; left out: nothing",
    ),
    (
        "shortest joined piece",
        "no part of a piece that is joined is shorter, with its unit: 12 in; left out: the least piece of \
         the system",
    ),
    (
        "keep offcuts from",
        "offcuts so long or longer are listed as worth keeping: 3 ft; left out: none is listed",
    ),
    ("job reference", "your own number on the orders; left out: nothing"),
    ("ship to", "where the goods go, on the orders; left out: nothing"),
    (
        "needed",
        "the day goods are needed, of the phase named in for or of all, as 2026-03-01; left out: no day",
    ),
    (
        "accept",
        "a warning that is meant so becomes a remark: in for its kind, as value its cell (prices.csv:D7, runs!J5) or the \
         name that it speaks of; several rows; an error cannot be accepted; left out: none",
    ),
];

pub(super) const KNOWN: [(Item, &str); 56] = [
    (Item::Name, "name"),
    (Item::Date, "date"),
    (Item::Currency, "currency"),
    (Item::WaterSystem, "water system"),
    (Item::DrainSystem, "drain system"),
    (Item::CompareWith, "compare with"),
    (Item::Allowance, "allowance"),
    (Item::Contingency, "contingency"),
    (Item::Overhead, "overhead"),
    (Item::Profit, "profit"),
    (Item::Profit, "markup"),
    (Item::Profit, "margin"),
    (Item::SalesTax, "sales tax"),
    (Item::SalesTax, "tax"),
    (Item::TaxExempt, "tax exempt"),
    (Item::ProfitAs, "profit as"),
    (Item::SmallParts, "small parts"),
    (Item::SmallParts, "small parts allowance"),
    (Item::Delivery, "delivery"),
    (Item::Fee, "fee"),
    (Item::Fee, "fees"),
    (Item::Fee, "permit"),
    (Item::Fee, "permit fee"),
    (Item::Fee, "inspection"),
    (Item::Fee, "inspection fee"),
    (Item::Fee, "bond"),
    (Item::MarkedUpFee, "marked up fee"),
    (Item::GoodUntil, "bid good until"),
    (Item::NotIncluded, "not included"),
    (Item::StaticPressure, "static pressure"),
    (Item::CodeFamily, "code family"),
    (Item::TurnsInPlastic, "turns in plastic"),
    (Item::Colors, "colors"),
    (Item::Units, "units"),
    (Item::PriceList, "price list"),
    (Item::PriceList, "price lists"),
    (Item::Tables, "tables"),
    (Item::TubeAllowance, "tube allowance"),
    (Item::Substitutes, "substitutes"),
    (Item::Crew, "crew"),
    (Item::Rate, "rate"),
    (Item::Rate, "rate per hour"),
    (Item::Rate, "wages"),
    (Item::Burden, "burden"),
    (Item::Productivity, "productivity"),
    (Item::Difficulty, "difficulty"),
    (Item::HoursADay, "hours a day"),
    (Item::Kerf, "kerf"),
    (Item::ShortestJoined, "shortest joined piece"),
    (Item::KeepFrom, "keep offcuts from"),
    (Item::Reference, "job reference"),
    (Item::Reference, "reference"),
    (Item::ShipTo, "ship to"),
    (Item::Needed, "needed"),
    (Item::Needed, "date needed"),
    (Item::Accept, "accept"),
];

pub(super) const PROFIT_AS: [(ProfitAs, &str); 2] =
    [(ProfitAs::Markup, "markup"), (ProfitAs::Margin, "margin")];
