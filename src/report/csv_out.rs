//! The CSV files of an estimate: takeoff, order, cut plan, comparison. Text from a user's cell that a spreadsheet would
//! run is written as text. Called by [`super::write`]; it touches no disk.

use std::collections::BTreeSet;

use rust_decimal::Decimal;

use super::bid_lines::BidLine;
use super::owner::Owner;
use super::rows::{self, OrderRow};
use super::wording::{Wording, plain, service, to_places};
use crate::estimate::bid::{Bid, both_ways};
use crate::estimate::buying::Market;
use crate::estimate::installed::Installed;
use crate::estimate::needs::takeoff_rows;
use crate::estimate::order::CostLine;

/// A table on its way into a CSV file.
pub(super) struct Table {
    writer: csv::Writer<Vec<u8>>,
}

impl Table {
    pub(super) fn new(headings: &[&str]) -> Self {
        let writer = csv::WriterBuilder::new()
            .terminator(csv::Terminator::CRLF)
            .flexible(true)
            .from_writer(Vec::new());
        let mut table = Self { writer };
        table.row(headings.iter().map(|h| (*h).to_owned()));
        table
    }

    pub(super) fn row(&mut self, cells: impl IntoIterator<Item = String>) {
        // Memory takes every byte, and rows may have any number of cells: nothing is left that could go wrong.
        let _ = self.writer.write_record(cells);
    }

    pub(super) fn text(self) -> String {
        let bytes = self.writer.into_inner().unwrap_or_default();
        String::from_utf8(bytes).unwrap_or_default()
    }
}

/// A user's text: an apostrophe goes before what a spreadsheet would run.
pub(super) fn text(words: &str) -> String {
    if super::would_run(words) { format!("'{words}") } else { words.to_owned() }
}

fn number(number: Decimal) -> String {
    plain(number)
}

fn optional(value: Option<Decimal>) -> String {
    value.map(number).unwrap_or_default()
}

/// `takeoff.csv`: every alternative, without allowances.
pub(super) fn takeoff(wording: &Wording<'_>) -> String {
    let mut table =
        Table::new(&["alternative", "phase", "service", "system", "part", "size", "variant", "unit", "need"]);
    for (index, alternative) in wording.estimate.alternatives.iter().enumerate() {
        let job = wording.job;
        let (items, lines) = (&wording.estimate.items, &alternative.takeoff.lines);
        for row in takeoff_rows(&job.lexicon, &job.catalog, items, job.terms.units, lines) {
            table.row([
                text(wording.alternative(index)),
                row.phase.word().to_owned(),
                service(row.service).to_owned(),
                text(wording.item_system(row.item)),
                text(wording.part_name(row.item)),
                text(&wording.sizes(row.item)),
                text(&wording.variant(row.item)),
                text(wording.unit(row.item)),
                to_places(row.need, 4),
            ]);
        }
    }
    table.text()
}

/// `order.csv`: what the chosen alternative buys, one row a pick. Where prices are tried every row says so.
pub(super) fn order(wording: &Wording<'_>) -> String {
    let tried = wording.tried();
    let mut headings = vec![
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
    ];
    headings.extend(tried.as_ref().map(|_| "prices"));
    let mut table = Table::new(&headings);
    for row in rows::order(wording).iter().filter(|row| row.alternative == 0) {
        let mut cells = order_cells(wording, row);
        cells.extend(tried.clone());
        table.row(cells);
    }
    table.text()
}

fn order_cells(wording: &Wording<'_>, row: &OrderRow<'_>) -> Vec<String> {
    let item = row.line.item;
    let (pick, offer) = match row.pick {
        Some((pick, offer)) => (Some(pick), Some(offer)),
        None => (None, None),
    };
    let of = |value: fn(&crate::estimate::order::Pick) -> Decimal| pick.map(value);
    vec![
        offer.map(|o| text(wording.supplier(o))).unwrap_or_default(),
        offer.map(|o| text(&o.code)).unwrap_or_default(),
        text(wording.part_name(item)),
        text(wording.item_system(item)),
        text(&wording.sizes(item)),
        text(&wording.variant(item)),
        row.line.phase.word().to_owned(),
        text(wording.unit(item)),
        to_places(row.need(), 4),
        to_places(row.allow(), 4),
        // What is on hand is taken off the line once, before anything is bought.
        if row.first { to_places(row.line.on_hand, 4) } else { "0".to_owned() },
        offer.map(|o| to_places(wording.pack(o), 4)).unwrap_or_default(),
        optional(of(|p| p.packs)),
        pick.map(|p| to_places(p.buy, 4)).unwrap_or_default(),
        pick.map(|p| to_places(p.left_over, 4)).unwrap_or_default(),
        optional(of(|p| p.price)),
        offer.map(|o| text(&wording.ordered_per(o))).unwrap_or_default(),
        match (pick, row.line.extended) {
            (Some(pick), _) => cents(pick.extended),
            (None, Some(_)) if row.is_built() => "built".to_owned(),
            (None, Some(sum)) => cents(sum),
            (None, None) => "not priced".to_owned(),
        },
    ]
}

