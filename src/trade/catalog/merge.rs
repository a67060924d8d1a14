//! Tables over tables: the program's own rows, over them those of shared folders, over them those of the job, each laid
//! over the one with its key. The one reading of the tables of what exists.

use std::collections::HashMap;

use super::Catalog;
use super::code_rules;
use super::drains::{self, DrainUnits};
use super::part::{self, Part};
use super::pattern::{self, Pattern, PatternId};
use super::published::{self, Consumption, Fixture, SupportRule, TubeSize};
use super::system::{self, System};
use super::take_out::{self, TakeOut, Way};
use super::test_day;
use crate::ground::RowAt;
use crate::table::FoundTable;
use crate::trade::lexicon::{Lexicon, Word};
use crate::trade::reading::findings::row_twice;
use crate::trade::reading::{Reading, all_rows, named};
use crate::trade::run::RunColumns;

impl Catalog {
    /// What exists, but for patterns, which name columns of the run list.
    pub(in crate::trade) fn read(layers: [&[FoundTable]; 3], reading: &mut Reading) -> Self {
        let mut catalog = Self::default();
        for tables in layers {
            let parts = all_rows(tables, "parts", reading, part::read);
            let key = |part: &Part| ([part.word, part.variant, Word::EMPTY], part.row);
            over(&mut catalog.parts, parts, "part", key, reading);
            let systems = all_rows(tables, "systems", reading, system::read);
            let key = |system: &System| ([system.name, Word::EMPTY, Word::EMPTY], system.row);
            over(&mut catalog.systems, systems, "system", key, reading);
            let sizes = all_rows(tables, "sizes", reading, published::sizes);
            let key = |size: &TubeSize| ([size.tube, size.size, size.variant], size.row);
            over(&mut catalog.sizes, sizes, "size", key, reading);
            let names = &mut catalog.joint_names;
            let joints =
                all_rows(tables, "joints", reading, |file, reading| published::joints(file, reading, names));
            let key = |joint: &Consumption| ([joint.joint, joint.size, joint.part], joint.row);
            over(&mut catalog.joints, joints, "joint", key, reading);
            let supports = all_rows(tables, "supports", reading, published::supports);
            let key = |rule: &SupportRule| ([rule.tube, rule.size, Word::EMPTY], rule.row);
            over(&mut catalog.supports, supports, "size", key, reading);
            let fixtures = all_rows(tables, "fixtures", reading, published::fixtures);
            let key = |fixture: &Fixture| ([fixture.fixture, Word::EMPTY, Word::EMPTY], fixture.row);
            over(&mut catalog.fixtures, fixtures, "fixture", key, reading);
            catalog.meetings.extend(all_rows(tables, drains::MEETINGS.name, reading, drains::meetings));
            catalog.turnings.extend(all_rows(tables, drains::TURNINGS.name, reading, drains::turnings));
            let units = all_rows(tables, "drainunits", reading, drains::units);
            let key = |units: &DrainUnits| ([units.family, units.fixture, Word::EMPTY], units.row);
            over(&mut catalog.drain_units, units, "fixture", key, reading);
            catalog.pressure_tests.extend(all_rows(tables, "pressuretests", reading, test_day::tests));
            catalog.test_gauges.extend(all_rows(tables, "testgauges", reading, test_day::gauges));
            catalog.water.extend(all_rows(tables, test_day::WATER.name, reading, test_day::water));
            catalog.code_rules.extend(all_rows(tables, "coderules", reading, code_rules::read));
            let take_outs = all_rows(tables, "takeouts", reading, take_out::read);
            let ways = Way::ALL.map(|way| (way, reading.lexicon.word(way.word())));
            let opening = |row: &TakeOut| ways.iter().find(|(way, _)| row.opening == Some(*way));
            let key = |row: &TakeOut| {
                let opening = opening(row).map_or(Word::EMPTY, |(_, word)| *word);
                ([row.part, row.size, row.fitting_word, row.system, opening], row.row)
            };
            over(&mut catalog.take_outs, take_outs, "part", key, reading);
        }
        catalog.index(&mut reading.lexicon);
        catalog
    }

    /// Reads the patterns, which need to know the parts and the columns of the run list: a pattern takes the place of
    /// the one of its name whole. The first layer is the program's own.
    pub(in crate::trade) fn read_patterns(
        &mut self,
        layers: [&[FoundTable]; 3],
        columns: &RunColumns,
        reading: &mut Reading,
    ) {
        for (layer, tables) in layers.into_iter().enumerate() {
            for table in named(tables, "patterns") {
                let patterns = pattern::read(&table.file, reading, self, columns, layer == 0);
                self.lay_patterns(patterns, &mut reading.lexicon);
            }
        }
        let names = (0_u32..).zip(&self.patterns);
        self.pattern_by_name =
            names.map(|(id, pattern)| (reading.lexicon.word(&pattern.name), PatternId(id))).collect();
    }

    fn lay_patterns(&mut self, patterns: Vec<Pattern>, lexicon: &mut Lexicon) {
        let known = self.patterns.iter().enumerate();
        let mut places: HashMap<Word, usize> =
            known.map(|(place, pattern)| (lexicon.word(&pattern.name), place)).collect();
        for pattern in patterns {
            let name = lexicon.word(&pattern.name);
            if let Some(place) = places.get(&name) {
                self.patterns[*place] = pattern;
            } else {
                places.insert(name, self.patterns.len());
                self.patterns.push(pattern);
            }
        }
    }
}

/// Lays rows over rows: a row takes the place of the one with its key, or comes after all. The order of the rows below is
/// kept, so that ids and ties do not depend on what a user adds.
fn over<T, const N: usize>(
    into: &mut Vec<T>,
    rows: Vec<T>,
    heading: &str,
    key: impl Fn(&T) -> ([Word; N], RowAt),
    reading: &mut Reading,
) {
    // Key, place, and whether this very table has it already.
    let mut places: HashMap<[Word; N], (usize, bool)> = HashMap::new();
    for (place, row) in into.iter().enumerate() {
        places.insert(key(row).0, (place, false));
    }
    for row in rows {
        let (key, at) = key(&row);
        if let Some((place, twice)) = places.get_mut(&key) {
            if *twice {
                let words = key.map(|word| reading.lexicon.text(word)).join(" ");
                let key = words.split_whitespace().collect::<Vec<_>>().join(" ");
                reading.trouble_of_row(at, heading, row_twice(&key));
            }
            *twice = true;
            into[*place] = row;
        } else {
            places.insert(key, (into.len(), true));
            into.push(row);
        }
    }
}
