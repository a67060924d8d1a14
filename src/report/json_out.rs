//! `estimate.json`: the whole result for programs, with names and places in words. Decimals are written as text, so
//! that nothing of a price or quantity is lost. Called by [`super::write`]; a change that readers would trip over
//! raises [`FORMAT`].

use rust_decimal::Decimal;
use serde::Serialize;

use super::bid_lines::BidLine;
use super::json_buying::{BuiltOut, BuyingOut, built_out, buying_out};
use super::labor_out::{self, InstalledOut, LaborOut, ToolsOut};
use super::rows::{self, OrderRow};
use super::wording::{self, Wording};
use crate::estimate::order::{Alternative, CostLine, OneSided, RankedBy};
use crate::estimate::takeoff::{Because, Line, Subject};
use crate::ground::money::round_half_away;
use crate::ground::{Hangs, Notice, Severity};
use crate::trade::Terms;

/// The version of the file's shape.
pub const FORMAT: u32 = 1;

#[derive(Serialize)]
struct File<'a> {
    format: u32,
    program: &'static str,
    job: &'a str,
    date: Option<String>,
    currency: &'a str,
    unit: &'static str,
    complete: bool,
    #[serde(skip_serializing_if = "Option::is_none")]
    prices: Option<String>,
    alternatives: Vec<AlternativeOut<'a>>,
    orders: Vec<super::json_orders::SentOut<'a>>,
    quote_request: Vec<super::json_orders::AskedOut<'a>>,
    returns: Vec<super::json_orders::BackOut<'a>>,
    comparison: ComparisonOut<'a>,
    left_out: Vec<LeftOutOut<'a>>,
    notices: Vec<NoticeOut<'a>>,
}

/// An item in words.
#[derive(Serialize)]
pub(super) struct ItemOut<'a> {
    system: &'a str,
    part: &'a str,
    size: String,
    variant: String,
    class: &'static str,
    unit: &'a str,
}

#[derive(Serialize)]
struct AlternativeOut<'a> {
    system: &'a str,
    chosen: bool,
    complete: bool,
    takeoff: Vec<TakeoffOut<'a>>,
    reasons: Vec<ReasonOut<'a>>,
    order: Vec<OrderOut<'a>>,
    cut_plans: Vec<super::json_cuts::PlanOut<'a>>,
    buying: BuyingOut<'a>,
    built: Vec<BuiltOut<'a>>,
    ends: Vec<EndOut<'a>>,
    balance: Vec<BalanceOut<'a>>,
    missing: Vec<MissingOut<'a>>,
    turns_as_bends: i64,
    joints: i64,
    cost: CostOut<'a>,
    labor: Option<LaborOut<'a>>,
    tools: Option<ToolsOut<'a>>,
}

#[derive(Serialize)]
struct TakeoffOut<'a> {
    phase: &'static str,
    service: &'static str,
    area: &'a str,
    #[serde(flatten)]
    item: ItemOut<'a>,
    need: Decimal,
}

#[derive(Serialize)]
struct ReasonOut<'a> {
    #[serde(flatten)]
    item: ItemOut<'a>,
    quantity: Decimal,
    why: String,
    whose: String,
    run_row: Option<String>,
    rule_row: Option<String>,
    service: &'static str,
    phase: &'static str,
    area: &'a str,
}

#[derive(Serialize)]
struct OrderOut<'a> {
    supplier: Option<&'a str>,
    code: Option<&'a str>,
    #[serde(flatten)]
    item: ItemOut<'a>,
    phase: &'static str,
    need: Decimal,
    allowance_percent: Decimal,
    allow: Decimal,
    on_hand: Decimal,
    priced: bool,
    sold_as: Option<String>,
    packs: Option<Decimal>,
    buy: Option<Decimal>,
    left_over: Option<Decimal>,
    net: Option<Decimal>,
    price: Option<Decimal>,
    per: Option<String>,
    extended: Option<Decimal>,
    price_row: Option<String>,
}

#[derive(Serialize)]
struct EndOut<'a> {
    run: &'a str,
    end: &'static str,
    is: &'static str,
    size: &'a str,
    service: &'static str,
    phase: &'static str,
    count: u32,
}

