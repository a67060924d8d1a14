//! A job: all tables of one house, read, merged and checked as far as they can be before runs are connected.
//!
//! [`Job::read`] is the door for the floors above. It never fails on what a user wrote: mistakes are notices of the
//! job. How runs meet, names of other runs, and what differs between alternatives is for the network.

use std::path::{Path, PathBuf};

use super::alternate::{self, Alternates};
use super::beside_others;
use super::built_in;
use super::catalog::Catalog;
use super::check;
use super::check_labor;
use super::covered::covered;
use super::folder;
use super::held::{self, Held};
use super::judged::{self, Judged};
use super::labor::{self, LaborRow, Nearness};
use super::lexicon::Lexicon;
use super::lookalike;
use super::made_for;
use super::merge::{self, Rows};
use super::on_hand::{self, OnHand};
use super::ordinary::{Limits, ORDINARY};
use super::pattern;
use super::place::{self, PlaceRow};
use super::price_list::{self, PriceList};
use super::row::{Desk, nearest_of};
use super::run::{self, Run};
use super::run_column::RunColumns;
use super::supplier::{self, Supplier};
use super::table_list::SHAPES;
use super::terms::{self, Said, Terms};
use super::tool::{self, ToolRow};
use super::words::Trouble;
use super::{fixture, joint, part, support, system, tube_size, unused};
use crate::ground::notice::in_order;
use crate::ground::{Instead, Notice, RowAt, Sources, Spot};
use crate::table::{Found, FoundTable, TableFile};

/// One house to price, as its tables say.
#[derive(Debug, Clone)]
pub struct Job {
    /// The words of the job.
    pub lexicon: Lexicon,
    /// The tables it was read from.
    pub sources: Sources,
    /// What exists.
    pub catalog: Catalog,
    /// What the table `job` says.
    pub terms: Terms,
    /// The run list.
    pub runs: Vec<Run>,
    /// What stands where.
    pub places: Vec<PlaceRow>,
    /// Optional work, which is in none of the runs and places above.
    pub alternates: Alternates,
    /// All offers.
    pub prices: PriceList,
    /// Choices that the buying must keep.
    pub held: Vec<Held>,
    /// What is in stock already.
    pub on_hand: Vec<OnHand>,
    /// What suppliers charge beside their goods.
    pub suppliers: Vec<Supplier>,
    /// Hours of work; nothing where no table says any.
    pub labor: Option<Vec<LaborRow>>,
    /// Tools and one-offs; nothing where no table names any.
    pub tools: Option<Vec<ToolRow>>,
    /// Everything wrong or doubtful so far, in order.
    pub notices: Vec<Notice>,
    /// Where its tables are, to read them once more.
    origin: Origin,
}

/// Where the tables of a job are.
#[derive(Debug, Clone)]
struct Origin {
    tables: Found,
    home: PathBuf,
    /// Price lists that take the place of those of the job.
    lists: Option<Vec<Found>>,
    /// Whether the job was changed since its tables were read, so that reading them again gives another one.
    changed: bool,
}

/// The hidden sheet of a starter workbook with the words to choose from.
pub const LISTS: &str = "lists";

/// Sheets of a starter workbook that hold no table: help, the sheet to walk the framing with, lists to choose from.
pub const NOT_TABLES: [&str; 3] = ["help", "walk", LISTS];

impl Job {
    /// Reads a job from a folder of CSV tables, a workbook with a sheet a table, or one CSV file, its run list.
    ///
    /// # Errors
    ///
    /// The notice that there is no job, or no run list in it.
    pub fn read(path: &Path) -> Result<Self, Notice> {
        let found = folder::job(path)?;
        let home = if path.is_dir() { path } else { path.parent().unwrap_or(path) };
        Ok(Self::of_tables(Origin { tables: found, home: home.to_owned(), lists: None, changed: false }, &[]))
    }

    /// Reads a job at other prices: a price list, or a folder of them, takes the place of every list of the job.
    ///
    /// # Errors
    ///
    /// The notice that there is no job, no run list in it, or no such price list.
    pub fn read_at_prices(path: &Path, prices: &Path) -> Result<Self, Notice> {
        let found = folder::job(path)?;
        let home = if path.is_dir() { path } else { path.parent().unwrap_or(path) };
        // They are shown by their own names, as the job's tables are.
        let lists = match (prices.is_dir(), prices.parent(), prices.file_name()) {
            (false, Some(beside), Some(name)) => folder::price_lists(beside, &name.to_string_lossy()),
            _ => folder::price_lists(prices, ""),
        }?;
        Ok(Self::of_tables(
            Origin { tables: found, home: home.to_owned(), lists: Some(lists), changed: false },
            &[],
        ))
    }

