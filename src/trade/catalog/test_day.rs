//! Tables of test day: what each code family asks of a test, the gauge that shows it, what water weighs. Which row speaks of
//! a test is decided here; what is tested is not.

use rust_decimal::Decimal;

use super::Catalog;
use crate::ground::Length;
use crate::table::TableFile;
use crate::trade::lexicon::Word;
use crate::trade::reading::{Reading, Row, Text};
use crate::trade::run::{Phase, Side};
use crate::trade::shape::{table, words};

words! {
    /// What a test is made with.
    pub enum TestMethod {
        /// Filled with water.
        Water = "water",
        /// Under compressed air.
        Air = "air",
        /// Emptied of air.
        Vacuum = "vacuum",
    }
}

table! {
    /// The table `pressure tests`.
    PRESSURE_TESTS = "pressure tests", Noticed, TestColumn;
    /// A row of the table `pressure tests`: what a code family asks of one way to test a side of the house.
    PressureTest {
        family: Word = "code family", required, Text, "the code family whose rule it is: IRC, UPC, or your own";
            |row, at| { row.needed(at); row.word(at) };
        side: Side = "side", required, Text, "water or drain";
            |row, at| { row.needed(at); row.choice(at).unwrap_or(Side::Water) };
        phase: Option<Phase> = "phase", optional, Text, "the phase it is for; empty: every phase that is tested";
            |row, at| row.choice(at);
        method: TestMethod = "method", required, Text, "what the test is made with: water, air, vacuum";
            |row, at| { row.needed(at); row.choice(at).unwrap_or(TestMethod::Water) };
        head: Option<Length> = "head", optional, Length, "the least height of water over the highest fitting of what is tested";
            |row, at| row.positive_length(at);
        pressure: Option<Decimal> = "pressure" ["pressure (psi)"], optional, Number, "the least pressure in psi; of a vacuum how far below the air around it";
            |row, at| row.positive(at);
        is_working: bool = "working pressure", optional, YesNo, "yes where it is not less than the working pressure: the item static pressure of the job";
            |row, at| row.yes_no(at).unwrap_or(false);
        minutes: Option<Decimal> = "minutes", optional, Number, "how long it must hold";
            |row, at| row.positive(at);
        tubes: Box<[Word]> = "tube", optional, Text, "the only tube families that may be tested so, parted by semicolons; empty: all";
            |row, at| row.words(at);
        section: Text = "section", optional, Text, "where it stands in the code";
            |row, at| row.kept(at);
        source: Text = "source", optional, Text, "where the rule is published";
            |row, at| row.kept(at);
        status: Text = "status", optional, Text, "how the rule is known: found, restated, from memory";
            |row, at| row.kept(at);
    }
}

table! {
    /// The table `test gauges`.
    TEST_GAUGES = "test gauges", Noticed, GaugeColumn;
    /// A row of the table `test gauges`: how finely a gauge is marked.
    TestGauge {
        family: Word = "code family", required, Text, "the code family whose rule it is: IRC, UPC, or your own";
            |row, at| { row.needed(at); row.word(at) };
        pressure: Option<Decimal> = "pressure" ["pressure (psi)"], optional, Number, "for tests up to this pressure in psi; empty: above all others";
            |row, at| row.positive(at);
        marks: Decimal = "marks" ["marks (psi)"], required, Number, "the most psi from mark to mark";
            |row, at| { row.needed(at); row.positive(at).unwrap_or_default() };
        section: Text = "section", optional, Text, "the section of the code that says so";
            |row, at| row.kept(at);
        source: Text = "source", optional, Text, "where the marks are published";
            |row, at| row.kept(at);
        status: Text = "status", optional, Text, "how they are known: found, restated, from memory";
            |row, at| row.kept(at);
    }
}

table! {
    /// The table `water`.
    WATER = "water", Noticed, WaterColumn;
    /// A row of the table `water`: what water of a temperature weighs, as the pressure that it makes.
    Water {
        temperature: Decimal = "temperature" ["temperature (F)"], required, Number, "its temperature in degrees Fahrenheit";
            |row, at| { row.needed(at); row.zero_or_more(at).unwrap_or_default() };
        psi_a_foot: Decimal = "pressure" ["pressure (psi a foot)"], required, Number, "psi for each foot of head; a gallon weighs 19.25 times that in pounds";
            |row, at| { row.needed(at); row.positive(at).unwrap_or_default() };
        source: Text = "source", optional, Text, "where the figure is published";
            |row, at| row.kept(at);
        status: Text = "status", optional, Text, "how the figure is known: found, computed, from memory";
            |row, at| row.kept(at);
    }
}

/// Reads a table of pressure tests; rows in error are left out with a notice.
pub(super) fn tests(file: &TableFile, reading: &mut Reading) -> Vec<PressureTest> {
    reading.rows(file, &PRESSURE_TESTS, |row| Some(PressureTest::read(row)).filter(|_| !row.in_error()))
}

/// Reads a table of test gauges; rows in error are left out with a notice.
pub(super) fn gauges(file: &TableFile, reading: &mut Reading) -> Vec<TestGauge> {
    reading.rows(file, &TEST_GAUGES, |row| Some(TestGauge::read(row)).filter(|_| !row.in_error()))
}

/// Reads a table of what water weighs; rows in error are left out with a notice.
pub(super) fn water(file: &TableFile, reading: &mut Reading) -> Vec<Water> {
    reading.rows(file, &WATER, |row| Some(Water::read(row)).filter(|_| !row.in_error()))
}

impl Catalog {
    /// The rule of a code family for one way to test a side in a phase: the one that names the phase before one for all,
    /// of several the last.
    pub fn pressure_test(
        &self,
        family: Word,
        (side, phase): (Side, Phase),
        method: TestMethod,
    ) -> Option<&PressureTest> {
        let speaks = |row: &&PressureTest| {
            row.family == family
                && row.side == side
                && row.method == method
                && row.phase.is_none_or(|of| of == phase)
        };
        self.pressure_tests.iter().filter(speaks).max_by_key(|row| row.phase.is_some())
    }

    /// The gauge that a code family asks for at a pressure: the row of the least pressure that reaches it, of several the
    /// last.
    pub fn test_gauge(&self, family: Word, psi: Decimal) -> Option<&TestGauge> {
        let reaches = |row: &&TestGauge| row.family == family && row.pressure.is_none_or(|most| psi <= most);
        let all = self.test_gauges.iter().rev().filter(reaches);
        all.min_by_key(|row| (row.pressure.is_none(), row.pressure))
    }

    /// Water of the temperature nearest to one, of two as near the colder, which is the heavier.
    pub fn water_at(&self, temperature: Decimal) -> Option<&Water> {
        let away = |row: &&Water| ((row.temperature - temperature).abs(), row.temperature);
        self.water.iter().rev().min_by_key(away)
    }

    /// The inside diameter of a tube; nothing where no row of exactly its size and variant says it.
    pub fn inside(&self, tube: Word, size: Word, variant: Word) -> Option<Length> {
        let is_it = |row: &&super::TubeSize| row.tube == tube && row.size == size && row.variant == variant;
        self.sizes.iter().find(is_it)?.inside
    }
}
