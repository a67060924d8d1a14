//! The table `job` read row by row into settings; each item says itself how. Called with the first tables of a job.

use rust_decimal::Decimal;

use super::item::ItemRow;
use super::{Column, ITEMS, Item, JOB, Said, Settings, named};
use crate::ground::name::fold;
use crate::ground::notice::findings;
use crate::ground::{Instead, RowAt};
use crate::table::TableFile;
use crate::trade::catalog::part::Class;
use crate::trade::lexicon::Lexicon;
use crate::trade::reading::findings::row_twice;
use crate::trade::reading::{Reading, Row};
use crate::trade::shape::unknown_names;

impl Settings {
    /// The settings of a job that says nothing.
    pub(in crate::trade) fn unsaid(lexicon: &mut Lexicon) -> Self {
        Self {
            currency: Box::from("USD"),
            water_system: lexicon.word("pex-clamp"),
            allowances: Class::ALL.map(|class| (class, Decimal::ZERO, None)).into(),
            colors: true,
            water_temperature: Decimal::from(60),
            ..Self::default()
        }
    }

    /// The rows of the table `job` that say an item: `overhead`, `fee`.
    pub fn rows_of(&self, item: &str) -> Vec<RowAt> {
        self.rows.iter().filter(|(one, ..)| *one == item).map(|(.., row)| *row).collect()
    }

    /// The rows that say an item for something: `fee` for `permit`.
    pub fn rows_for(&self, item: &str, what: &str) -> Vec<RowAt> {
        let is_it = |(one, named, _): &&(&str, Box<str>, RowAt)| *one == item && fold(named) == fold(what);
        self.rows.iter().filter(is_it).map(|(.., row)| *row).collect()
    }

    /// What every item says, for two jobs to be set against each other: its heading and its text. Names and paths, and what
    /// is accepted, are not compared.
    pub(crate) fn compared(&self, lexicon: &Lexicon) -> Vec<(String, String)> {
        let written = |item: &Item| {
            let rows = self.written.iter().filter(|(name, _)| *name == item.name).map(|(_, text)| &**text);
            vec![(String::new(), rows.collect::<Vec<_>>().join("; "))]
        };
        let of_item = |item: &'static Item| {
            let says = item.says.map_or_else(|| written(item), |says| says(self, lexicon));
            says.into_iter().map(|(more, text)| (format!("{}{more}", item.name), text))
        };
        ITEMS.iter().filter(|item| item.is_compared).flat_map(of_item).collect()
    }

    /// The allowance of a class in percent, and the row that says so.
    pub fn allowance(&self, class: Class) -> (Decimal, Option<RowAt>) {
        let found = self.allowances.iter().find(|(one, _, _)| *one == class);
        found.map_or((Decimal::ZERO, None), |(_, percent, row)| (*percent, *row))
    }

    /// How much of a part of a class must be needed for its allowance to be added; zero: any.
    pub(crate) fn no_allowance_under(&self, class: Class) -> Decimal {
        let found = self.no_allowance_under.iter().find(|(one, _)| *one == class);
        found.map_or(Decimal::ZERO, |(_, least)| *least)
    }

    /// The allowance that is added to so much of a part of a class, in percent: none where less is needed than the job says.
    pub(crate) fn added_to(&self, class: Class, need: Decimal) -> Decimal {
        if need < self.no_allowance_under(class) { Decimal::ZERO } else { self.added(class) }
    }

    /// The allowance that is added to what is counted of a class, in percent: devices have none.
    pub(crate) fn added(&self, class: Class) -> Decimal {
        let has_one = class != Class::Device;
        if has_one { self.allowance(class).0.max(Decimal::ZERO) } else { Decimal::ZERO }
    }
}

/// Reads a table `job` into settings.
pub(in crate::trade) fn read(
    file: &TableFile,
    reading: &mut Reading,
    settings: &mut Settings,
    said: &mut Said,
) {
    reading.read(file, &JOB, |row| {
        row.needed(Column::Item);
        let text = row.text(Column::Item).to_owned();
        row.called = Some(text.clone());
        let mut of = row.text(Column::For).to_owned();
        let item = named(&text).or_else(|| {
            // "allowance fitting" says in one cell what "allowance" for "fitting" says in two.
            of = text.to_ascii_lowercase().strip_prefix("allowance ").map(str::to_owned)?;
            named("allowance")
        });
        let Some(item) = item else {
            if !text.is_empty() {
                row.trouble(Column::Item, unknown_item(&text, ITEMS.iter().map(|item| item.name)));
            }
            return;
        };
        // A row that accepts nothing is told as such; where all is empty it says nothing.
        if row.is_blank(Column::Value) && (of.is_empty() || !item.reads_blank) {
            value_elsewhere(row, item, &text);
            return;
        }
        if !item.takes_for() && !of.is_empty() {
            let taking = ITEMS.iter().filter(|item| item.takes_for()).map(|item| item.name);
            row.trouble(Column::For, for_unused(&text, &of, &taking.collect::<Vec<_>>().join(", ")));
        }
        let key = (item.name, row.lexicon.word(&of));
        if !item.often && !said.seen.insert(key) {
            row.trouble_of_row(Column::Item, row_twice(format!("{text} {of}").trim()));
        }
        let label = if of.is_empty() { &text } else { &of };
        settings.rows.push((item.name, label.as_str().into(), row.at()));
        settings.written.push((item.name, format!("{of} {}", row.text(Column::Value)).trim().into()));
        (item.read)(&mut ItemRow { item, of: &of, row, settings, said });
    });
}

/// A row without a value whose value stands beside it: under `for` where nothing is said for anything, or a number
/// where none belongs.
fn value_elsewhere(row: &mut Row<'_, '_>, item: &Item, written: &str) {
    let is_number = |text: &str| {
        let bare = text.trim_start_matches('$').trim_end_matches('%').trim();
        Decimal::from_str_exact(bare).is_ok()
    };
    let cells = [
        (Column::For, "for", !item.takes_for() || is_number(row.text(Column::For))),
        (Column::Note, "note", is_number(row.text(Column::Note))),
    ];
    for (column, heading, is_value) in cells {
        let found = row.text(column).to_owned();
        if is_value && !found.is_empty() {
            let gone = Instead { spot: row.spot(column), text: String::new() };
            let finding = has_no_value(written, &found, heading);
            row.notice(finding.at([row.spot(Column::Value), row.spot(column)]).or_each([gone]));
            return;
        }
    }
}

unknown_names! {
    /// An item of the job that nothing reads.
    fn unknown_item(found) = warning("unknown-item",
        "the item \"{found}\" is not read",
        "an item of the table job",
        "take the row out") meant;
}

findings! {
    /// A `for` on an item that is said once for all.
    fn for_unused(item: &str, found: &str, taking: &str) = warning("for-unused",
        "for is \"{found}\" on {item}, where it changes nothing",
        "for only with items that name something: {taking}",
        "empty for, or type one of these items");

    /// An item whose value stands in another cell of the row.
    fn has_no_value(item: &str, found: &str, heading: &str) = error("value-elsewhere",
        "{item} has no value, and {heading} is \"{found}\"",
        "the value of the item under value",
        "move {found} from {heading} to value") meaning found;
}
