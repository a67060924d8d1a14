//! A job: all tables of one house, read, merged and checked as far as they can be before runs are connected.
//!
//! [`Job::read`] is the door for the floors above. It never fails on what a user wrote: mistakes are notices of the
//! job. How runs meet, names of other runs, and what differs between alternatives is for the network.

use std::path::Path;

use super::alternates::{self, Alternates};
use super::catalog::Catalog;
use super::doubtful::{self, Judged};
use super::forgotten::{self, OftenForgotten};
use super::kept::{self, Home, Kept};
use super::labor::{self, LaborRow, Nearness};
use super::lexicon::{Lexicon, Word};
use super::price_list::{self, PriceList};
use super::reading::{Reading, all_rows, named};
use super::run::Side;
use super::run::{self, PlaceRow, Run, RunColumns};
use super::settings::{self, Said, Settings};
use super::sides::{self, Sides};
use super::supplies::{self, Held, OnHand, Supplier};
use super::tool::{self, ToolRow};
use super::{check, like, tables};
use crate::ground::notice::{findings, in_order};
use crate::ground::{Instead, Notice, RowAt, SourceId, Sources};
use crate::table::{Found, FoundTable, Limits};

/// The code family where the job names none.
const USUAL_FAMILY: &str = "IRC";

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
    pub settings: Settings,
    /// The run list.
    pub runs: Vec<Run>,
    /// What stands where.
    pub places: Vec<PlaceRow>,
    /// Its alternatives, the chosen one first.
    pub sides: Vec<Sides>,
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
    /// What lists often lack.
    pub often_forgotten: Vec<OftenForgotten>,
    /// Everything wrong or doubtful so far, in order.
    pub notices: Vec<Notice>,
    /// The tables that it was read from.
    kept: Kept,
    /// Where its tables are, to read them once more.
    origin: Origin,
}

/// Where the tables of a job are.
#[derive(Debug, Clone)]
struct Origin {
    tables: Found,
    home: Home,
    /// Whether the job is a file.
    is_file: bool,
    /// Price lists that take the place of those of the job.
    lists: Option<Vec<Found>>,
    /// Whether the job was changed since its tables were read, so that reading them again gives another one.
    changed: bool,
    /// How much of them is read.
    limits: Limits,
}

impl Origin {
    /// The tables of a path, changed by nothing.
    fn at(path: &Path, limits: &Limits) -> Result<Self, Notice> {
        let (path, home) = kept::find(path)?;
        let tables = tables::job(&path, limits)?;
        let is_file = !path.is_dir();
        Ok(Self { tables, home, is_file, lists: None, changed: false, limits: *limits })
    }
}

impl Job {
    /// Reads a job from a folder of CSV tables, a workbook with a sheet a table, or one CSV file, its run list.
    ///
    /// # Errors
    ///
    /// The notice that there is no job, or no run list in it.
    pub fn read(path: &Path) -> Result<Self, Notice> {
        Self::read_within(path, &Limits::default())
    }

    /// Reads a job as [`Job::read`] does, within other limits.
    ///
    /// # Errors
    ///
    /// The notice that there is no job, or no run list in it.
    pub fn read_within(path: &Path, limits: &Limits) -> Result<Self, Notice> {
        Ok(Self::of_tables(Origin::at(path, limits)?, &[]))
    }

    /// Reads a job at other prices: a price list, or a folder of them, takes the place of every list of the job.
    ///
    /// # Errors
    ///
    /// The notice that there is no job, no run list in it, or no such price list.
    pub fn read_at_prices(path: &Path, prices: &Path) -> Result<Self, Notice> {
        Self::read_at_prices_within(path, prices, &Limits::default())
    }

    /// Reads a job at other prices as [`Job::read_at_prices`] does, within other limits.
    ///
    /// # Errors
    ///
    /// The notice that there is no job, no run list in it, or no such price list.
    pub fn read_at_prices_within(path: &Path, prices: &Path, limits: &Limits) -> Result<Self, Notice> {
        let origin = Origin::at(path, limits)?;
        // They are shown by their own names, as the job's tables are.
        let lists = match (prices.is_dir(), prices.parent(), prices.file_name()) {
            (false, Some(beside), Some(name)) => {
                tables::price_lists(&Home::of(beside), &name.to_string_lossy(), limits)
            }
            _ => tables::price_lists(&Home::of(prices), "", limits),
        }?;
        Ok(Self::of_tables(Origin { lists: Some(lists), ..origin }, &[]))
    }