#[derive(Serialize)]
struct BalanceOut<'a> {
    system: &'a str,
    size: &'a str,
    male: i64,
    filled: i64,
    on_site: i64,
    elsewhere: i64,
    declared: i64,
}

#[derive(Serialize)]
struct MissingOut<'a> {
    asked_by: String,
    what: &'a str,
    system: &'a str,
}

#[derive(Serialize)]
struct CostOut<'a> {
    lines: Vec<CostLineOut>,
    material: Decimal,
    bid_lines: Vec<BidLineOut>,
    bid: Decimal,
    not_priced: Vec<ItemOut<'a>>,
    fittings_share_percent: Option<Decimal>,
}

#[derive(Serialize)]
struct CostLineOut {
    line: &'static str,
    sum: Decimal,
}

#[derive(Serialize)]
struct BidLineOut {
    name: String,
    percent: Option<Decimal>,
    taken_on: &'static str,
    amount: Decimal,
}

#[derive(Serialize)]
struct ComparisonOut<'a> {
    sentence: &'a str,
    cheapest: Option<&'a str>,
    ranked_by: &'static str,
    columns: Vec<ColumnOut<'a>>,
    tie: Option<TieOut<'a>>,
    one_sided: Vec<OneSidedOut<'a>>,
}

#[derive(Serialize)]
struct ColumnOut<'a> {
    alternative: &'a str,
    difference: Option<Decimal>,
    difference_percent: Option<Decimal>,
    joints: Option<i64>,
    tube_length: Option<Decimal>,
    installed: Option<InstalledOut>,
}

#[derive(Serialize)]
struct TieOut<'a> {
    tube: &'a str,
    price_change_percent: Option<Decimal>,
    alternative: &'a str,
    installed: Option<Decimal>,
    against: &'a str,
    against_installed: Option<Decimal>,
}

#[derive(Serialize)]
struct OneSidedOut<'a> {
    alternative: &'a str,
    #[serde(flatten)]
    item: ItemOut<'a>,
    need: Decimal,
}

#[derive(Serialize)]
struct LeftOutOut<'a> {
    run: &'a str,
    row: Option<String>,
    why: &'a str,
}

#[derive(Serialize)]
pub(super) struct NoticeOut<'a> {
    severity: Severity,
    kind: &'static str,
    at: Vec<String>,
    found: &'a str,
    expected: &'a str,
    remedy: &'a str,
    /// What hangs on it, where it has another reading.
    #[serde(skip_serializing_if = "Option::is_none")]
    hangs: Option<&'a Hangs>,
    /// The cell of the table `job` that accepts it.
    #[serde(skip_serializing_if = "Option::is_none")]
    accepted: Option<String>,
}

/// The text of `estimate.json`.
pub(super) fn write(words: &Wording<'_>) -> Result<Vec<u8>, serde_json::Error> {
    let estimate = words.estimate;
    let orders = rows::order(words);
    let ranks = rows::ranks(words);
    let file = File {
        format: FORMAT,
        program: env!("CARGO_PKG_NAME"),
        job: &words.job.terms.name,
        date: words.job.terms.date.map(|date| date.to_string()),
        currency: &words.job.terms.currency,
        unit: words.length_unit().abbreviation(),
        complete: estimate.is_complete(),
        prices: words.tried(),
        alternatives: (0..)
            .zip(&estimate.alternatives)
            .map(|(index, alternative)| alternative_out(words, index, alternative, &orders, &ranks))
            .collect(),
        orders: super::json_orders::orders(words, &orders),
        quote_request: super::json_orders::request(words, &orders, &ranks),
        returns: super::json_orders::returns(words, &orders),
        comparison: comparison_out(words),
        left_out: estimate
            .left_out
            .iter()
            .map(|left| LeftOutOut {
                run: words.run_name(left.run),
                row: words.run(left.run).map(|run| words.spot(run.row)),
                why: &left.why,
            })
            .collect(),
        notices: estimate.told.iter().map(notice_out).collect(),
    };
    let mut bytes = serde_json::to_vec_pretty(&file)?;
    bytes.push(b'\n');
    Ok(bytes)
}

