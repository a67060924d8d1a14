//! `estimate.json`: the whole result for programs, on one line. Items, runs and rules stand in it once, each in a list;
//! all else names them by their place there. Decimals are written as text, as the CSV files have them. Called by
//! [`super::write`]; a change that readers would trip over raises [`FORMAT`].

use rust_decimal::Decimal;
use serde::Serialize;

use super::bid_lines::BidLine;
use super::json_alternates::{AlternateOut, UnitPricesOut, alternates_out, unit_prices_out};
use super::json_buying::{BuiltOut, BuyingOut, built_out, buying_out};
use super::json_reasons::{ReasonsOut, RuleOut, Rules, RunOut, reasons_out, runs_out};
use super::labor_out::{self, InstalledOut, LaborOut, ToolsOut};
use super::rows::{self, OrderRow};
use super::wording::{self, Wording};
use crate::estimate::alternative::Alternative;
use crate::estimate::bid::Bid;
use crate::estimate::comparison::{OneSided, RankedBy};
use crate::estimate::installed::joints_to_make;
use crate::estimate::item::ItemId;
use crate::estimate::order::CostLine;
use crate::ground::money::{cents, points, price, quantity};
use crate::ground::{Hangs, Notice, Severity};
use crate::trade::Settings;

/// The version of the file's shape.
pub const FORMAT: u32 = 2;

#[derive(Serialize)]
struct File<'a> {
    format: u32,
    program: &'static str,
    job: &'a str,
    date: Option<String>,
    currency: &'a str,
    unit: &'static str,
    complete: bool,
    prices: String,
    items: Vec<ItemOut<'a>>,
    runs: Vec<RunOut<'a>>,
    rules: Vec<RuleOut<'a>>,
    alternatives: Vec<AlternativeOut<'a>>,
    orders: Vec<super::json_orders::SentOut<'a>>,
    quote_request: Vec<super::json_orders::AskedOut<'a>>,
    returns: Vec<super::json_orders::BackOut<'a>>,
    comparison: ComparisonOut<'a>,
    alternates: Vec<AlternateOut<'a>>,
    unit_prices: Option<UnitPricesOut>,
    left_out: Vec<LeftOutOut<'a>>,
    notices: Vec<NoticeOut<'a>>,
}

/// An item in words. Everything else names it by its place in the list of items.
#[derive(Serialize)]
struct ItemOut<'a> {
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
    reasons: ReasonsOut<'a>,
    order: Vec<OrderOut<'a>>,
    cut_plans: Vec<super::json_cuts::PlanOut<'a>>,
    buying: BuyingOut<'a>,
    built: Vec<BuiltOut>,
    ends: Vec<EndOut<'a>>,
    balance: Vec<BalanceOut<'a>>,
    missing: Vec<MissingOut<'a>>,
    turns_as_bends: i64,
    joints_to_make: i64,
    cost: CostOut,
    labor: Option<LaborOut<'a>>,
    tools: Option<ToolsOut<'a>>,
}

#[derive(Serialize)]
struct TakeoffOut<'a> {
    phase: &'static str,
    service: &'static str,
    area: &'a str,
    item: u32,
    need: String,
}

#[derive(Serialize)]
struct OrderOut<'a> {
    supplier: Option<&'a str>,
    code: Option<&'a str>,
    item: u32,
    phase: &'static str,
    need: String,
    allowance_percent: String,
    allow: String,
    on_hand: String,
    status: &'static str,
    sold_as: Option<String>,
    packs: Option<String>,
    buy: Option<String>,
    left_over: Option<String>,
    net: Option<String>,
    price: Option<String>,
    per: Option<String>,
    extended: Option<String>,
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
struct CostOut {
    lines: Vec<CostLineOut>,
    material: String,
    bid_lines: Vec<BidLineOut>,
    bid: String,
    not_priced: Vec<u32>,
    fittings_share_percent: Option<String>,
}