    /// A job of tables given as CSV texts by name, for tests: `[("runs", "run,service...")]`. The texts live as long
    /// as the program.
    pub fn from_texts(texts: &[(&str, &str)]) -> Self {
        let table = |(name, text): &(&str, &str)| {
            let shown: &'static str = Box::leak(format!("{name}.csv").into_boxed_str());
            folder::text(name, shown, Box::leak(Box::from(*text)))
        };
        let found = Found { tables: texts.iter().map(table).collect(), ..Found::default() };
        Self::of_tables(Origin { tables: found, home: PathBuf::from("."), lists: None, changed: false }, &[])
    }

    /// The job as it would be if other texts stood in some of its cells: its tables are read once more.
    #[must_use]
    pub fn otherwise(&self, instead: &[Instead]) -> Self {
        Self::of_tables(self.origin.clone(), instead)
    }

    /// Whether it is as its tables say; not where prices are tried, choices kept or its day is another.
    pub fn is_as_read(&self) -> bool {
        !self.origin.changed
    }

    /// Says that it is no longer as its tables say.
    pub(crate) fn mark_changed(&mut self) {
        self.origin.changed = true;
    }

    /// What a supplier charges beside its goods; of several rows the last, since the job's stand behind shared ones.
    pub fn supplier(&self, name: super::Word) -> Option<&Supplier> {
        self.suppliers.iter().rev().find(|row| !row.in_error && row.supplier == name)
    }

    /// Reads all tables, in the order in which one asks for the other, some cells with other texts than are written.
    fn of_tables(origin: Origin, instead: &[Instead]) -> Self {
        let notices = origin.tables.notices.clone();
        let mut desk = Desk { notices, sources: Sources::reading(instead), ..Desk::default() };
        let (tables, home) = (origin.tables.tables.as_slice(), origin.home.as_path());
        let (mut terms, said) = read_terms(tables, &mut desk);
        let shared = shared_tables(&said, home, &mut desk);
        let (mut catalog, joints) = read_catalog(&shared, tables, &mut desk);
        catalog.index(&mut desk.lexicon);
        check::terms(&mut terms, &said, &catalog, &mut desk);
        check::catalog(&mut catalog, &joints, &mut desk);

        let mut columns = RunColumns::default();
        let mut runs = Vec::new();
        for table in named(tables, "runs") {
            let (source, mut list) = run::read(&table.file, &mut desk);
            columns.add(source, &list, &desk.sources, &mut desk.lexicon);
            runs.append(&mut list);
        }
        let mut places = read_all(tables, "places", &mut desk, place::read);
        read_patterns(&mut catalog, &columns, &shared, tables, &mut desk);
        check::runs(&mut runs, &catalog, &columns, &mut desk);
        check::places(&mut places, &catalog, &mut desk);

        // Labor and tools beside the job's own lists stay where other prices are tried.
        let (mut lists, beside) = price_lists(&said, home, &mut desk);
        let own_lists = origin.lists.is_none();
        if let Some(others) = &origin.lists {
            lists = Vec::new();
            for mut found in others.iter().cloned() {
                desk.notices.append(&mut found.notices);
                lists.extend(folder::lists_of(found));
            }
        }
        let of_job = |tables| named(tables, "prices").filter(|_| own_lists);
        let all = of_job(&shared).chain(&lists).chain(of_job(tables));
        let offers = all.flat_map(|list| price_list::read(&list.file, &mut desk, &catalog)).collect();
        let on_hand = read_all(tables, "onhand", &mut desk, |file, desk| on_hand::read(file, desk, &catalog));
        let prices = PriceList::of(offers, &desk.lexicon);
        if said.compare_priced {
            let chosen = terms.water_system;
            let more = covered(&catalog, &prices, &runs).into_iter().filter(|system| *system != chosen);
            terms
                .compare_with
                .extend(more.filter(|system| !terms.compare_with.contains(system)).collect::<Vec<_>>());
        }
        let mut suppliers = read_all(&shared, "suppliers", &mut desk, supplier::read);
        suppliers.append(&mut read_all(tables, "suppliers", &mut desk, supplier::read));
        check::suppliers(&suppliers, &prices, &mut desk);
        let mut held = read_all(tables, "held", &mut desk, held::read);
        check::held(&mut held, &terms, &mut desk);
        check::sold(&prices, &on_hand, &mut held, terms.colors, &catalog, &mut desk);
        let layers = [
            (shared.as_slice(), Nearness::Shared),
            (beside.as_slice(), Nearness::BesidePrices),
            (tables, Nearness::Own),
        ];
        let labor = read_labor(&layers, &mut desk);
        let tools = read_tools(&layers, &mut desk);
        check_labor::rows(labor.as_deref().unwrap_or_default(), &catalog, &mut desk);
        check_labor::tools(tools.as_deref().unwrap_or_default(), &catalog, &mut desk);
        check_labor::crew(&terms.crew, labor.is_some(), &runs, &places, &mut desk);
        let judged = Judged {
            terms: &terms,
            catalog: &catalog,
            runs: &runs,
            prices: &prices,
            on_hand: &on_hand,
            suppliers: &suppliers,
            labor: labor.as_deref().unwrap_or_default(),
            tools: tools.as_deref().unwrap_or_default(),
        };
        look_over(&judged, &places, &[built_in::tables().as_slice(), &shared, tables], &mut desk);
        unused::tell(&terms, &runs, &catalog, &mut desk);
        let alternates = alternate::part_off(&mut runs, &mut places, &mut desk);
        let Desk { lexicon, sources, notices, .. } = desk;
        let notices = in_order(notices);
        Self {
            lexicon,
            sources,
            catalog,
            terms,
            runs,
            places,
            alternates,
            prices,
            held,
            on_hand,
            suppliers,
            labor,
            tools,
            notices,
            origin,
        }
    }
}

