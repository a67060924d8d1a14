//! The CSV files of an estimate: takeoff, order, cut plan, held choices, comparison, bid, owner. One fact a row; numbers
//! stand without units in columns of one unit, and what is said in words has a column of its own. Called by
//! [`super::bytes`]; it touches no disk.

use std::collections::BTreeSet;

use rust_decimal::Decimal;

use super::bid_lines::BidLine;
use super::csv_table::{Cell, Table};
use super::owner::Owner;
use super::rows::{self, OrderRow};
use super::wording::{Wording, service};
use super::{AS_LISTED, INCOMPLETE, marks};
use crate::estimate::bid::{Bid, both_ways};
use crate::estimate::buying::Market;
use crate::estimate::installed::Installed;
use crate::estimate::needs::takeoff_rows;
use crate::estimate::order::{CostLine, CutPiece, Cutting, Pick};

/// `takeoff.csv`: every alternative, without allowances.
pub(super) fn takeoff(wording: &Wording<'_>) -> String {
    let mut table = Table::new(&[
        "alternative",
        "phase",
        "service",
        "system",
        "part",
        "size",
        "variant",
        "unit",
        "need",
        "estimate",
    ]);
    let marks = marks(wording);
    for (index, alternative) in wording.estimate.alternatives.iter().enumerate() {
        let job = wording.job;
        let (items, lines) = (&wording.estimate.items, &alternative.takeoff.lines);
        for row in takeoff_rows(&job.lexicon, &job.catalog, items, job.settings.units, lines) {
            table.row([
                Cell::text(wording.alternative(index)),
                Cell::text(row.phase.word()),
                Cell::text(service(row.service)),
                Cell::text(wording.item_system(row.item)),
                Cell::text(wording.part_name(row.item)),
                Cell::size(&wording.sizes(row.item)),
                Cell::text(&wording.variant(row.item)),
                Cell::text(wording.unit(row.item)),
                Cell::quantity(row.need),
                Cell::text(mark(&marks, index)),
            ]);
        }
    }
    table.text()
}