/// `cut-plan.csv`: every alternative, one row a kind of piece of a coil or stick, in the order to cut.
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
        "runs",
        "part of a longer piece",
        &left,
        "worth keeping",
    ]);
    for (index, alternative) in wording.estimate.alternatives.iter().enumerate() {
        for plan in &alternative.plans {
            for (i, cutting) in plan.cuttings.iter().enumerate() {
                for piece in &cutting.pieces {
                    let names: Vec<&str> = piece.runs.iter().map(|run| wording.run_name(*run)).collect();
                    table.row([
                        text(wording.alternative(index)),
                        text(wording.part_name(plan.item)),
                        text(wording.item_system(plan.item)),
                        text(&wording.sizes(plan.item)),
                        text(&wording.variant(plan.item)),
                        (i + 1).to_string(),
                        cutting.times.to_string(),
                        wording.cut_from(cutting).0,
                        number(wording.shown(cutting.length)),
                        number(wording.shown(piece.length)),
                        piece.number.to_string(),
                        text(&names.join("; ")),
                        if piece.joined { "yes" } else { "" }.to_owned(),
                        number(wording.shown(cutting.left)),
                        if wording.is_worth_keeping(cutting) { "yes" } else { "" }.to_owned(),
                    ]);
                }
            }
        }
    }
    table.text()
}

/// `held.csv`: the choices of every alternative, as the table `held` takes them.
pub(super) fn held(wording: &Wording<'_>) -> String {
    let mut table =
        Table::new(&["alternative", "part", "size", "system", "variant", "color", "offer", "packs", "plan"]);
    let mut written = BTreeSet::new();
    let market = Market::open(wording.job);
    for row in rows::order(wording) {
        let item = wording.item(row.line.item);
        let built = wording.estimate.alternatives[row.alternative].built.iter();
        let mut built = built.filter(|built| row.first && built.item == row.line.item);
        let of_built = built.next().map(|built| market.built_as(&wording.estimate.items, built));
        let (offer, packs, plan) = match (row.pick, of_built) {
            (Some((pick, _)), _) => (
                market.kept_as(pick.offer),
                // Of loose tube in another unit the number is no whole one; it follows from the need in any case.
                if pick.packs.is_integer() { number(pick.packs) } else { String::new() },
                match (row.plan.is_some(), row.is_more_than_fewest(wording)) {
                    (true, _) => "cut plan",
                    (false, true) => "at least",
                    (false, false) => "",
                },
            ),
            (None, Some(built)) => (built, String::new(), ""),
            (None, None) => continue,
        };
        let cells = vec![
            // Each alternative buys for itself, and what two of them use may be bought otherwise in each.
            text(wording.alternative(row.alternative)),
            text(wording.part_name(row.line.item)),
            text(&wording.sizes(row.line.item)),
            text(wording.item_system(row.line.item)),
            text(wording.word(item.variant)),
            item.color.word().to_owned(),
            text(&offer),
            packs,
            plan.to_owned(),
        ];
        if written.insert(cells.clone()) {
            table.row(cells);
        }
    }
    table.text()
}

/// `comparison.csv`: one row a cost line, one column an alternative.
pub(super) fn comparison(wording: &Wording<'_>) -> String {
    let alternatives = &wording.estimate.alternatives;
    let mut headings = vec!["cost line".to_owned()];
    headings.extend((0..alternatives.len()).map(|index| text(wording.alternative(index))));
    let mut table = Table::new(&headings.iter().map(String::as_str).collect::<Vec<_>>());
    let mut line = |name: &str, cells: Vec<String>| {
        table.row(std::iter::once(name.to_owned()).chain(cells));
    };
    for (i, cost_line) in CostLine::ALL.iter().enumerate() {
        line(cost_line.word(), alternatives.iter().map(|a| cents(a.cost.lines[i])).collect());
    }
    line("material", alternatives.iter().map(|a| cents(a.cost.material)).collect());
    let comparison = &wording.estimate.comparison;
    line("difference", comparison.differences.iter().map(|d| cents(d.0)).collect());
    line("difference %", comparison.differences.iter().map(|d| optional(d.1)).collect());
    let terms = &wording.job.terms;
    for of in BidLine::all(terms).into_iter().filter(|line| *line != BidLine::Material) {
        line(&of.name(terms), alternatives.iter().map(|a| cents(of.amount(terms, &a.cost.bid))).collect());
    }
    installed(wording, &mut line);
    line("not priced", alternatives.iter().map(|a| a.cost.not_priced.len().to_string()).collect());
    line("joints", comparison.installed.iter().map(|of| of.joints.to_string()).collect());
    let length = format!("tube ({})", wording.length_unit().abbreviation());
    line(&length, comparison.feet.iter().map(|f| number(*f)).collect());
    let complete = |index: usize| if comparison.is_whole(index) { "yes" } else { "no" }.to_owned();
    line("complete", (0..alternatives.len()).map(complete).collect());
    let called = (0..alternatives.len()).map(|index| text(wording.alternative_in_words(index)));
    line("in words", called.collect());
    if let Some(tried) = wording.tried() {
        line("prices", alternatives.iter().map(|_| tried.clone()).collect());
    }
    table.text()
}