/// What is doubtful though it reads well: figures out of the ordinary or unlike the others, names that look like another.
fn look_over(judged: &Judged<'_>, places: &[PlaceRow], layers: &[&[FoundTable]], desk: &mut Desk) {
    let mut limits = Limits::default();
    for tables in layers {
        named(tables, ORDINARY.name).for_each(|table| limits.lay(&table.file, desk));
    }
    // What its like contradict says more than a limit of the trade does.
    let first = desk.notices.len();
    beside_others::figures(judged, desk);
    let told: Vec<Vec<Spot>> = desk.notices.iter().skip(first).map(|notice| notice.spots.clone()).collect();
    let then = desk.notices.len();
    judged::figures(judged, &limits, desk);
    let outside = desk.notices.split_off(then);
    desk.notices.extend(outside.into_iter().filter(|notice| !told.contains(&notice.spots)));
    lookalike::names(judged, places, desk);
    made_for::rows(judged, desk);
}

/// The tables of a name.
fn named<'a>(tables: &'a [FoundTable], name: &'a str) -> impl Iterator<Item = &'a FoundTable> {
    tables.iter().filter(move |table| table.name == name)
}

/// The rows of all tables of a name.
fn read_all<T>(
    tables: &[FoundTable],
    folded: &str,
    desk: &mut Desk,
    read: impl Fn(&TableFile, &mut Desk) -> Vec<T>,
) -> Vec<T> {
    named(tables, folded).flat_map(|table| read(&table.file, desk)).collect()
}

/// The terms come first: they say what a bare length is and where other tables are.
fn read_terms(tables: &[FoundTable], desk: &mut Desk) -> (Terms, Said) {
    let is_known = |table: &FoundTable| {
        SHAPES.iter().any(|shape| table.is(shape.name)) || NOT_TABLES.contains(&table.name.as_str())
    };
    for table in tables.iter().filter(|table| !is_known(table)) {
        let nearest = nearest_of(&table.written, SHAPES.iter().map(|shape| shape.name));
        let spot = table.file.spot();
        desk.notices.push(Trouble::UnknownTable { found: &table.written, nearest }.word(vec![spot]));
    }
    let mut terms = Terms::unsaid(&mut desk.lexicon);
    let mut said = Said::default();
    for table in named(tables, "job") {
        terms::read(&table.file, desk, &mut terms, &mut said);
    }
    desk.bare = terms.units;
    desk.currency = terms.currency.clone();
    (terms, said)
}

