//! How the ids of a result read in words: items, runs, systems, spots, the because of a line. No files are written
//! here and nothing is added up; every writer of this floor asks it.

use rust_decimal::Decimal;

use crate::estimate::ids::{RunEnd, RunId};
use crate::estimate::item::{Color, Item, ItemId};
use crate::estimate::labor::LaborLine;
use crate::estimate::order::{Cutting, OfferId};
use crate::estimate::takeoff::{Because, EndMet, Line, Subject};
use crate::estimate::task::{Task, task_called};
use crate::estimate::{Estimate, joint_rows};
pub(crate) use crate::ground::money::{plain, to_places};
use crate::ground::{Length, LengthUnit, RowAt, Severity};
use crate::trade::{
    Job, LaborRow, Offer, Pack, Part, PricedPer, Run, Service, SoldAs, SystemId, Word, WorkPer,
};

/// The words of one job and its estimate.
#[derive(Clone, Copy)]
pub(crate) struct Wording<'a> {
    pub(crate) job: &'a Job,
    pub(crate) estimate: &'a Estimate,
}

impl<'a> Wording<'a> {
    /// That prices are changed for a trial, and how; nothing where they are those of the lists.
    pub(crate) fn tried(&self) -> Option<String> {
        tried(&self.job.prices.tried)
    }

    /// What all files say of the prices: as listed, or that they are changed for a trial.
    pub(in crate::report) fn prices(&self) -> String {
        said_of_prices(&self.job.prices.tried)
    }

    /// The job by its name. What is handed over on paper must not be taken for a price where prices are tried.
    pub(in crate::report) fn job_called(&self) -> String {
        match self.tried() {
            Some(tried) => format!("{} ({tried})", self.job.settings.name),
            None => self.job.settings.name.to_string(),
        }
    }