#[derive(Serialize)]
struct CostLineOut {
    line: &'static str,
    sum: String,
}

/// One line of a bid.
#[derive(Serialize)]
pub(super) struct BidLineOut {
    name: String,
    percent: Option<String>,
    taken_on: &'static str,
    amount: String,
}

#[derive(Serialize)]
struct ComparisonOut<'a> {
    sentence: &'a str,
    cheapest: Option<&'a str>,
    ranked_by: &'static str,
    /// What every percentage of a difference is taken of.
    percent_of: &'a str,
    columns: Vec<ColumnOut<'a>>,
    tie: Option<TieOut<'a>>,
    one_sided: Vec<OneSidedOut<'a>>,
}

#[derive(Serialize)]
struct ColumnOut<'a> {
    alternative: &'a str,
    difference: Option<String>,
    difference_percent: Option<String>,
    tube_length: Option<String>,
    installed: Option<InstalledOut>,
}

#[derive(Serialize)]
struct TieOut<'a> {
    tube: &'a str,
    price_change_percent: Option<String>,
    alternative: &'a str,
    installed: Option<String>,
    against: &'a str,
    against_installed: Option<String>,
}

#[derive(Serialize)]
struct OneSidedOut<'a> {
    alternative: &'a str,
    item: u32,
    need: String,
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
    let rules = Rules::of(words);
    let file = File {
        format: FORMAT,
        program: env!("CARGO_PKG_NAME"),
        job: &words.job.settings.name,
        date: words.job.settings.date.map(|date| date.to_string()),
        currency: &words.job.settings.currency,
        unit: words.length_unit().abbreviation(),
        complete: estimate.is_complete(),
        prices: words.tried().unwrap_or_else(|| super::AS_LISTED.to_owned()),
        items: estimate.items.ids().map(|id| item_out(words, id)).collect(),
        runs: runs_out(words),
        rules: rules.out(words),
        alternatives: (0..)
            .zip(&estimate.alternatives)
            .map(|(index, alternative)| {
                let reasons = reasons_out(words, &rules, alternative);
                alternative_out(words, index, alternative, (&orders, &ranks), reasons)
            })
            .collect(),
        orders: super::json_orders::orders(words, &orders),
        quote_request: super::json_orders::request(words, &orders, &ranks),
        returns: super::json_orders::returns(words, &orders),
        comparison: comparison_out(words),
        alternates: alternates_out(words),
        unit_prices: unit_prices_out(words),
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
    let mut bytes = serde_json::to_vec(&file)?;
    bytes.push(b'\n');
    Ok(bytes)
}

fn item_out<'a>(words: &Wording<'a>, id: ItemId) -> ItemOut<'a> {
    ItemOut {
        system: words.item_system(id),
        part: words.part_name(id),
        size: words.sizes(id),
        variant: words.variant(id),
        class: words.item(id).class.word(),
        unit: words.unit(id),
    }
}

fn alternative_out<'a>(
    words: &Wording<'a>,
    index: usize,
    alternative: &'a Alternative,
    (orders, ranks): (&[OrderRow<'a>], &[u32]),
    reasons: ReasonsOut<'a>,
) -> AlternativeOut<'a> {
    let takeoff = &alternative.takeoff;
    AlternativeOut {
        system: words.system(alternative.system),
        chosen: index == 0,
        complete: words.estimate.comparison.is_whole(index),
        takeoff: takeoff_out(words, index, ranks),
        reasons,
        order: orders
            .iter()
            .filter(|row| row.alternative == index)
            .map(|row| order_out(words, row))
            .collect(),
        cut_plans: alternative.plans.iter().map(|plan| super::json_cuts::plan_out(words, plan)).collect(),
        buying: buying_out(words, &alternative.buying),
        built: alternative.built.iter().map(built_out).collect(),
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
        joints_to_make: joints_to_make(alternative),
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
            item: row.item.0,
            need: quantity(row.need),
        })
        .collect()
}

