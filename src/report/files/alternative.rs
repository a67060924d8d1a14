//! One alternative in `estimate.json`: what is installed, why, what is bought, cut and built, which ends stay, what it costs. It
//! adds nothing up.

use super::reasons::Rules;
use super::{bid, buying, cut_plan, labor, order, reasons, takeoff, test_day};
use crate::checks::TestDay;
use crate::estimate::alternative::Alternative;
use crate::estimate::installed::joints_to_make;
use crate::estimate::order::CostLine;
use crate::estimate::takeoff::{Balance, EndLine, Missing};
use crate::report::facts::{OrderRow, Wording, rows, wording};
use crate::report::form::{CENTS, PERCENT, PLACE, TEXT, Value, WHOLE, YES_NO, fields, whole};

/// What all alternatives share.
#[derive(Clone, Copy)]
pub(super) struct Shared<'s, 'a> {
    pub(super) orders: &'s [OrderRow<'a>],
    pub(super) ranks: &'s [u32],
    pub(super) rules: &'s Rules,
    pub(super) day: &'s TestDay,
}

fields! {
    /// The alternative of an index.
    pub(super) fn put['a] / shape (
        out, words: &Wording<'a>, index: usize, of: &Alternative, shared: Shared<'_, 'a>
    ) with {
        let order_columns = order::columns();
        let reason_columns = reasons::columns();
        let installed = rows::takeoff(words, index, shared.ranks).0.into_iter();
        let bought = shared.orders.iter().filter(|row| row.alternative == index).copied();
    } {
        put "system": TEXT, "the system, or the two of both sides" => words.word(of.name);
        put "chosen": YES_NO, "whether it is the one that the job means to build" => index == 0;
        put "complete": YES_NO, "whether everything of it is in the sums" => words.estimate.comparison.is_whole(index);
        rows "takeoff": &takeoff::COLUMNS, "what is installed, without allowances" =>
            words, &takeoff::COLUMNS, installed.map(|of| takeoff::Row { alternative: index, of });
        table "reasons": &reasons::columns(), "why each quantity of the takeoff is there" =>
            (words, &reason_columns), shared.rules.reasons(of);
        rows "order": &order::columns(), "what is bought, a row a pick" => words, &order_columns, bought;
        each "cut_plans": cut_plan::shape(), "how each tube is cut from coils and sticks" =>
            &of.plans, |out, plan| cut_plan::put(out, words, plan);
        object "buying": buying::shape(), "which suppliers get an order, and what may be said of that" =>
            |out| buying::put(out, words, &of.buying);
        each "built": buying::built_shape(), "fittings that are made up from others" => &of.built, buying::put_built;
        each "ends": end_shape(), "ends of tube that no part fills" =>
            &of.takeoff.ends, |out, end| put_end(out, words, end);
        each "balance": balance_shape(), "male ends against sockets, by system and size" =>
            &of.takeoff.balance, |out, balance| put_balance(out, words, balance);
        each "missing": missing_shape(), "parts that are asked for and that no table has" =>
            &of.takeoff.missing, |out, missing| put_missing(out, words, missing);
        put "turns_as_bends": WHOLE, "turns where tube bends and no elbow is counted" => whole(of.takeoff.bends);
        put "joints_to_make": WHOLE, "joints to make, those of the cut plan and of built fittings among them" =>
            whole(joints_to_make(of));
        object "cost": cost_shape(), "what it costs" => |out| put_cost(out, words, of);
        maybe "labor": labor::shape(), "the hours, where the job has a table of them" =>
            Some(&of.labor).filter(|labor| labor.stated), |out, labor| labor::put(out, words, labor, of);
        maybe "tools": labor::tools_shape(), "the tools, where the job has a table of them" =>
            words.job.tools.as_ref(), |out, table| labor::put_tools(out, words, table, of);
        table "test_day": &test_day::COLUMNS, "what is closed, filled and held for the test of each phase" =>
            (words, &test_day::COLUMNS), test_day::rows(words, shared.day, index);
    }

    fn put_end / end_shape (out, words: &Wording<'_>, end: &EndLine) {
        put "run": TEXT, "the run" => words.run_name(end.run);
        put "end": TEXT, "which end of it" => wording::run_end(end.end);
        put "is": TEXT, "what becomes of the end" => wording::end_met(end.met);
        put "size": TEXT, "its size there" => words.word(end.size);
        put "service": TEXT, "what flows in it" => end.service.word();
        put "phase": TEXT, "when it is installed" => end.phase.word();
        put "count": WHOLE, "how many" => whole(end.copies);
    }

    fn put_balance / balance_shape (out, words: &Wording<'_>, balance: &Balance) {
        put "system": TEXT, "the system" => words.system(balance.system);
        put "size": TEXT, "the size" => words.word(balance.size);
        put "male": WHOLE, "male ends" => whole(balance.male);
        put "filled": WHOLE, "sockets filled" => whole(balance.filled);
        put "coupled": WHOLE, "ends joined without a part between", if balance.coupled != 0 => whole(balance.coupled);
        put "on_site": WHOLE, "ends in what is there already" => whole(balance.on_site);
        put "elsewhere": WHOLE, "ends that another system fills" => whole(balance.elsewhere);
        put "declared": WHOLE, "open ends that are listed" => whole(balance.declared);
    }

    fn put_missing / missing_shape (out, words: &Wording<'_>, missing: &Missing) {
        put "asked_by": TEXT, "the run or place that asks for it" => words.subject(missing.subject);
        put "what": TEXT, "what is asked for" => &*missing.what;
        put "system": TEXT, "in which system" => words.system(missing.system);
    }

    fn put_cost / cost_shape (out, words: &Wording<'_>, of: &Alternative) {
        each "lines": line_shape(), "the cost lines of material" =>
            CostLine::ALL.iter().zip(&of.cost.lines), |out, (line, sum)| put_line(out, line.word(), Value::Cents(*sum));
        put "material": CENTS, "what all material costs" => Value::Cents(of.cost.material);
        each "bid_lines": bid::line_shape(), "the bid line by line" =>
            bid::lines(words, [(of, &of.cost.bid)]), |out, line| bid::put_line(out, words, line);
        put "bid": CENTS, "what is asked" => Value::Cents(of.cost.bid.total);
        list "not_priced": PLACE, "the items that have no price: they are in no sum" =>
            of.cost.not_priced.iter().map(|item| whole(item.0));
        put "fittings_share_percent": PERCENT.or_null(), "fittings and joining in percent of tube" =>
            of.cost.fittings_share.map(Value::Percent);
    }

    fn put_line / line_shape (out, line: &str, sum: Value) {
        put "line": TEXT, "its name" => line;
        put "sum": CENTS, "what it costs" => sum.clone();
    }
}