/// Whether an alternative is whole, in the word of every file.
fn mark(marks: &[&'static str], index: usize) -> &'static str {
    marks.get(index).copied().unwrap_or(INCOMPLETE)
}

/// `order.csv`: what the chosen alternative buys, one row a pick.
pub(super) fn order(wording: &Wording<'_>) -> String {
    let mut table = Table::new(&[
        "supplier",
        "code",
        "part",
        "system",
        "size",
        "variant",
        "phase",
        "unit",
        "need",
        "allow",
        "on hand",
        "pack",
        "packs",
        "buy",
        "left over",
        "price",
        "per",
        "extended",
        "status",
        "prices",
        "estimate",
    ]);
    let prices = wording.tried().unwrap_or_else(|| AS_LISTED.to_owned());
    let marks = marks(wording);
    for row in rows::order(wording).iter().filter(|row| row.alternative == 0) {
        let mut cells = order_cells(wording, row);
        cells.extend([Cell::text(&prices), Cell::text(mark(&marks, 0))]);
        table.row(cells);
    }
    table.text()
}

fn order_cells(wording: &Wording<'_>, row: &OrderRow<'_>) -> Vec<Cell> {
    let item = row.line.item;
    let (pick, offer) = row.pick.unzip();
    let of = |value: fn(&Pick) -> Decimal, kind: fn(Decimal) -> Cell| Cell::maybe(pick.map(value), kind);
    vec![
        Cell::maybe(offer, |o| Cell::text(wording.supplier(o))),
        Cell::maybe(offer, |o| Cell::text(&o.code)),
        Cell::text(wording.part_name(item)),
        Cell::text(wording.item_system(item)),
        Cell::size(&wording.sizes(item)),
        Cell::text(&wording.variant(item)),
        Cell::text(row.line.phase.word()),
        Cell::text(wording.unit(item)),
        Cell::quantity(row.need()),
        Cell::quantity(row.allow()),
        // What is on hand is taken off the line once, before anything is bought.
        Cell::quantity(if row.first { row.line.on_hand } else { Decimal::ZERO }),
        Cell::maybe(offer, |o| Cell::quantity(wording.pack(o))),
        of(|p| p.packs, Cell::quantity),
        of(|p| p.buy, Cell::quantity),
        of(|p| p.left_over, Cell::quantity),
        of(|p| p.price, Cell::price),
        Cell::maybe(offer, |o| Cell::text(&wording.ordered_per(o))),
        Cell::maybe(pick.map(|pick| pick.extended).or(row.line.extended), Cell::cents),
        Cell::text(row.status()),
    ]
}

/// `cut-plan.csv`: every alternative, one row for each run that a coil or stick gives pieces of one length, in the order
/// to cut.
pub(super) fn cut_plan(wording: &Wording<'_>) -> String {
    let unit = wording.length_unit().abbreviation();
    let heading = |name: &str| format!("{name} ({unit})");
    let (length, piece, left) = (heading("length"), heading("piece"), heading("left"));
    let mut table = Table::new(&[
        "alternative",
        "part",
        "system",
        "size",
        "variant",
        "plan",
        "times",
        "sold as",
        &length,
        &piece,
        "pieces",
        "run",
        "part of a longer piece",
        &left,
        "worth keeping",
        "estimate",
    ]);
    let marks = marks(wording);
    for (index, alternative) in wording.estimate.alternatives.iter().enumerate() {
        for plan in &alternative.plans {
            for (number, cutting) in (1_u64..).zip(&plan.cuttings) {
                for piece in &cutting.pieces {
                    for (run, pieces) in shares(wording, cutting, piece) {
                        table.row([
                            Cell::text(wording.alternative(index)),
                            Cell::text(wording.part_name(plan.item)),
                            Cell::text(wording.item_system(plan.item)),
                            Cell::size(&wording.sizes(plan.item)),
                            Cell::text(&wording.variant(plan.item)),
                            Cell::whole(number),
                            Cell::whole(cutting.times),
                            Cell::text(&wording.cut_from(cutting).0),
                            Cell::quantity(wording.shown(cutting.length)),
                            Cell::quantity(wording.shown(piece.length)),
                            Cell::whole(pieces),
                            Cell::text(run),
                            Cell::yes_no(piece.joined),
                            Cell::quantity(wording.shown(cutting.left)),
                            Cell::yes_no(wording.is_worth_keeping(cutting)),
                            Cell::text(mark(&marks, index)),
                        ]);
                    }
                }
            }
        }
    }
    table.text()
}

/// The runs that pieces of all coils or sticks cut alike are for, each with how many; what is spare last, for nobody.
fn shares<'a>(wording: &Wording<'a>, cutting: &Cutting, piece: &CutPiece) -> Vec<(&'a str, u64)> {
    let all = piece.number.saturating_mul(cutting.times);
    let named: u64 = piece.runs.iter().map(|(_, pieces)| *pieces).sum();
    // Of coils that came out alike one by one the runs are those of each; of many that were never told apart, of all.
    let times = if named <= piece.number { cutting.times } else { 1 };
    let mut shares: Vec<(&str, u64)> = piece
        .runs
        .iter()
        .map(|(run, pieces)| (wording.run_name(*run), pieces.saturating_mul(times)))
        .collect();
    let spare = all.saturating_sub(named.saturating_mul(times));
    shares.extend((spare > 0).then_some(("", spare)));
    shares
}

/// `held.csv`: the choices of every alternative, as the table `held` takes them.
pub(super) fn held(wording: &Wording<'_>) -> String {
    let mut table = Table::new(&[
        "alternative",
        "part",
        "size",
        "system",
        "variant",
        "color",
        "offer",
        "packs",
        "plan",
        "estimate",
    ]);
    let mut written = BTreeSet::new();
    let (market, marks) = (Market::open(wording.job), marks(wording));
    for row in rows::order(wording) {
        let item = wording.item(row.line.item);
        let built = wording.estimate.alternatives[row.alternative].built.iter();
        let mut built = built.filter(|built| row.first && built.item == row.line.item);
        let of_built = built.next().map(|built| market.made_up_as(&wording.estimate.items, built));
        let (offer, packs, plan) = match (row.pick, of_built) {
            (Some((pick, _)), _) => (
                market.kept_as(pick.offer),
                // Of loose tube in another unit the number is no whole one; it follows from the need in any case.
                Cell::maybe(Some(pick.packs).filter(Decimal::is_integer), Cell::whole),
                match (row.plan.is_some(), row.is_more_than_fewest(wording)) {
                    (true, _) => "cut plan",
                    (false, true) => "at least",
                    (false, false) => "",
                },
            ),
            (None, Some(built)) => (built, Cell::empty(), ""),
            (None, None) => continue,
        };
        let cells = vec![
            // Each alternative buys for itself, and what two of them use may be bought otherwise in each.
            Cell::text(wording.alternative(row.alternative)),
            Cell::text(wording.part_name(row.line.item)),
            Cell::size(&wording.sizes(row.line.item)),
            Cell::text(wording.item_system(row.line.item)),
            Cell::text(wording.word(item.variant)),
            Cell::text(item.color.word()),
            Cell::text(&offer),
            packs,
            Cell::text(plan),
            Cell::text(mark(&marks, row.alternative)),
        ];
        if written.insert(cells.clone()) {
            table.row(cells);
        }
    }
    table.text()
}

/// `comparison.csv`: one row a cost line with its unit, one column an alternative. Percentages are of the chosen one.
pub(super) fn comparison(wording: &Wording<'_>) -> String {
    let alternatives = &wording.estimate.alternatives;
    let mut headings = vec!["cost line", "unit"];
    headings.extend((0..alternatives.len()).map(|index| wording.alternative(index)));
    let mut table = Table::new(&headings);
    let currency = &*wording.job.settings.currency;
    let of_chosen = wording.percent_of();
    let mut line = |name: &str, unit: &str, cells: Vec<Cell>| {
        table.row([Cell::text(name), Cell::text(unit)].into_iter().chain(cells));
    };
    for (i, cost_line) in CostLine::ALL.iter().enumerate() {
        line(cost_line.word(), currency, alternatives.iter().map(|a| Cell::cents(a.cost.lines[i])).collect());
    }
    line("material", currency, alternatives.iter().map(|a| Cell::cents(a.cost.material)).collect());
    let comparison = &wording.estimate.comparison;
    let sums = |list: &[(Decimal, Option<Decimal>)]| list.iter().map(|d| Cell::cents(d.0)).collect();
    let shares =
        |list: &[(Decimal, Option<Decimal>)]| list.iter().map(|d| Cell::maybe(d.1, Cell::points)).collect();
    line("difference", currency, sums(&comparison.differences));
    line("difference %", &of_chosen, shares(&comparison.differences));
    let terms = &wording.job.settings;
    for of in BidLine::all(terms).into_iter().filter(|line| *line != BidLine::Material) {
        let amounts = alternatives.iter().map(|a| Cell::cents(of.amount(terms, &a.cost.bid)));
        line(&of.name(terms), currency, amounts.collect());
    }
    let of = |cell: &dyn Fn(&Installed) -> Cell| comparison.installed.iter().map(cell).collect::<Vec<_>>();
    line("tax on material, tools and labor", currency, of(&|of| Cell::cents(of.tax)));
    line("installed", currency, of(&|of| Cell::cents(of.total)));
    line("installed difference", currency, sums(&comparison.installed_differences));
    line("installed difference %", &of_chosen, shares(&comparison.installed_differences));
    line("hours", "h", of(&|of| Cell::maybe(of.hours, Cell::cents)));
    line("crew days", "days", of(&|of| Cell::maybe(of.days, Cell::cents)));
    line("not priced", "parts", alternatives.iter().map(|a| Cell::whole(a.cost.not_priced.len())).collect());
    line("joints to make", "each", of(&|of| Cell::whole(of.joints)));
    let unit = wording.length_unit().abbreviation();
    line("tube length", unit, comparison.feet.iter().map(|length| Cell::quantity(*length)).collect());
    let called = (0..alternatives.len()).map(|index| Cell::text(wording.alternative_in_words(index)));
    line("in words", "", called.collect());
    let prices = wording.tried().unwrap_or_else(|| AS_LISTED.to_owned());
    line("prices", "", alternatives.iter().map(|_| Cell::text(&prices)).collect());
    line("estimate", "", marks(wording).into_iter().map(Cell::text).collect());
    table.text()
}

/// `bid.csv`: the bid line by line, one column for each system and for each alternate taken.
pub(super) fn bid(wording: &Wording<'_>) -> String {
    let (terms, estimate) = (&wording.job.settings, wording.estimate);
    let priced: Vec<_> =
        estimate.optional.iter().filter_map(|one| Some((one, one.moved.as_ref()?))).collect();
    let mut headings = vec!["line".to_owned(), "percent".to_owned(), "taken on".to_owned()];
    headings.extend((0..estimate.alternatives.len()).map(|index| wording.alternative(index).to_owned()));
    headings.extend(priced.iter().map(|(one, _)| format!("alternate: {}", wording.word(one.name))));
    let mut table = Table::new(&headings);
    let Some(chosen) = estimate.alternatives.first() else { return table.text() };
    let base = &chosen.cost.bid;
    let bids: Vec<_> = estimate
        .alternatives
        .iter()
        .map(|one| &one.cost.bid)
        .chain(priced.iter().map(|(_, moved)| &moved.bid))
        .collect();
    for line in BidLine::all(terms) {
        let front = [
            Cell::text(&line.name(terms)),
            Cell::maybe(line.points(terms), Cell::points),
            Cell::text(line.taken_on(terms, chosen)),
        ];
        table.row(front.into_iter().chain(bids.iter().map(|bid| Cell::cents(line.amount(terms, bid)))));
    }
    let front = |name: &str, why: &str| [Cell::text(name), Cell::empty(), Cell::text(why)];
    let against = |bid: &&Bid| Cell::cents(bid.total - base.total);
    table.row(front("against the base bid", "").into_iter().chain(bids.iter().map(against)));
    if let Some((markup, margin)) = both_ways(terms.profit, terms.bid.profit_as) {
        for (name, share) in
            [("profit as a markup on the cost", markup), ("profit as a margin of the price", margin)]
        {
            table.row([Cell::text(name), Cell::points(share)]);
        }
    }
    let prices = wording.tried().unwrap_or_else(|| AS_LISTED.to_owned());
    table.row(front("prices", &prices));
    let whole = priced.iter().map(|(one, _)| super::mark_of(one.complete && estimate.is_complete()));
    let whole = marks(wording).into_iter().chain(whole).map(Cell::text);
    table.row(front("estimate", "").into_iter().chain(whole));
    table.text()
}

/// `owner.csv`: what the owner is told.
pub(super) fn owner(owner: &Owner) -> String {
    let mut table = Table::new(&["section", "item", "detail", "count", "amount"]);
    for row in owner.rows() {
        table.row([
            Cell::text(row.section),
            if row.day.is_some() { Cell::day(row.day) } else { Cell::text(&row.item) },
            Cell::text(&row.detail),
            Cell::maybe(row.count, Cell::whole),
            Cell::maybe(row.amount, Cell::cents),
        ]);
    }
    table.text()
}
