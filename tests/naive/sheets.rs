//! What the naive counter reads for itself of a job's tables: paths, where on a leg a run ties in, the words of `tee`, whether a
//! rise is written, what parts are used as on the drain side, how seams are made, the tables `meetings` and `turnings`. It is laid
//! over what `trade` reads of the same tables: lengths, rise, turns and distances are then those of the paths as they are read
//! here.

use std::collections::BTreeMap;

use coilstick::ground::name::fold;
use coilstick::ground::{Length, LengthUnit};
use coilstick::trade::Job;

use crate::generate::Texts;
use crate::paths::{Path, read_leg};

/// What a row of the run list says beside the plain cells.
#[derive(Debug, Clone, Default)]
pub(crate) struct Sheet {
    name: String,
    pub(crate) path: Option<Path>,
    /// What `tee` says.
    pub(crate) tee: String,
    /// `at` and `to at` where they name a leg.
    at: Option<Length>,
    to_at: Option<Length>,
    /// Whether `rise` is filled.
    pub(crate) rise_is_filled: bool,
    pub(crate) fault: Option<&'static str>,
}

/// A row of the table `meetings`.
#[derive(Debug, Clone, Default)]
pub(crate) struct MeetingRow {
    /// Side, system, parent, parent attitude, child, child attitude, angle, where.
    pub(crate) asks: [String; 8],
    pub(crate) part: String,
    pub(crate) branch_part: String,
}

/// A row of the table `turnings`.
#[derive(Debug, Clone, Default)]
pub(crate) struct TurningRow {
    /// Side, system, service, parent attitude, child attitude, angle.
    pub(crate) asks: [String; 6],
    pub(crate) part: String,
}

/// What is read beside the job.
#[derive(Debug, Clone, Default)]
pub(crate) struct Sheets {
    pub(crate) runs: Vec<Sheet>,
    /// What parts are used as, by their folded names.
    pub(crate) uses: BTreeMap<String, Vec<String>>,
    /// The systems whose seams are a joint and no part.
    pub(crate) seams: Vec<String>,
    pub(crate) meetings: Vec<MeetingRow>,
    pub(crate) turnings: Vec<TurningRow>,
    /// What a run says of which nothing is read.
    pub(crate) nothing_said: Sheet,
}

impl Sheets {
    /// A job as `trade` reads it, with what is read here in the places of lengths, rises, turns and distances; and what is read
    /// here in the order of its runs.
    pub(crate) fn laid_over(mut self, job: &Job) -> (Job, Self) {
        let mut job = job.clone();
        let mut runs = Vec::new();
        for run in &mut job.runs {
            // The first row of a table holds its headings.
            let sheet = self.runs[run.row.row as usize - 2].clone();
            assert_eq!(fold(&sheet.name), fold(&run.name), "the same rows are read twice");
            run.path = None;
            run.eighths = Box::default();
            if let Some(path) = &sheet.path {
                run.length = path.length();
                run.rise = Length::from_nanometres(path.rise());
                run.turns = Some(path.turns());
                run.turns_at = Box::default();
            }
            run.at = sheet.at.or(run.at.filter(|_| run.at_leg.is_none()));
            run.to_at = sheet.to_at.or(run.to_at.filter(|_| run.to_at_leg.is_none()));
            runs.push(sheet);
        }
        self.runs = runs;
        (job, self)
    }
}

/// A table as its cells.
struct Table {
    heads: Vec<String>,
    rows: Vec<Vec<String>>,
    /// The unit of lengths that name none.
    bare: LengthUnit,
}

impl Table {
    fn read(text: &str) -> Self {
        let mut reader =
            csv::ReaderBuilder::new().has_headers(false).flexible(true).from_reader(text.as_bytes());
        let mut rows: Vec<Vec<String>> = reader
            .records()
            .map(|record| record.expect("a table of a test is CSV").iter().map(str::to_owned).collect())
            .collect();
        let heads: Vec<String> = if rows.is_empty() { Vec::new() } else { rows.remove(0) };
        rows.iter_mut().for_each(|row| row.resize(heads.len(), String::new()));
        Self { heads, rows, bare: LengthUnit::Foot }
    }