    /// The mark of an alternative: whole where nothing is left out or in error, and all of it has its price (and hours).
    pub(in crate::report) fn mark(&self, alternative: usize) -> &'static str {
        crate::report::mark_of(
            self.estimate.left_out.is_empty() && self.estimate.comparison.is_whole(alternative),
        )
    }

    /// The text of a word.
    pub(crate) fn word(&self, word: Word) -> &'a str {
        self.job.lexicon.text(word)
    }

    /// An item.
    pub(crate) fn item(&self, id: ItemId) -> &'a Item {
        self.estimate.items.get(id)
    }

    /// Its part in the catalog.
    pub(crate) fn part(&self, id: ItemId) -> &'a Part {
        self.job.catalog.part(self.item(id).part)
    }

    /// What it is called.
    pub(crate) fn part_name(&self, id: ItemId) -> &'a str {
        &self.part(id).name
    }

    /// The system it belongs to; empty where any will do.
    pub(in crate::report) fn item_system(&self, id: ItemId) -> &'a str {
        self.item(id).system.map_or("", |system| self.system(system))
    }

    /// A system by its name.
    pub(crate) fn system(&self, id: SystemId) -> &'a str {
        self.word(self.job.catalog.system(id).name)
    }

    /// What an alternative is called: its system, or those of both sides.
    pub(crate) fn alternative(&self, index: usize) -> &'a str {
        self.estimate.alternatives.get(index).map_or("", |a| self.word(a.name))
    }

    /// What every percentage of a difference is taken of: the chosen alternative.
    pub(crate) fn percent_of(&self) -> String {
        format!("% of {}", self.alternative(0))
    }

    /// What people call the systems of an alternative: `PEX tube with clamp rings`, of both sides parted by `and`.
    pub(in crate::report) fn alternative_in_words(&self, index: usize) -> String {
        let Some(of) = self.estimate.alternatives.get(index) else { return String::new() };
        let (water, named) = (of.takeoff.system, self.word(of.name));
        // The name says which sides the job has.
        match of.takeoff.drain {
            Some(drain) if named == self.system(drain) => self.system_in_words(drain).to_owned(),
            Some(drain) if named != self.system(water) => {
                format!("{} and {}", self.system_in_words(water), self.system_in_words(drain))
            }
            Some(_) | None => self.system_in_words(water).to_owned(),
        }
    }

    /// What people call a system; its name where the table says nothing else.
    pub(in crate::report) fn system_in_words(&self, system: SystemId) -> &'a str {
        let in_words = &*self.job.catalog.system(system).in_words;
        if in_words.is_empty() { self.system(system) } else { in_words }
    }

    /// Its sizes as the trade writes them: `1 x 3/4 x 1/2`.
    pub(crate) fn sizes(&self, id: ItemId) -> String {
        self.size_list(self.item(id).sizes.as_slice())
    }

    /// Sizes parted by `x`.
    pub(in crate::report) fn size_list(&self, sizes: &[Word]) -> String {
        sizes.iter().map(|size| self.word(*size)).collect::<Vec<_>>().join(" x ")
    }

    /// Words parted by `; `.
    pub(crate) fn list(&self, words: &[Word]) -> String {
        words.iter().map(|word| self.word(*word)).collect::<Vec<_>>().join("; ")
    }

    /// What it is called, and its variant and color: `tube, red`.
    pub(in crate::report) fn part_and_variant(&self, id: ItemId) -> String {
        with_variant(self.part_name(id), &self.variant(id))
    }

    /// Its variant and color: `type L`, `red`.
    pub(crate) fn variant(&self, id: ItemId) -> String {
        let item = self.item(id);
        let variant = self.word(item.variant);
        match (variant.is_empty(), item.color) {
            (_, Color::None) => variant.to_owned(),
            (true, color) => color.word().to_owned(),
            (false, color) => format!("{variant}, {}", color.word()),
        }
    }

    /// The unit it is counted in: `ft`, `m`, `each`, or that of its joints row.
    pub(crate) fn unit(&self, id: ItemId) -> &'a str {
        let item = self.item(id);
        if item.is_length() {
            self.length_unit().abbreviation()
        } else if item.unit.is_empty() {
            "each"
        } else {
            self.word(item.unit)
        }
    }

    /// The unit lengths are shown in.
    pub(crate) fn length_unit(&self) -> LengthUnit {
        self.job.settings.units
    }

    /// The whole name of an item: `tee 1 x 3/4 x 1/2, brass`.
    pub(crate) fn item_name(&self, id: ItemId) -> String {
        let name = format!("{} {}", self.part_name(id), self.sizes(id));
        with_variant(name.trim_end(), &self.variant(id))
    }

    /// Whether labor is in the sums: hours and wages are said.
    pub(crate) fn priced_labor(&self) -> bool {
        self.estimate.alternatives.iter().any(|of| of.labor.rate.is_some())
    }

    /// The unit that some work is counted in.
    pub(in crate::report) fn work_unit(&self, per: WorkPer) -> &'static str {
        if per == WorkPer::Length { self.length_unit().abbreviation() } else { "each" }
    }

    /// The row of the table labor that speaks of a line of labor.
    pub(in crate::report) fn hours_row(&self, line: &LaborLine) -> Option<&'a LaborRow> {
        self.job.labor.as_ref()?.get(line.rule?)
    }

    /// How some work is called.
    pub(crate) fn task(&self, task: &Task) -> String {
        task_called(self.job, &self.estimate.items, task)
    }

    /// A length as a number in the unit of the job.
    pub(crate) fn length(&self, length: Length) -> Decimal {
        length.in_units(self.length_unit())
    }

    /// A length with its unit: `12.5 ft`.
    pub(in crate::report) fn length_words(&self, length: Length) -> String {
        format!("{} {}", plain(self.shown(length)), self.length_unit().abbreviation())
    }

    /// What stands over lengths as a tape shows them.
    pub(in crate::report) fn tape_heading(&self) -> &'static str {
        if self.length_unit() == LengthUnit::Foot { "on the tape" } else { "mm" }
    }

    /// A length as it stands in CSV: four places.
    pub(crate) fn shown(&self, length: Length) -> Decimal {
        length.shown(self.length_unit())
    }

    /// What a line of the takeoff comes to, in the unit of its item.
    pub(crate) fn quantity(&self, line: &Line) -> Decimal {
        let count = Decimal::from(line.count);
        if let Some(row) = line.joint {
            return joint_rows::amount(&self.job.catalog, row, count).unwrap_or(count);
        }
        if self.item(line.item).is_length() {
            return self.length(Length::from_nanometres(line.count));
        }
        count
    }

    /// A run of the run list.
    pub(crate) fn run(&self, id: RunId) -> Option<&'a Run> {
        self.job.runs.get(id.0 as usize)
    }

    /// A run by its name.
    pub(crate) fn run_name(&self, id: RunId) -> &'a str {
        self.run(id).map_or("?", |run| &run.name)
    }

    /// Whose row a line belongs to.
    pub(crate) fn subject(&self, subject: Subject) -> String {
        match subject {
            Subject::Run(run) => self.run_name(run).to_owned(),
            Subject::Place(place) => {
                self.job.places.get(place as usize).map_or("a place".to_owned(), |p| p.name.to_string())
            }
        }
    }

    /// The row a line belongs to.
    pub(in crate::report) fn subject_row(&self, subject: Subject) -> Option<RowAt> {
        match subject {
            Subject::Run(run) => self.run(run).map(|run| run.row),
            Subject::Place(place) => self.job.places.get(place as usize).map(|place| place.row),
        }
    }

    /// Where a row of the user's tables stands: `runs.csv row 7`.
    pub(crate) fn spot(&self, row: RowAt) -> String {
        let spot = self.job.sources.row(row);
        match &spot.sheet {
            Some(sheet) => format!("{}, sheet {sheet}, row {}", spot.file, spot.row),
            None => format!("{}, row {}", spot.file, spot.row),
        }
    }

    /// An offer of the price lists.
    pub(crate) fn offer(&self, id: OfferId) -> Option<&'a Offer> {
        self.job.prices.offers.get(id.0 as usize)
    }

    /// Who sells it.
    pub(crate) fn supplier(&self, offer: &Offer) -> &'a str {
        self.word(offer.supplier)
    }

    /// What one pack of an offer holds, in the unit the item is counted in.
    pub(in crate::report) fn pack(&self, offer: &Offer) -> Decimal {
        offer.holds(self.length_unit())
    }

    /// What the price of an offer is for, in the same unit.
    pub(in crate::report) fn per(&self, offer: &Offer) -> Decimal {
        offer.priced_for(self.length_unit())
    }

    /// What the price of an offer is for, in words: `each`, `pack`, `ft`, `100`.
    pub(in crate::report) fn per_words(&self, offer: &Offer) -> String {
        match offer.per {
            PricedPer::Each => "each".to_owned(),
            PricedPer::Pack => pack_of(offer.sold_as).to_owned(),
            PricedPer::Length(length) => {
                let number = plain(self.shown(length));
                let unit = self.length_unit().abbreviation();
                if number == "1" { unit.to_owned() } else { format!("{number} {unit}") }
            }
            PricedPer::Many(count) => count.to_string(),
        }
    }

    /// How an offer is sold, in words: `coil of 100 ft`, `bag of 25`, `each`.
    pub(crate) fn sold_as(&self, offer: &Offer) -> String {
        let holds = match offer.pack {
            Pack::Count(count) => count.to_string(),
            Pack::Length(length) => self.length_words(length),
            Pack::Amount(amount) => {
                format!("{} {}", plain(amount), self.amount_unit(offer)).trim_end().to_owned()
            }
        };
        if offer.sold_as != SoldAs::Each || !offer.is_loose() {
            return format!("{} of {holds}", pack_of(offer.sold_as));
        }
        match self.per_words(offer).as_str() {
            "each" | "pack" => "loose".to_owned(),
            per => format!("loose, per {per}"),
        }
    }

    /// The sentence on top of a workbook, whose sums follow edits and whose words do not.
    pub(in crate::report) fn as_estimated(&self) -> String {
        let sentence = &self.estimate.comparison.sentence;
        match sentence.is_empty() {
            true => String::new(),
            false => format!("{sentence}. So it was estimated; this sentence does not follow edits."),
        }
    }

    /// What the price on an order is for, in words: of loose goods as the price list says, else the coil, stick or pack.
    pub(in crate::report) fn ordered_per(&self, offer: &Offer) -> String {
        if offer.sold_as != SoldAs::Each || !offer.is_loose() {
            return pack_of(offer.sold_as).to_owned();
        }
        let per = self.per_words(offer);
        if per == "pack" { "each".to_owned() } else { per }
    }

    /// A coil or stick in words, and what its price is for: `coil of 100 ft`, `coil`.
    pub(in crate::report) fn length_sold(&self, (sold, length): (SoldAs, Length)) -> (String, &'static str) {
        let sold = pack_of(sold);
        (format!("{sold} of {}", self.length_words(length)), sold)
    }

    /// The unit in which joints consume what an offer sells by amount: `lb`, `oz`...
    fn amount_unit(&self, offer: &Offer) -> &'a str {
        let catalog = &self.job.catalog;
        let unit = joint_rows::unit_of(catalog, catalog.parts_called(offer.part));
        unit.map_or("", |unit| self.word(unit))
    }

    /// What a coil or stick of a cut plan is, and who sells it: `coil of 100 ft, Supplier`, or one from the shelf.
    pub(in crate::report) fn cut_from(&self, cutting: &Cutting) -> (String, &'a str) {
        match cutting.offer.and_then(|offer| self.offer(offer)) {
            Some(offer) => (self.sold_as(offer), self.supplier(offer)),
            None => (format!("{} on hand", self.length_words(cutting.length)), "from the shelf"),
        }
    }

    /// Whether what is left of a coil or stick is as long as the job says is worth keeping.
    pub(in crate::report) fn is_worth_keeping(&self, cutting: &Cutting) -> bool {
        self.job.settings.cutting.keep_from.is_some_and(|least| cutting.left >= least)
    }

    /// Why a line is there, in words.
    pub(crate) fn because(&self, line: &Line) -> String {
        let words = match line.because {
            Because::Length => "its own length".to_owned(),
            Because::Tail => "its tail in the smaller size".to_owned(),
            Because::TailReducer => "reduces before its tail".to_owned(),
            Because::Rule(row) => self.rule_words(row),
            Because::Tee(child) => format!("{} ties in here", self.run_name(child)),
            Because::Reducer(child) => format!("{} goes on in another size", self.run_name(child)),
            Because::Turning(child) => format!("{} goes on in another direction", self.run_name(child)),
            Because::Seam(child) => format!("cut where {} goes on", self.run_name(child)),
            Because::Transition(run) => format!("{} changes the system", self.run_name(run)),
            Because::Between => "between an end and the part on it".to_owned(),
            Because::Turn if line.service.is_some_and(|service| !service.is_water()) => {
                "its turns".to_owned()
            }
            Because::Turn => "elbows at its turns".to_owned(),
            Because::Offset => "elbows of its offsets".to_owned(),
            Because::Split => "a piece longer than the stock length".to_owned(),
            Because::Adapter => "its tube faces a thread".to_owned(),
            Because::OpenEnd => "closes an open end".to_owned(),
            Because::TestCap => "closes an open end for the test of its phase".to_owned(),
            Because::Plugged => "closes a port that is not used".to_owned(),
            Because::Spacing => "supports along its length".to_owned(),
            Because::TailSpacing => "supports along its tail".to_owned(),
            Because::PartSupport => "supports that a part asks for".to_owned(),
        };
        match line.joint {
            Some(_) if line.count == 1 => format!("1 joint: {words}"),
            Some(_) => format!("{} joints: {words}", line.count),
            None => words,
        }
    }

    fn rule_words(&self, row: RowAt) -> String {
        let pattern = self.job.catalog.patterns.iter().find(|p| p.rows.iter().any(|r| r.row == row));
        match pattern {
            Some(pattern) => format!("pattern {}", pattern.name),
            None => "a pattern".to_owned(),
        }
    }
}