pub(super) fn item_out<'a>(words: &Wording<'a>, id: crate::estimate::item::ItemId) -> ItemOut<'a> {
    ItemOut {
        system: words.item_system(id),
        part: words.part_name(id),
        size: words.sizes(id),
        variant: words.variant(id),
        class: words.item(id).class.word(),
        unit: words.unit(id),
    }
}

/// Quantities in JSON: six places, as the workbook's inner rounding.
fn quantity(number: Decimal) -> Decimal {
    round_half_away(number, 6).normalize()
}

fn alternative_out<'a>(
    words: &Wording<'a>,
    index: usize,
    alternative: &'a Alternative,
    orders: &[OrderRow<'a>],
    ranks: &[u32],
) -> AlternativeOut<'a> {
    let takeoff = &alternative.takeoff;
    AlternativeOut {
        system: words.system(alternative.system),
        chosen: index == 0,
        complete: words.estimate.comparison.is_whole(index),
        takeoff: takeoff_out(words, index, ranks),
        reasons: takeoff.lines.iter().map(|line| reason_out(words, line)).collect(),
        order: orders
            .iter()
            .filter(|row| row.alternative == index)
            .map(|row| order_out(words, row))
            .collect(),
        cut_plans: alternative.plans.iter().map(|plan| super::json_cuts::plan_out(words, plan)).collect(),
        buying: buying_out(words, &alternative.buying),
        built: alternative.built.iter().map(|built| built_out(words, built)).collect(),
        ends: takeoff.ends.iter().map(|end| end_out(words, end)).collect(),
        balance: takeoff.balance.iter().map(|balance| balance_out(words, balance)).collect(),
        missing: takeoff
            .missing
            .iter()
            .map(|missing| MissingOut {
                asked_by: words.subject(missing.subject),
                what: &missing.what,
                system: words.system(missing.system),
            })
            .collect(),
        turns_as_bends: takeoff.bends,
        joints: takeoff.joints,
        cost: cost_out(words, alternative),
        labor: labor_out::labor(words, alternative),
        tools: labor_out::tools(words, alternative),
    }
}

fn takeoff_out<'a>(words: &Wording<'a>, index: usize, ranks: &[u32]) -> Vec<TakeoffOut<'a>> {
    rows::takeoff(words, index, ranks)
        .0
        .iter()
        .map(|row| TakeoffOut {
            phase: row.phase.word(),
            service: wording::service(row.service),
            area: words.word(row.area),
            item: item_out(words, row.item),
            need: quantity(row.need),
        })
        .collect()
}

fn reason_out<'a>(words: &Wording<'a>, line: &Line) -> ReasonOut<'a> {
    ReasonOut {
        item: item_out(words, line.item),
        quantity: quantity(words.quantity(line)),
        why: words.because(line),
        whose: words.subject(line.subject),
        run_row: match line.subject {
            Subject::Run(run) => words.run(run).map(|run| words.spot(run.row)),
            Subject::Place(_) => None,
        },
        rule_row: match line.because {
            Because::Rule(row) => Some(words.spot(row)),
            _ => None,
        },
        service: wording::service(line.service),
        phase: line.phase.word(),
        area: words.word(line.area),
    }
}

fn order_out<'a>(words: &Wording<'a>, row: &OrderRow<'a>) -> OrderOut<'a> {
    let pick = row.pick.map(|(pick, _)| pick);
    let offer = row.pick.map(|(_, offer)| offer);
    OrderOut {
        supplier: offer.map(|offer| words.supplier(offer)),
        code: offer.map(|offer| &*offer.code),
        item: item_out(words, row.line.item),
        phase: row.line.phase.word(),
        need: quantity(row.need()),
        allowance_percent: row.line.allowance.normalize(),
        allow: quantity(row.allow()),
        on_hand: if row.first { quantity(row.line.on_hand) } else { Decimal::ZERO },
        priced: !row.is_not_priced(),
        sold_as: offer.map(|offer| words.sold_as(offer)),
        packs: pick.map(|pick| quantity(pick.packs)),
        buy: pick.map(|pick| quantity(pick.buy)),
        left_over: pick.map(|pick| quantity(pick.left_over)),
        net: pick.map(|pick| pick.net),
        price: pick.map(|pick| pick.price),
        per: offer.map(|offer| words.ordered_per(offer)),
        extended: pick.map(|pick| pick.extended),
        price_row: offer.map(|offer| words.spot(offer.row)),
    }
}