    /// Where a column stands, by its heading without the unit.
    fn column(&self, heading: &str) -> Option<usize> {
        let plain = |head: &str| head.split('(').next().unwrap_or("").trim().to_lowercase();
        self.heads.iter().position(|head| plain(head) == heading)
    }

    /// Where a column stands; it is added where it is not there.
    fn needed(&mut self, heading: &str) -> usize {
        self.column(heading).unwrap_or_else(|| {
            self.heads.push(heading.to_owned());
            self.rows.iter_mut().for_each(|row| row.push(String::new()));
            self.heads.len() - 1
        })
    }

    fn cell(&self, row: usize, heading: &str) -> &str {
        self.column(heading).map_or("", |column| self.rows[row][column].trim())
    }

    /// The unit that a heading names.
    fn unit(&self, heading: &str) -> LengthUnit {
        let head = self.column(heading).map_or("", |column| &*self.heads[column]);
        let named = head.split_once('(').map(|(_, unit)| unit.trim_end_matches(')').trim());
        named.and_then(LengthUnit::from_word).unwrap_or(self.bare)
    }

    fn text(&self) -> String {
        let mut writer = csv::WriterBuilder::new().from_writer(Vec::new());
        for row in std::iter::once(&self.heads).chain(&self.rows) {
            writer.write_record(row).expect("cells are text");
        }
        String::from_utf8(writer.into_inner().expect("nothing is buffered")).expect("cells are text")
    }
}

/// The rows of two texts of one table, under the headings of both.
pub(crate) fn merged(first: &str, second: &str) -> String {
    let (mut table, other) = (Table::read(first), Table::read(second));
    let columns: Vec<usize> = other.heads.iter().map(|head| table.needed(head)).collect();
    for row in &other.rows {
        let mut cells = vec![String::new(); table.heads.len()];
        columns.iter().zip(row).for_each(|(column, cell)| cells[*column].clone_from(cell));
        table.rows.push(cells);
    }
    table.text()
}

/// Reads what the naive counter reads for itself.
pub(crate) fn read(texts: &Texts) -> Sheets {
    let mut sheets = Sheets::default();
    let bare = bare_unit(texts);
    for (name, text) in texts {
        let table = Table { bare, ..Table::read(text) };
        match *name {
            "runs" => sheets.runs = read_runs(&table),
            "parts" => read_parts(&table, &mut sheets),
            "systems" => {
                let seams = (0..table.rows.len()).filter(|row| table.cell(*row, "seam") == "joint");
                sheets.seams.extend(seams.map(|row| fold(table.cell(row, "system"))));
            }
            "meetings" => {
                let asks = [
                    "side",
                    "system",
                    "parent",
                    "parent attitude",
                    "child",
                    "child attitude",
                    "angle",
                    "where",
                ];
                sheets.meetings = (0..table.rows.len())
                    .map(|row| MeetingRow {
                        asks: asks.map(|ask| table.cell(row, ask).to_owned()),
                        part: table.cell(row, "part").to_owned(),
                        branch_part: table.cell(row, "branch part").to_owned(),
                    })
                    .collect();
            }
            "turnings" => {
                let asks = ["side", "system", "service", "parent attitude", "child attitude", "angle"];
                sheets.turnings = (0..table.rows.len())
                    .map(|row| TurningRow {
                        asks: asks.map(|ask| table.cell(row, ask).to_owned()),
                        part: table.cell(row, "part").to_owned(),
                    })
                    .collect();
            }
            _ => {}
        }
    }
    sheets
}

/// The unit in which the job says that bare lengths are.
fn bare_unit(texts: &Texts) -> LengthUnit {
    let mut found = LengthUnit::Foot;
    for (_, text) in texts.iter().filter(|(name, _)| *name == "job") {
        let table = Table::read(text);
        let said = (0..table.rows.len()).filter(|row| fold(table.cell(*row, "item")) == "units");
        found = said
            .filter_map(|row| LengthUnit::from_word(table.cell(row, "value")))
            .next_back()
            .unwrap_or(found);
    }
    found
}

fn read_parts(table: &Table, sheets: &mut Sheets) {
    for row in 0..table.rows.len() {
        let uses: Vec<String> =
            table.cell(row, "used as").split(';').map(fold).filter(|one| !one.is_empty()).collect();
        if !uses.is_empty() {
            sheets.uses.insert(fold(table.cell(row, "part")), uses);
        }
    }
}