/// The tables of the folders that the job shares with others.
fn shared_tables(said: &Said, home: &Path, desk: &mut Desk) -> Vec<FoundTable> {
    said.tables.iter().flat_map(|(at, path)| tables_at(home, path, *at, "tables", desk).tables).collect()
}

/// The price lists that the job names, and the tables of labor and tools that lie beside them.
fn price_lists(said: &Said, home: &Path, desk: &mut Desk) -> (Vec<FoundTable>, Vec<FoundTable>) {
    let (mut lists, mut beside) = (Vec::new(), Vec::new());
    for (at, path) in &said.price_lists {
        let of_path = folder::price_lists(home, path);
        for mut found in found_at(of_path, path, *at, "price list", desk).unwrap_or_default() {
            desk.notices.append(&mut found.notices);
            let is_list = |table: &FoundTable| !table.is(labor::LABOR.name) && !table.is(tool::TOOLS.name);
            let (kept, others) = std::mem::take(&mut found.tables).into_iter().partition(is_list);
            found.tables = kept;
            beside.extend::<Vec<FoundTable>>(others);
            lists.extend(folder::lists_of(found));
        }
    }
    (lists, beside)
}

/// All rows of labor, those of shared tables first; nothing where there is no such table.
fn read_labor(layers: &[(&[FoundTable], Nearness)], desk: &mut Desk) -> Option<Vec<LaborRow>> {
    let mut rows = None;
    for (tables, nearness) in layers {
        for table in named(tables, labor::LABOR.name) {
            rows.get_or_insert_with(Vec::new).append(&mut labor::read(&table.file, desk, *nearness));
        }
    }
    rows
}

/// All tools, those of shared tables first; nothing where there is no such table.
fn read_tools(layers: &[(&[FoundTable], Nearness)], desk: &mut Desk) -> Option<Vec<ToolRow>> {
    let mut rows = None;
    for (tables, _) in layers {
        for table in named(tables, tool::TOOLS.name) {
            rows.get_or_insert_with(Vec::new).append(&mut tool::read(&table.file, desk));
        }
    }
    rows
}

fn tables_at(home: &Path, path: &str, at: RowAt, item: &str, desk: &mut Desk) -> Found {
    let mut found = found_at(folder::shared(home, path), path, at, item, desk).unwrap_or_default();
    desk.notices.append(&mut found.notices);
    found
}

/// What a path of the job holds; nothing, and a notice of its row, where it leads nowhere.
fn found_at<T>(found: Result<T, Notice>, path: &str, at: RowAt, item: &str, desk: &mut Desk) -> Option<T> {
    found
        .map_err(|why| desk.trouble(at, "value", Trouble::NoSuchPath { item, found: path, why: &why.found }))
        .ok()
}

/// What exists: the program's own rows, over them those of shared folders, over them those of the job. With all joints
/// that any table names.
fn read_catalog(shared: &[FoundTable], own: &[FoundTable], desk: &mut Desk) -> (Catalog, Vec<super::Word>) {
    let mut catalog = Catalog::default();
    let mut joints = Vec::new();
    for tables in [built_in::tables().as_slice(), shared, own] {
        let mut rows = Rows {
            parts: read_all(tables, "parts", desk, part::read),
            systems: read_all(tables, "systems", desk, system::read),
            sizes: read_all(tables, "sizes", desk, tube_size::read),
            joints: Vec::new(),
            supports: read_all(tables, "supports", desk, support::read),
            fixtures: read_all(tables, "fixtures", desk, fixture::read),
        };
        for table in named(tables, "joints") {
            let (mut consumed, named) = joint::read(&table.file, desk);
            rows.joints.append(&mut consumed);
            joints.extend(named);
        }
        merge::lay(&mut catalog, rows, desk);
    }
    (catalog, joints)
}

/// Patterns need to know the parts and the columns of the run list.
fn read_patterns(
    catalog: &mut Catalog,
    columns: &RunColumns,
    shared: &[FoundTable],
    own: &[FoundTable],
    desk: &mut Desk,
) {
    for (tables, built_in) in [(built_in::tables().as_slice(), true), (shared, false), (own, false)] {
        for table in named(tables, "patterns") {
            let patterns = pattern::read(&table.file, desk, catalog, columns, built_in);
            merge::lay_patterns(catalog, patterns, &mut desk.lexicon);
        }
    }
    catalog.index_patterns(&mut desk.lexicon);
}