/// What one of what is sold is called: a coil, a stick, a pack.
const fn pack_of(sold: SoldAs) -> &'static str {
    match sold {
        SoldAs::Coil => "coil",
        SoldAs::Stick => "stick",
        SoldAs::Bag | SoldAs::Each => "pack",
    }
}

/// A part and its variant: `tube, type L`.
pub(in crate::report) fn with_variant(part: &str, variant: &str) -> String {
    if variant.is_empty() { part.to_owned() } else { format!("{part}, {variant}") }
}

/// That prices are changed for a trial, and how.
pub(crate) fn tried(changes: &[Box<str>]) -> Option<String> {
    (!changes.is_empty()).then(|| format!("NOT REAL PRICES, changed for a trial: {}", changes.join("; ")))
}

/// What is said of the prices: as listed, or that they are changed for a trial.
pub(in crate::report) fn said_of_prices(changes: &[Box<str>]) -> String {
    tried(changes).unwrap_or_else(|| "as listed".to_owned())
}

/// What flows; empty where no run brought it.
pub(crate) fn service(service: Option<Service>) -> &'static str {
    service.map_or("", Service::word)
}

/// The rule that a line rests on: its row in the table patterns.
pub(crate) fn rule_of(line: &Line) -> Option<RowAt> {
    if let Because::Rule(row) = line.because { Some(row) } else { None }
}

