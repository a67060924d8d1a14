//! Labor and tools of the workbook: what a person edits there reaches the hours, the costs and the comparison as it does
//! in a run of the program.

use crate::engine::Opened;
use crate::house::{Edits, house};
use crate::{agrees, meets, meets_but};

/// The job edited in one line, and the cell of the sheet Labor that a person edits for it.
fn on_labor(was: &'static str, is: &'static str, row: &str, heading: &str, number: &str) {
    let edits = Edits { job: vec![(was, is)], ..Edits::default() };
    meets(&edits, |book| {
        let cell = book.at("Labor", row, heading);
        book.type_number("Labor", cell, number);
    });
}

#[test]
fn an_edited_rate_reaches_the_cost_of_labor() {
    on_labor("rate,journeyman,52", "rate,journeyman,58.75", "journeyman", "USD an hour", "58.75");
}

#[test]
fn another_head_changes_the_rate_and_the_days() {
    on_labor("crew,helper,1", "crew,helper,2", "helper", "how many", "2");
}

#[test]
fn an_edited_burden_reaches_the_cost_of_labor() {
    on_labor("burden,,28", "burden,,33.5", "burden, %", "how many", "33.5");
}

/// Hours of the sheet Unit prices are as read, and so are the columns of alternates.
#[test]
fn an_edited_productivity_reaches_every_line() {
    let edits = Edits { job: vec![("productivity,,85", "productivity,,72")], ..Edits::default() };
    let edit = |book: &mut Opened| {
        let cell = book.at("Labor", "productivity, %", "how many");
        book.type_number("Labor", cell, "72");
    };
    meets_but(&edits, edit, |cell| cell.0 == "Unit prices" || (cell.0 == "Bid inside" && cell.2 > 4));
}

#[test]
fn an_edited_difficulty_reaches_the_lines_of_its_area() {
    let (was, is) = ("difficulty,crawl space,15", "difficulty,crawl space,40");
    on_labor(was, is, "crawl space", "added, %", "40");
}

#[test]
fn longer_days_are_fewer_and_tools_are_rented_for_fewer() {
    on_labor("hours a day,,8", "hours a day,,5", "hours a day", "how many", "5");
}

#[test]
fn edited_hours_of_a_row_reach_its_lines_and_the_days_of_tools() {
    let edits = Edits {
        labor: vec![("0.145,,soldered (invented)", "0.615,,soldered (invented)")],
        ..Edits::default()
    };
    meets(&edits, |book| {
        let cell = book.at("Hours", "soldered (invented)", "hours");
        assert_eq!(book.number("Hours", cell), 0.145);
        book.type_number("Hours", cell, "0.615");
    });
}

#[test]
fn an_edited_price_of_a_tool_and_its_jobs_reach_the_comparison() {
    let edits = Edits { tools: vec![("bought,64.5,7", "bought,71.25,9")], ..Edits::default() };
    meets(&edits, |book| {
        for (heading, number) in [("price", "71.25"), ("jobs", "9")] {
            let cell = book.at("Tools", "clamp tool", heading);
            book.type_number("Tools", cell, number);
        }
    });
}

#[test]
fn edited_days_of_a_rented_tool_are_weeks_begun() {
    let edits = Edits { tools: vec![("rented by week,61,,8", "rented by week,61,,11")], ..Edits::default() };
    meets(&edits, |book| {
        let cell = book.at("Tools", "pipe bench", "days");
        book.type_number("Tools", cell, "11");
    });
}

#[test]
fn work_without_hours_is_said_on_every_sheet_and_not_ranked() {
    let edits = Edits { labor: vec![("thread,,,,0.1,,threads (invented)\n", "")], ..Edits::default() };
    let (job, estimate) = house(&edits);
    let [workbook, ..] = coilstick::report::bytes(&job, &estimate).unwrap();
    let book = Opened::new(&workbook);
    book.find("Labor lines", "no hours");
    book.find("Comparison", "incomplete");
    book.find("Comparison", "no: not ranked");
    assert_eq!(estimate.comparison.cheapest, None);
}

#[test]
fn formulas_agree_where_all_priced_systems_are_compared() {
    let edits =
        Edits { job: vec![("compare with,,copper-solder", "compare with,,priced")], ..Edits::default() };
    assert!(house(&edits).1.alternatives.len() >= 4);
    agrees(&edits);
}