    /// A job of tables given as CSV texts by name, for tests: `[("runs", "run,service...")]`. The texts live as long
    /// as the program.
    pub fn from_texts(texts: &[(&str, &str)]) -> Self {
        let table = |(name, text): &(&str, &str)| {
            let shown: &'static str = Box::leak(format!("{name}.csv").into_boxed_str());
            tables::text(name, shown, Box::leak(Box::from(*text)))
        };
        let found = Found { tables: texts.iter().map(table).collect(), ..Found::default() };
        let (home, limits) = (Home::of(Path::new(".")), Limits::default());
        let origin = Origin { tables: found, home, is_file: false, lists: None, changed: false, limits };
        Self::of_tables(origin, &[])
    }

    /// The job as it would be if other texts stood in some of its cells: its tables are read once more.
    #[must_use]
    pub fn otherwise(&self, instead: &[Instead]) -> Self {
        Self::of_tables(self.origin.clone(), instead)
    }

    /// The code family that the authority goes by, as it is written.
    pub fn family_called(&self) -> &str {
        match &*self.settings.code_family {
            "" => USUAL_FAMILY,
            named => named,
        }
    }

    /// The code family as a word; one that no table names is the empty word, and nothing is known of it.
    pub fn code_family(&self) -> Word {
        self.lexicon.find(self.family_called()).unwrap_or_default()
    }

    /// How much of its tables is read.
    pub(super) fn limits(&self) -> Limits {
        self.origin.limits
    }

    /// Whether it is as its tables say; not where prices are tried, choices kept or its day is another.
    pub fn is_as_read(&self) -> bool {
        !self.origin.changed
    }

    /// The tables that it was read from, to be kept beside its estimate; none where it is not as they say.
    pub fn kept(&self) -> Kept {
        if self.is_as_read() { self.kept.clone() } else { Kept::default() }
    }

    /// Says that it is no longer as its tables say.
    pub(crate) fn mark_changed(&mut self) {
        self.origin.changed = true;
    }

    /// What a supplier charges beside its goods; of several rows the last, since the job's stand behind shared ones.
    pub fn supplier(&self, name: Word) -> Option<&Supplier> {
        self.suppliers.iter().rev().find(|row| !row.in_error && row.supplier == name)
    }

    /// The job in which one alternate is taken: its rows are there, and rows that it leaves out are not. Rows stand as the
    /// tables have them. It compares nothing and holds no choices: these were made for the base.
    pub fn with_alternate(&self, name: Word) -> Self {
        let mut job = self.chosen_alone();
        job.runs.extend(self.alternates.runs.iter().cloned());
        job.runs.retain(|run| run.scope.is_with(name));
        job.runs.sort_by_key(|run| run.row);
        job.places.extend(self.alternates.places.iter().cloned());
        job.places.retain(|place| place.scope.is_with(name));
        job.places.sort_by_key(|place| place.row);
        job
    }

    /// The job of the chosen system alone with what it was forgotten; nothing where that is in error.
    pub(crate) fn with_forgotten(&self, row: &OftenForgotten) -> Option<Self> {
        let mut job = self.chosen_alone();
        job.runs.push(row.added.clone()?);
        job.places.extend(row.added_place());
        Some(job)
    }

    /// The job without other systems to compare, without choices to keep and without alternates: what an alternate is set
    /// against.
    pub fn chosen_alone(&self) -> Self {
        let mut job = self.clone();
        job.settings.compare_with.clear();
        job.settings.compare_drains.clear();
        job.sides.truncate(1);
        job.held.clear();
        job.alternates = Alternates::default();
        job
    }

    /// Lays the job in other systems: of those of each side the first is chosen and set against the others. A side of which
    /// none is named keeps its own.
    pub fn lay_in(&mut self, systems: &[Word]) {
        let side = |word: &Word| self.catalog.system_named(*word).map(|id| self.catalog.system(id).side);
        let of = |wanted: Side| -> Vec<Word> {
            systems.iter().copied().filter(|word| side(word) == Some(wanted)).collect()
        };
        let (water, drains) = (of(Side::Water), of(Side::Drain));
        if let [chosen, others @ ..] = &water[..] {
            (self.settings.water_system, self.settings.compare_with) = (*chosen, others.to_vec());
        }
        if let [chosen, others @ ..] = &drains[..] {
            (self.settings.drain_system, self.settings.compare_drains) = (*chosen, others.to_vec());
        }
        self.sides = sides::of(&self.settings, &self.catalog, self.runs.iter(), &mut self.lexicon);
        self.mark_changed();
    }

    /// This job at the prices of another, judged on the other's day: its own runs, places and settings, the other's price
    /// list in the words of this one.
    pub fn at_prices_of(&self, other: &Self) -> Self {
        let mut job = self.clone();
        let first: Vec<SourceId> =
            other.sources.iter().map(|(_, one)| job.sources.add(one.clone())).collect();
        let row = |row: RowAt| RowAt {
            source: first.get(usize::from(row.source.0)).copied().unwrap_or(row.source),
            ..row
        };
        let offers = other.prices.offers.iter();
        let offers = offers.map(|offer| offer.in_words_of(&other.lexicon, &mut job.lexicon, row(offer.row)));
        job.prices.offers = offers.collect();
        job.prices.tried = other.prices.tried.clone();
        job.settings.date = other.settings.date;
        job
    }