/// How grave a notice is.
pub(crate) const fn severity(severity: Severity) -> &'static str {
    match severity {
        Severity::Error => "error",
        Severity::Warning => "warning",
        Severity::Remark => "remark",
    }
}

/// Which end of a run.
pub(in crate::report) const fn run_end(end: RunEnd) -> &'static str {
    match end {
        RunEnd::Start => "beginning",
        RunEnd::End => "end",
    }
}

/// What becomes of an end that no part fills.
pub(in crate::report) const fn end_met(met: EndMet) -> &'static str {
    match met {
        EndMet::OnSite => "met on site",
        EndMet::Elsewhere => "met elsewhere",
        EndMet::Capped => "open: capped",
        EndMet::Plugged => "open: closed for the test by a plug that is a tool",
    }
}

/// A length in feet, inches and sixteenths, as a tape shows it: `12' 6 1/2"`. For cutting; to the nearest 1/16.
pub(crate) fn tape(length: Length) -> String {
    const SIXTEENTH: i64 = 1_587_500;
    let sixteenths = (length.nanometres().saturating_add(SIXTEENTH / 2)).max(0) / SIXTEENTH;
    let (feet, rest) = (sixteenths / 192, sixteenths % 192);
    let (inches, mut part) = (rest / 16, rest % 16);
    let mut below = 16;
    while part > 0 && part % 2 == 0 {
        (part, below) = (part / 2, below / 2);
    }
    let inches = match (inches, part) {
        (_, 0) => format!("{inches}\""),
        (0, _) => format!("{part}/{below}\""),
        _ => format!("{inches} {part}/{below}\""),
    };
    if feet == 0 { inches } else { format!("{feet}' {inches}") }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_tape_shows_feet_inches_and_sixteenths() {
        for (text, shown) in [
            ("12.5 ft", "12' 6\""),
            ("0.03125 ft", "3/8\""),
            ("6 1/2 in", "6 1/2\""),
            ("11 31/32 in", "1' 0\""),
            ("3.81 m", "12' 6\""),
        ] {
            assert_eq!(tape(Length::read(text, LengthUnit::Foot).unwrap()), shown, "{text}");
        }
    }
}