fn order_out<'a>(words: &Wording<'a>, row: &OrderRow<'a>) -> OrderOut<'a> {
    let pick = row.pick.map(|(pick, _)| pick);
    let offer = row.pick.map(|(_, offer)| offer);
    OrderOut {
        supplier: offer.map(|offer| words.supplier(offer)),
        code: offer.map(|offer| &*offer.code),
        item: row.line.item.0,
        phase: row.line.phase.word(),
        need: quantity(row.need()),
        allowance_percent: points(row.line.allowance),
        allow: quantity(row.allow()),
        on_hand: quantity(if row.first { row.line.on_hand } else { Decimal::ZERO }),
        status: row.status(),
        sold_as: offer.map(|offer| words.sold_as(offer)),
        packs: pick.map(|pick| quantity(pick.packs)),
        buy: pick.map(|pick| quantity(pick.buy)),
        left_over: pick.map(|pick| quantity(pick.left_over)),
        net: pick.map(|pick| price(pick.net)),
        price: pick.map(|pick| price(pick.price)),
        per: offer.map(|offer| words.ordered_per(offer)),
        extended: pick.map(|pick| pick.extended).or(row.line.extended).map(cents),
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

fn cost_out(words: &Wording<'_>, alternative: &Alternative) -> CostOut {
    let cost = &alternative.cost;
    CostOut {
        lines: CostLine::ALL
            .iter()
            .zip(&cost.lines)
            .map(|(line, sum)| CostLineOut { line: line.word(), sum: cents(*sum) })
            .collect(),
        material: cents(cost.material),
        bid_lines: bid_lines_out(&words.job.settings, alternative, &cost.bid),
        bid: cents(cost.bid.total),
        not_priced: cost.not_priced.iter().map(|item| item.0).collect(),
        fittings_share_percent: cost.fittings_share.map(points),
    }
}

/// The lines of a bid, of the chosen work or with an alternate.
pub(super) fn bid_lines_out(terms: &Settings, of: &Alternative, bid: &Bid) -> Vec<BidLineOut> {
    let line = |line: BidLine| BidLineOut {
        name: line.name(terms),
        percent: line.points(terms).map(points),
        taken_on: line.taken_on(terms, of),
        amount: cents(line.amount(terms, bid)),
    };
    BidLine::all(terms).into_iter().map(line).collect()
}

fn comparison_out<'a>(words: &Wording<'a>) -> ComparisonOut<'a> {
    let comparison = &words.estimate.comparison;
    let column = |index: usize| ColumnOut {
        alternative: words.alternative(index),
        difference: comparison.differences.get(index).map(|d| cents(d.0)),
        difference_percent: comparison.differences.get(index).and_then(|d| d.1).map(points),
        tube_length: comparison.feet.get(index).map(|length| quantity(*length)),
        installed: labor_out::installed(words, index),
    };
    let one_sided = |one: &OneSided| OneSidedOut {
        alternative: words.alternative(one.alternative),
        item: one.item.0,
        need: quantity(one.need),
    };
    ComparisonOut {
        sentence: &comparison.sentence,
        cheapest: comparison.cheapest.map(|index| words.alternative(index)),
        ranked_by: match comparison.ranked_by {
            RankedBy::Material => "material",
            RankedBy::Installed => "installed",
        },
        percent_of: words.alternative(0),
        columns: (0..words.estimate.alternatives.len()).map(column).collect(),
        tie: comparison.tie.as_ref().map(|tie| TieOut {
            tube: words.word(tie.tube),
            price_change_percent: tie.at.map(|at| points(at.points)),
            alternative: words.alternative(tie.on),
            installed: tie.at.map(|at| cents(at.total)),
            against: words.alternative(tie.against),
            against_installed: tie.at.map(|at| cents(at.other)),
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