/// `bid.csv`: the bid line by line, one column for each system and for each alternate taken.
pub(super) fn bid(wording: &Wording<'_>) -> String {
    let (terms, estimate) = (&wording.job.terms, wording.estimate);
    let priced: Vec<_> =
        estimate.optional.iter().filter_map(|one| Some((one, one.moved.as_ref()?))).collect();
    let mut headings = vec!["line".to_owned(), "percent".to_owned(), "taken on".to_owned()];
    headings.extend((0..estimate.alternatives.len()).map(|index| text(wording.alternative(index))));
    headings.extend(priced.iter().map(|(one, _)| text(&format!("alternate: {}", wording.word(one.name)))));
    let mut table = Table::new(&headings.iter().map(String::as_str).collect::<Vec<_>>());
    let Some(chosen) = estimate.alternatives.first() else { return table.text() };
    let base = &chosen.cost.bid;
    let bids: Vec<_> = estimate
        .alternatives
        .iter()
        .map(|one| &one.cost.bid)
        .chain(priced.iter().map(|(_, moved)| &moved.bid))
        .collect();
    for line in BidLine::all(terms) {
        let front =
            [text(&line.name(terms)), optional(line.points(terms)), line.taken_on(terms, chosen).to_owned()];
        table.row(front.into_iter().chain(bids.iter().map(|bid| cents(line.amount(terms, bid)))));
    }
    let front = |name: &str| [name.to_owned(), String::new(), String::new()];
    let whole = (0..estimate.alternatives.len()).map(|index| estimate.comparison.is_whole(index));
    let whole = whole.chain(priced.iter().map(|(one, _)| one.complete && estimate.is_complete()));
    let yes_or_no = |whole: bool| if whole { "yes" } else { "no" }.to_owned();
    table.row(front("complete").into_iter().chain(whole.map(yes_or_no)));
    let against = |bid: &&Bid| cents(bid.total - base.total);
    table.row(front("against the base bid").into_iter().chain(bids.iter().map(against)));
    if let Some((markup, margin)) = both_ways(terms.profit, terms.bid.profit_as) {
        for (name, points) in
            [("profit as a markup on the cost", markup), ("profit as a margin of the price", margin)]
        {
            table.row([name.to_owned(), number(points)]);
        }
    }
    if let Some(tried) = wording.tried() {
        table.row(["prices".to_owned(), String::new(), tried]);
    }
    table.text()
}

/// `owner.csv`: what the owner is told.
pub(super) fn owner(owner: &Owner) -> String {
    let mut table = Table::new(&["section", "item", "detail", "count", "amount"]);
    for row in owner.rows() {
        table.row(row.map(|cell| text(&cell)));
    }
    table.text()
}

/// The lines of what each alternative costs installed.
fn installed(wording: &Wording<'_>, line: &mut impl FnMut(&str, Vec<String>)) {
    let compared = &wording.estimate.comparison;
    let of = |cell: &dyn Fn(&Installed) -> String| compared.installed.iter().map(cell).collect::<Vec<_>>();
    line("tax on material, tools and labor", of(&|of| cents(of.tax)));
    line("installed", of(&|of| cents(of.total)));
    line("installed difference", compared.installed_differences.iter().map(|d| cents(d.0)).collect());
    line("installed difference %", compared.installed_differences.iter().map(|d| optional(d.1)).collect());
    line("hours", of(&|of| of.hours.map_or("not known".to_owned(), cents)));
    line("crew days", of(&|of| of.days.map_or("not known".to_owned(), cents)));
}

/// A sum with its two places.
pub(super) fn cents(sum: Decimal) -> String {
    format!("{sum:.2}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn text_that_a_spreadsheet_would_run_gets_an_apostrophe() {
        for words in ["=1+1", "+1", "-x", "@sum", "\tx", "\rx"] {
            assert_eq!(text(words), format!("'{words}"));
        }
        assert_eq!(text("tee = good"), "tee = good");
    }

    #[test]
    fn cells_with_separators_are_quoted() {
        let mut table = Table::new(&["a"]);
        table.row(["1/2\" x, y".to_owned()]);
        assert_eq!(table.text(), "a\r\n\"1/2\"\" x, y\"\r\n");
    }
}