fn end_out<'a>(words: &Wording<'a>, end: &crate::estimate::takeoff::EndLine) -> EndOut<'a> {
    EndOut {
        run: words.run_name(end.run),
        end: wording::run_end(end.end),
        is: wording::end_met(end.met),
        size: words.word(end.size),
        service: end.service.word(),
        phase: end.phase.word(),
        count: end.copies,
    }
}

fn balance_out<'a>(words: &Wording<'a>, balance: &crate::estimate::takeoff::Balance) -> BalanceOut<'a> {
    BalanceOut {
        system: words.system(balance.system),
        size: words.word(balance.size),
        male: balance.male,
        filled: balance.filled,
        on_site: balance.on_site,
        elsewhere: balance.elsewhere,
        declared: balance.declared,
    }
}

fn cost_out<'a>(words: &Wording<'a>, alternative: &Alternative) -> CostOut<'a> {
    let cost = &alternative.cost;
    CostOut {
        lines: CostLine::ALL
            .iter()
            .zip(&cost.lines)
            .map(|(line, sum)| CostLineOut { line: line.word(), sum: *sum })
            .collect(),
        material: cost.material,
        bid_lines: bid_lines_out(&words.job.terms, alternative),
        bid: cost.bid.total,
        not_priced: cost.not_priced.iter().map(|item| item_out(words, *item)).collect(),
        fittings_share_percent: cost.fittings_share,
    }
}

fn bid_lines_out(terms: &Terms, of: &Alternative) -> Vec<BidLineOut> {
    let line = |line: BidLine| BidLineOut {
        name: line.name(terms),
        percent: line.points(terms).map(|points| points.normalize()),
        taken_on: line.taken_on(terms, of),
        amount: line.amount(terms, &of.cost.bid),
    };
    BidLine::all(terms).into_iter().map(line).collect()
}

fn comparison_out<'a>(words: &Wording<'a>) -> ComparisonOut<'a> {
    let comparison = &words.estimate.comparison;
    let column = |index: usize| ColumnOut {
        alternative: words.alternative(index),
        difference: comparison.differences.get(index).map(|d| d.0),
        difference_percent: comparison.differences.get(index).and_then(|d| d.1),
        joints: comparison.joints.get(index).copied(),
        tube_length: comparison.feet.get(index).map(Decimal::normalize),
        installed: labor_out::installed(words, index),
    };
    let one_sided = |one: &OneSided| OneSidedOut {
        alternative: words.alternative(one.alternative),
        item: item_out(words, one.item),
        need: quantity(one.need),
    };
    ComparisonOut {
        sentence: &comparison.sentence,
        cheapest: comparison.cheapest.map(|index| words.alternative(index)),
        ranked_by: match comparison.ranked_by {
            RankedBy::Material => "material",
            RankedBy::Installed => "installed",
        },
        columns: (0..words.estimate.alternatives.len()).map(column).collect(),
        tie: comparison.tie.as_ref().map(|tie| TieOut {
            tube: words.word(tie.tube),
            price_change_percent: tie.at.map(|at| at.points),
            alternative: words.alternative(tie.on),
            installed: tie.at.map(|at| at.total),
            against: words.alternative(tie.against),
            against_installed: tie.at.map(|at| at.other),
        }),
        one_sided: comparison.one_sided.iter().map(one_sided).collect(),
    }
}

pub(super) fn notice_out(notice: &Notice) -> NoticeOut<'_> {
    NoticeOut {
        severity: notice.severity,
        kind: notice.kind,
        at: notice.spots.iter().map(ToString::to_string).collect(),
        found: &notice.found,
        expected: &notice.expected,
        remedy: &notice.remedy,
        hangs: notice.hangs.as_ref(),
        accepted: notice.accepted.as_ref().map(ToString::to_string),
    }
}