    /// Reads all tables, in the order in which one asks for the other, some cells with other texts than are written.
    fn of_tables(origin: Origin, instead: &[Instead]) -> Self {
        let notices = origin.tables.notices.clone();
        let sources = Sources::reading(instead);
        let mut reading = Reading { notices, sources, ..Reading::within(origin.limits) };
        let (tables, home) = (origin.tables.tables.as_slice(), &origin.home);
        let (mut settings, said) = read_settings(tables, &mut reading);
        let (shared, built_in) = (shared_tables(&said, home, &mut reading), tables::built_in());
        let layers = [built_in.as_slice(), &shared, tables];
        let mut catalog = Catalog::read(layers, &mut reading);
        check::settings(&mut settings, &said, &catalog, &mut reading);
        check::catalog(&mut catalog, &mut reading);

        let mut columns = RunColumns::default();
        let (mut runs, mut own) = (Vec::new(), Vec::new());
        for table in named(tables, "runs") {
            let (source, mut list) = run::read(&table.file, &mut own, &mut reading);
            columns.add(source, &list, &reading.sources, &mut reading.lexicon);
            runs.append(&mut list);
        }
        let mut places = all_rows(tables, "places", &mut reading, run::read_places);
        like::bring(&mut runs, &mut places, own, &mut reading);
        catalog.read_patterns(layers, &columns, &mut reading);
        check::runs(&mut runs, &catalog, &columns, &mut reading);
        check::drains(&mut runs, &settings, &catalog, &mut reading);
        check::places(&mut places, &catalog, &mut reading);

        // Labor and tools beside the job's own lists stay where other prices are tried.
        let (mut lists, beside) = price_lists(&said, home, &mut reading);
        let own_lists = origin.lists.is_none();
        if let Some(others) = &origin.lists {
            lists = Vec::new();
            for mut found in others.iter().cloned() {
                reading.notices.append(&mut found.notices);
                lists.extend(tables::lists_of(found));
            }
        }
        let of_job = |tables| named(tables, "prices").filter(|_| own_lists);
        let all = of_job(&shared).chain(&lists).chain(of_job(tables));
        let offers = all.flat_map(|list| price_list::read(&list.file, &mut reading, &catalog)).collect();
        let on_hand = all_rows(tables, "onhand", &mut reading, |file, reading| {
            supplies::on_hand(file, reading, &catalog)
        });
        let prices = PriceList::of(offers, &reading.lexicon);
        if said.compare_priced {
            let mut more = prices.covered(&catalog, &runs);
            let chosen =
                |system: &Word| *system == settings.water_system || settings.compare_with.contains(system);
            more.retain(|system| !chosen(system));
            settings.compare_with.append(&mut more);
        }
        let mut suppliers = all_rows(&shared, "suppliers", &mut reading, supplies::suppliers);
        suppliers.append(&mut all_rows(tables, "suppliers", &mut reading, supplies::suppliers));
        check::suppliers(&suppliers, &prices, &mut reading);
        let mut held = all_rows(tables, "held", &mut reading, supplies::held);
        let sides = sides::of(&settings, &catalog, runs.iter(), &mut reading.lexicon);
        check::held(&mut held, &sides, &mut reading);
        check::sold(&prices, &on_hand, &mut held, settings.colors, &catalog, &mut reading);
        let near = [
            (shared.as_slice(), Nearness::Shared),
            (beside.as_slice(), Nearness::BesidePrices),
            (tables, Nearness::Own),
        ];
        let (labor, tools) = read_work(&near, &mut reading);
        let judged = Judged {
            settings: &settings,
            catalog: &catalog,
            runs: &runs,
            places: &places,
            prices: &prices,
            on_hand: &on_hand,
            suppliers: &suppliers,
            labor: labor.as_deref().unwrap_or_default(),
            tools: tools.as_deref().unwrap_or_default(),
        };
        check::labor(judged.labor, &catalog, &mut reading);
        check::tools(judged.tools, &catalog, &mut reading);
        check::crew(&settings.crew, labor.is_some(), &runs, &places, &mut reading);
        doubtful::tell(&judged, layers, &mut reading);
        let often_forgotten = often_forgotten(layers, &settings, &catalog, &columns, &mut reading);
        let alternates = alternates::part_off(&mut runs, &mut places, &mut reading);
        check::parties(&mut settings, &alternates, &prices, &mut reading);
        // Only now is it known which tables were read, some by the job's own word under any name.
        reading.notices.extend(tables::unknown(tables, &reading.sources));
        let Reading { lexicon, sources, notices, .. } = reading;
        let kept = kept::of(tables, origin.is_file, home, &said, sources.files());
        let notices = in_order(notices);
        Self {
            lexicon,
            sources,
            catalog,
            settings,
            runs,
            places,
            sides,
            alternates,
            prices,
            held,
            on_hand,
            suppliers,
            labor,
            tools,
            often_forgotten,
            notices,
            kept,
            origin,
        }
    }
}