fn read_runs(table: &Table) -> Vec<Sheet> {
    let mut sheets: Vec<Sheet> = Vec::new();
    for row in 0..table.rows.len() {
        let mut sheet = Sheet {
            name: table.cell(row, "run").to_owned(),
            tee: fold(table.cell(row, "tee")),
            rise_is_filled: !table.cell(row, "rise").is_empty(),
            ..Sheet::default()
        };
        let written = table.cell(row, "path");
        if !written.is_empty() {
            match Path::read(written, table.unit("path")) {
                Ok(path) => {
                    sheet.fault = off_the_path(table, row, &path);
                    sheet.path = Some(path);
                }
                Err(why) => sheet.fault = Some(why),
            }
        }
        sheets.push(sheet);
    }
    // Where on a leg of another run, once all paths are known.
    let mut by_name: BTreeMap<String, usize> = BTreeMap::new();
    for row in 0..table.rows.len() {
        by_name.entry(fold(table.cell(row, "run"))).or_insert(row);
    }
    for row in 0..table.rows.len() {
        for (heading, other) in [("at", "joins"), ("to at", "to")] {
            let cell = table.cell(row, heading);
            if !cell.starts_with(char::is_alphabetic) {
                continue;
            }
            let on_leg = read_leg(cell, table.unit(heading)).and_then(|(bearing, distance)| {
                let parent = by_name.get(&fold(table.cell(row, other)))?;
                sheets[*parent].path.as_ref()?.on_leg(bearing, distance)
            });
            match (heading, on_leg) {
                (_, None) => sheets[row].fault = Some("at is on no leg of the run that it joins"),
                ("at", Some(_)) => sheets[row].at = on_leg,
                (_, Some(_)) => sheets[row].to_at = on_leg,
            }
        }
    }
    sheets
}

/// What filled cells say against the path, by more than half an inch, or in the number of turns.
fn off_the_path(table: &Table, row: usize, path: &Path) -> Option<&'static str> {
    let half_inch = Length::whole(1, LengthUnit::Inch).nanometres() / 2;
    let off = |heading: &str, of_path: i64| {
        let written = Length::read(table.cell(row, heading), table.unit(heading));
        written.is_some_and(|written| written.nanometres().abs_diff(of_path) > half_inch.unsigned_abs())
    };
    let turns = table.cell(row, "turns");
    if off("length", path.length().nanometres()) {
        Some("the path has another length")
    } else if off("rise", path.rise()) {
        Some("the path has another rise")
    } else if !turns.is_empty() && turns != path.turns().to_string() {
        Some("the path has another number of turns")
    } else {
        None
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_read_here_is_laid_over_the_job() {
        let texts: Texts = vec![(
            "runs",
            "run,service,size,path (ft),joins,at,tee\nD1,drain,3,E 12.5; up 3,sewer,,\nD2,drain,2,N 4,D1,up 1.5,wye\n"
                .to_owned(),
        )];
        let (job, sheets) = read(&texts).laid_over(&crate::invariants::job_of(&texts));
        let inches = |inches| Length::whole(inches, LengthUnit::Inch);
        assert_eq!((job.runs[0].length, job.runs[0].rise), (inches(186), inches(36)));
        assert_eq!(job.runs[1].at, Some(inches(168)));
        assert_eq!(job.runs[0].turns, Some(1));
        assert_eq!(sheets.runs[1].tee, "wye");
        assert!(sheets.runs.iter().all(|sheet| sheet.fault.is_none()));
    }

    #[test]
    fn cells_that_say_another_thing_than_the_path_are_an_error() {
        for (columns, cells, sound) in [
            ("length", "15.5", true),
            ("length", "15 ft 6.5 in", true),
            ("length", "15 ft 7 in", false),
            ("rise", "3", true),
            ("rise", "4", false),
            ("turns", "1", true),
            ("turns", "2", false),
        ] {
            let runs = format!("run,service,size,path,{columns}\nD1,drain,3,\"E 12.5, up 3\",{cells}\n");
            let sheets = read(&vec![("runs", runs)]);
            assert_eq!(sheets.runs[0].fault.is_none(), sound, "{columns} {cells}");
        }
    }
}