/// What lists often lack, each with its run as if it stood in the run list.
fn often_forgotten(
    layers: [&[FoundTable]; 3],
    settings: &Settings,
    catalog: &Catalog,
    columns: &RunColumns,
    reading: &mut Reading,
) -> Vec<OftenForgotten> {
    let mut rows = forgotten::read(layers, reading);
    for row in &mut rows {
        let mut run: Vec<Run> = row.added.take().into_iter().collect();
        check::runs(&mut run, catalog, columns, reading);
        check::drains(&mut run, settings, catalog, reading);
        row.added = run.pop().filter(|run| !run.in_error);
    }
    rows
}

/// The settings come first: they say what a bare length is and where other tables are.
fn read_settings(tables: &[FoundTable], reading: &mut Reading) -> (Settings, Said) {
    let mut settings = Settings::unsaid(&mut reading.lexicon);
    let mut said = Said::default();
    for table in named(tables, "job") {
        settings::read(&table.file, reading, &mut settings, &mut said);
    }
    reading.bare = settings.units;
    reading.currency = settings.currency.clone();
    (settings, said)
}

/// The tables of the folders that the job shares with others.
fn shared_tables(said: &Said, home: &Home, reading: &mut Reading) -> Vec<FoundTable> {
    let mut shared = Vec::new();
    for (visited, (at, path)) in said.tables.iter().enumerate() {
        if is_enough(visited.max(shared.len()), *at, reading) {
            break;
        }
        let found =
            found_at(tables::shared(home, path, &reading.budget.limits), path, *at, "tables", reading);
        let mut found = found.unwrap_or_default();
        reading.notices.append(&mut found.notices);
        shared.append(&mut found.tables);
    }
    shared
}

/// Whether so many tables are found already that no more are sought, from this row of the job on.
fn is_enough(found: usize, at: RowAt, reading: &mut Reading) -> bool {
    let limits = reading.budget.limits;
    let is_enough = found >= limits.tables();
    if is_enough {
        reading.trouble(at, "value", limits.tables_reached());
    }
    is_enough
}

/// The price lists that the job names, and the tables of labor and tools that lie beside them.
fn price_lists(said: &Said, home: &Home, reading: &mut Reading) -> (Vec<FoundTable>, Vec<FoundTable>) {
    let (mut lists, mut beside) = (Vec::new(), Vec::new());
    for (visited, (at, path)) in said.price_lists.iter().enumerate() {
        if is_enough(visited.max(lists.len() + beside.len()), *at, reading) {
            break;
        }
        let of_path = tables::price_lists(home, path, &reading.budget.limits);
        for mut found in found_at(of_path, path, *at, "price list", reading).unwrap_or_default() {
            reading.notices.append(&mut found.notices);
            let is_list = |table: &FoundTable| !table.is(labor::LABOR.name) && !table.is(tool::TOOLS.name);
            let (kept, others) = std::mem::take(&mut found.tables).into_iter().partition(is_list);
            found.tables = kept;
            beside.extend::<Vec<FoundTable>>(others);
            lists.extend(tables::lists_of(found));
        }
    }
    (lists, beside)
}

/// All rows of labor and all tools, those of shared tables first; nothing where there is no such table.
fn read_work(
    near: &[(&[FoundTable], Nearness)],
    reading: &mut Reading,
) -> (Option<Vec<LaborRow>>, Option<Vec<ToolRow>>) {
    let (mut labor, mut tools) = (None, None);
    for (tables, nearness) in near {
        for table in named(tables, labor::LABOR.name) {
            let rows = labor::read(&table.file, reading, *nearness);
            labor.get_or_insert_with(Vec::new).extend(rows);
        }
        for table in named(tables, tool::TOOLS.name) {
            tools.get_or_insert_with(Vec::new).extend(tool::read(&table.file, reading));
        }
    }
    (labor, tools)
}

/// What a path of the job holds; nothing, and a notice of its row, where it leads nowhere.
fn found_at<T>(
    found: Result<T, Notice>,
    path: &str,
    at: RowAt,
    item: &str,
    reading: &mut Reading,
) -> Option<T> {
    found.map_err(|why| reading.trouble(at, "value", no_such_path(item, path, &why.found))).ok()
}

findings! {
    /// A path named in the job leads nowhere.
    fn no_such_path(item: &str, found: &str, why: &str) = error("no-such-path",
        "{item} \"{found}\": {why}",
        "a path from the folder of the job",
        "type the path as it is seen from the folder of the job");
}
