//! The words of this floor's notices: one closed list, each with its weight, its kind and its texts. Nothing else in
//! `trade` writes a sentence for a user.

use super::row::nearest_of;
use super::words_reading::ReadingTrouble;
use crate::ground::size::fraction_of_day;
use crate::ground::{Notice, Severity, Spot};

/// What can be wrong or doubtful in a table that reads well cell by cell.
#[derive(Debug, Clone)]
pub(super) enum Trouble<'a> {
    /// A price as it is written, a hidden sheet, a cell that nothing uses.
    Reading(ReadingTrouble<'a>),
    // Any table.
    /// A cell that must hold something is empty.
    EmptyCell { heading: &'a str, help: &'a str },
    /// A cell holds none of the words it may hold.
    UnknownWord { heading: &'a str, found: &'a str, known: &'a [&'a str] },
    /// A number or length that must be above zero is not.
    NotPositive { heading: &'a str, found: &'a str },
    /// A count that is not a whole number from zero up.
    NotACount { heading: &'a str, found: &'a str },
    /// A number that must not be below zero is.
    BelowZero { heading: &'a str, found: &'a str },
    /// A row with the key of another row of the same table.
    RowTwice { key: &'a str },
    /// A name that no row of another table has.
    UnknownName { what: Named, found: &'a str, nearest: String },
    /// A table that no job has.
    UnknownTable { found: &'a str, nearest: String },
    // The job.
    /// A job without a run list.
    NoRunList,
    /// A workbook without the sheet that is filled in on site.
    NoUsedSheet,
    /// A folder of price lists without any.
    NoPriceList,
    /// A path named in the job leads nowhere.
    NoSuchPath { item: &'a str, found: &'a str, why: &'a str },
    /// An item of the job that nothing reads.
    UnknownItem { found: &'a str, nearest: String },
    /// A `for` on an item that is said once for all.
    ForUnused { item: &'a str, found: &'a str },
    /// A value of the job that its item cannot have.
    WrongValue { item: &'a str, found: &'a str, expected: &'a str },
    /// An alternate that only leaves work out, near to one that brings some.
    NearAlternate { found: &'a str, nearest: String },
    /// A run of the base bid that joins one that is not in it.
    JoinsOptional { joined: &'a str, alternate: &'a str },
    /// Held choices of an alternative that the job does not have; with how many rows more name it.
    NoAlternative { found: &'a str, known: &'a str, more: usize },
    /// A profit that is all of the price.
    MarginOfAll { found: &'a str },
    /// Points so few that a fraction may have been meant.
    PartOfAPoint { item: &'a str, found: &'a str, points: &'a str },
    /// A sales tax that no state takes.
    TaxTooHigh { found: &'a str },
    /// Goods that are needed before the day of the job.
    NeededBeforeJob { found: &'a str, date: &'a str },
    /// A bid that ends before the day of the job.
    BidEndsBeforeJob { found: &'a str, date: &'a str },
    /// A system of the wrong side of the house.
    WrongSide { found: &'a str, side: &'a str },
    // Runs.
    /// A distance that is not inside its run.
    NotInside { heading: &'a str, found: &'a str, length: &'a str },
    /// A distance along another run that is not above zero.
    NotAhead { heading: &'a str, found: &'a str },
    /// A distance without what it is measured along.
    Without { heading: &'a str, needed: &'a str },
    /// A tail without its size, or a size without its tail.
    HalfTail { written: &'a str, missing: &'a str },
    /// A tail that is not smaller than its run.
    TailNotSmaller { tail: &'a str, size: &'a str },
    /// More rise than length.
    RiseAboveLength { rise: &'a str, length: &'a str },
    /// More turns with an elbow than turns.
    ElbowsAboveTurns { elbows: u32, turns: u32 },
    /// A list of turns that is not as long as the turns.
    TurnsAtCount { given: usize, turns: u32 },
    /// Two turns at one point.
    TurnTwice { found: &'a str },
    /// A run counted other than once that joins or ends somewhere.
    CountOfJoined { count: u32, heading: &'a str },
    /// A `counted` run with a cell that the counting by eye replaces.
    CountedWith { heading: &'a str },
    /// An elbow on a run that must be one length.
    ElbowOnNoJoint { elbows: u32 },
    /// `to at` on a run that is no return.
    ToAtOfSupply,
    /// Further columns of the run list that no pattern names.
    UnreadColumn { found: &'a str, nearest: String },
    /// A number under a count column that cannot be counted.
    CountColumn { heading: &'a str, found: &'a str },
    // Patterns.
    /// What a quantity is for, in no known word.
    UnknownPer { found: &'a str, known: &'a [&'a str], nearest: String },
    /// An `only` that is not `column=value`.
    OnlyForm { found: &'a str },
    /// A `where` on tube, which has no place in line.
    WhereOnTube,
    /// A `where` on a part that stands at an end.
    WhereAtEnd { per: &'a str },
    /// Tube whose piece has no length.
    TubeWithoutLength,
    /// Tube per anything but an end.
    TubeAway { per: &'a str },
    /// A part with openings that stands nowhere.
    Nowhere { part: &'a str, per: &'a str },
    /// Openings that come in fractions.
    PartOfAPart { part: &'a str, found: &'a str },
    /// `per length` without `every`.
    NoEvery,
    /// `every` without `per length`.
    EveryUnused { per: &'a str },
    /// Sizes that do not go with the ports of the part.
    SizesAndPorts { part: &'a str, sizes: usize, ports: usize },
    // Parts and systems.
    /// Ports that cannot be read.
    Ports { found: &'a str, why: &'a str },
    /// A tube that no size belongs to.
    NoSizes { tube: &'a str, nearest: String },
    /// A coil or stick that tube is customarily sold in and cannot be read.
    SoldIn { found: &'a str },
    // Prices.
    /// Rows of a list without a price: not offered.
    NotOffered { rows: usize },
    /// Rows of a list without a supplier, where the list names not exactly one.
    NoSupplier { rows: usize, named: usize },
    /// A price of nothing.
    PriceZero,
    /// A price below nothing.
    PriceNegative { found: &'a str },
    /// The lowest price is above the highest.
    LowAboveHigh { low: &'a str, high: &'a str },
    /// Good from a day after the last.
    FromAfterUntil { from: &'a str, until: &'a str },
    /// A pack that cannot be read, or does not go with how the thing is sold.
    Pack { found: &'a str, expected: &'a str },
    /// A way to sell that does not go with the thing.
    SoldAs { found: &'a str, expected: &'a str },
    /// What a price is for, in no known word, or not as the thing is sold.
    PricePer { found: &'a str, expected: &'a str },
    /// A discount outside 0 to 100.
    Discount { found: &'a str },
    /// Breaks that cannot be read.
    Breaks { found: &'a str },
    // Labor and tools.
    /// A cell that changes nothing on a row of hours of its kind.
    LaborUnread { heading: &'a str, per: &'a str },
    /// A row of hours that says as much as another.
    LaborTwice { first: &'a str },
    /// A row of hours that no work can match.
    LaborNever { why: &'a str },
    /// Somebody of the crew has no wages.
    NoRate { who: &'a str },
    /// Wages of somebody who is not in the crew.
    RateOfNobody { who: &'a str },
    /// Wages, or a crew, without hours.
    CrewWithoutLabor { item: &'a str },
    /// An allowance of tube that the cut plan replaces.
    AllowanceByPlan { points: &'a str },
    /// An area that no run and no place has.
    NoSuchArea { found: &'a str, nearest: String },
    /// A tool bought or rented for nothing.
    ToolForNothing,
}

/// What kind of name was not found.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Named {
    /// A pattern.
    Pattern,
    /// A part, in a table that decides the count.
    Part,
    /// A part of a price list or of the stock: it counts nothing by itself.
    SoldPart,
    /// A system.
    System,
    /// A system or a tube family.
    SystemOrTube,
    /// A system or a tube family of a price list.
    SoldSystem,
    /// A size.
    Size,
    /// A size of a price list, of the stock or of a held choice.
    SoldSize,
    /// A color of the same.
    SoldColor,
    /// A column of the run list.
    Column,
    /// A joint.
    Joint,
    /// A variant of a part.
    Variant,
    /// A supplier, in the table of what suppliers charge.
    Supplier,
}

impl Named {
    const fn texts(self) -> (Severity, &'static str, &'static str, &'static str) {
        match self {
            Self::Pattern => {
                (Severity::Error, "unknown-pattern", "pattern", "a pattern of the table patterns")
            }
            Self::Part => {
                (Severity::Error, "unknown-part", "part", "a part of the table parts, by any of its names")
            }
            Self::SoldPart => (
                Severity::Warning,
                "unknown-sold-part",
                "part",
                "a part of the table parts, by any of its names",
            ),
            Self::System => (Severity::Error, "unknown-system", "system", "a system of the table systems"),
            Self::SystemOrTube => (
                Severity::Error,
                "unknown-system",
                "system",
                "a system of the table systems, a tube family or a fit",
            ),
            Self::SoldSystem => (
                Severity::Warning,
                "unknown-sold-system",
                "system",
                "a system of the table systems, a tube family or a fit",
            ),
            Self::Size => (Severity::Error, "unknown-size", "size", "a size of the table sizes"),
            Self::SoldSize => (Severity::Warning, "unknown-sold-size", "size", "a size of the table sizes"),
            Self::SoldColor => (
                Severity::Warning,
                "unknown-sold-color",
                "color",
                "red or blue, or nothing where any color will do",
            ),
            Self::Column => (Severity::Error, "unknown-column-asked", "column", "a column of the run list"),
            Self::Joint => (Severity::Error, "unknown-joint", "joint", "a joint of the table joints"),
            Self::Variant => (Severity::Error, "unknown-variant", "variant", "a variant that the part has"),
            Self::Supplier => (
                Severity::Warning,
                "unknown-supplier",
                "supplier",
                "a supplier of the price lists, as they name it",
            ),
        }
    }
}

impl Trouble<'_> {
    /// The notice, in words, about these cells: the first is where to go.
    pub(super) fn word(self, spots: Vec<Spot>) -> Notice {
        let otherwise = self.otherwise(&spots);
        let Text(severity, kind, found, expected, remedy) = self.text();
        Notice::new(severity, kind, spots, brief(found), expected, remedy).or_each(otherwise)
    }

    /// The table of all texts.
    fn text(self) -> Text {
        match self {
            Self::Reading(trouble) => trouble.text(),
            Self::EmptyCell { heading, help } => error(
                "empty-cell",
                format!("{heading} is empty"),
                help.to_owned(),
                format!("type {heading}"),
            ),
            Self::UnknownWord { heading, found, known } => error(
                "unknown-word",
                format!("{heading} is \"{found}\""),
                one_of(known),
                type_nearest(&nearest_of(found, known.iter().copied()), "type one of these words"),
            ),
            Self::NotPositive { heading, found } => error(
                "not-above-zero",
                format!("{heading} is {found}"),
                format!("{heading} above zero"),
                format!("type {heading} above zero"),
            ),
            Self::NotACount { heading, found } => error(
                "not-a-count",
                format!("{heading} is {found}"),
                "a whole number, zero or more".to_owned(),
                format!("type a whole number, or leave {heading} empty"),
            ),
            Self::BelowZero { heading, found } => error(
                "below-zero",
                format!("{heading} is {found}"),
                "zero or more".to_owned(),
                format!("type {heading} without its sign, or leave it empty"),
            ),
            Self::RowTwice { key } => warning(
                "row-twice",
                format!("{key} stands in the table twice; the last row counts"),
                "one row for each".to_owned(),
                "take out the row that is not meant".to_owned(),
            ),
            Self::UnknownName { what, found, nearest } => {
                let (severity, kind, noun, expected) = what.texts();
                let otherwise = match what {
                    Named::SoldColor => "type red or blue, or leave it if nothing of this job uses it",
                    Named::SoldPart | Named::SoldSystem | Named::SoldSize => {
                        "leave it if nothing of this job uses it"
                    }
                    Named::Supplier => "leave it if its price list is not used here",
                    Named::Pattern | Named::Part | Named::System | Named::SystemOrTube | Named::Size
                    | Named::Joint => "give it a row of its own there",
                    Named::Column => "add the column, or take the word out",
                    Named::Variant => "give the variant a row of its own in the table parts",
                };
                let of_day = matches!(what, Named::Size | Named::SoldSize).then(|| fraction_of_day(found)).flatten();
                let remedy = of_day.map_or_else(
                    || type_nearest(&nearest, otherwise),
                    |fraction| {
                        format!("type {fraction} where a spreadsheet made a day of it, and format the column as Text")
                    },
                );
                Text(
                    severity,
                    kind,
                    format!("the {noun} \"{found}\" is not known"),
                    expected.to_owned(),
                    remedy,
                )
            }
            Self::UnknownTable { found, nearest } => Text(
                if nearest.is_empty() { Severity::Remark } else { Severity::Warning },
                "unknown-table",
                format!("the table \"{found}\" is not read"),
                "a table of a job".to_owned(),
                if nearest.is_empty() {
                    "leave it as your own".to_owned()
                } else {
                    format!("name it {nearest} if that is meant")
                },
            ),
            Self::NoRunList => error(
                "no-run-list",
                "the job has no run list".to_owned(),
                "a table \"runs\" with one run a row".to_owned(),
                "add the table runs (a file runs.csv, or a sheet runs)".to_owned(),
            ),
            Self::NoUsedSheet => error(
                "no-used-sheet",
                "the workbook has no sheet Used".to_owned(),
                "an estimate.xlsx that this program wrote and somebody filled in on site".to_owned(),
                "write one with `coilstick estimate`, fill in its sheet Used and name that file".to_owned(),
            ),
            Self::NoPriceList => error(
                "no-price-list-there",
                "the folder has no price list".to_owned(),
                "a folder with price lists: CSV files or workbooks".to_owned(),
                "put the price list into it, or name the file itself".to_owned(),
            ),
            Self::NoSuchPath { item, found, why } => error(
                "no-such-path",
                format!("{item} \"{found}\": {why}"),
                "a path from the folder of the job".to_owned(),
                "type the path as it is seen from the folder of the job".to_owned(),
            ),
            Self::UnknownItem { found, nearest } => warning(
                "unknown-item",
                format!("the item \"{found}\" is not read"),
                "an item of the table job".to_owned(),
                type_nearest(&nearest, "take the row out"),
            ),
            Self::ForUnused { item, found } => warning(
                "for-unused",
                format!("for is \"{found}\" on {item}, where it changes nothing"),
                format!("for only on what is said of several: {}", super::terms::taking_for()),
                "empty for, or say it of one of these".to_owned(),
            ),
            Self::WrongValue { item, found, expected } => error(
                "wrong-value",
                format!("{item} is \"{found}\""),
                expected.to_owned(),
                format!("type {expected}"),
            ),
            Self::NearAlternate { found, nearest } => warning(
                "near-alternate",
                format!("no row belongs to the alternate \"{found}\": it only leaves work out"),
                "an alternate that some row belongs to, or one that is a deduct".to_owned(),
                format!("type {nearest} if that is meant, or leave it as a deduct"),
            ),
            Self::JoinsOptional { joined, alternate } => error(
                "joins-optional",
                format!("it is in the base bid and joins \"{joined}\", which is only in the alternate \"{alternate}\""),
                "a run that is there whenever what it joins is".to_owned(),
                format!("type {alternate} in its cell alternate, or let it join a run of the base bid"),
            ),
            Self::NoAlternative { found, known, more } => warning(
                "no-alternative",
                match more {
                    0 => format!("\"{found}\" is no alternative of this job: this row holds nothing"),
                    more => format!("\"{found}\" is no alternative of this job: this row and {more} more hold nothing"),
                },
                format!("an alternative of the job ({known}), or an empty cell for all of them"),
                "type one of them, leave the cell empty, or name the system in `compare with`".to_owned(),
            ),
            Self::MarginOfAll { found } => error(
                "margin-of-all",
                format!("profit is a margin of {found}"),
                "a margin below 100: it is a share of the price, and some of the price is cost".to_owned(),
                "type a smaller margin, or say profit as markup".to_owned(),
            ),
            Self::WrongSide { found, side } => error(
                "wrong-side",
                format!("\"{found}\" is not a {side} system"),
                format!("a system whose side is {side}"),
                format!("name a {side} system, or correct its side in the table systems"),
            ),
            Self::PartOfAPoint { item, found, points } => warning(
                "part-of-a-point",
                format!("{item} is {found}, which is read as {found} in a hundred"),
                "points: 7 is 7 in a hundred".to_owned(),
                format!("type {points} if {points} % is meant; else leave it"),
            ),
            Self::TaxTooHigh { found } => warning(
                "tax-too-high",
                format!("sales tax is {found} in a hundred"),
                "the points of the tax, such as 7 or 7.25".to_owned(),
                "look whether the decimal point stands right".to_owned(),
            ),
            Self::NeededBeforeJob { found, date } => warning(
                "needed-before-job",
                format!("goods are needed on {found}, and the day of the job is {date}"),
                "a day on or after the date of the job, which is the day prices are taken on".to_owned(),
                "correct the day, or the item date".to_owned(),
            ),
            Self::BidEndsBeforeJob { found, date } => warning(
                "bid-ends-before-job",
                format!("the bid is good until {found}, and the day of the job is {date}"),
                "a last day on or after the date of the job".to_owned(),
                "correct the day, or the item date".to_owned(),
            ),
            Self::NotInside { heading, found, length } => error(
                "not-inside-run",
                format!("{heading} is {found} on a run of {length}"),
                format!("a distance above 0 ft and below {length}"),
                "measure from the beginning of the run".to_owned(),
            ),
            Self::NotAhead { heading, found } => error(
                "not-above-zero",
                format!("{heading} is {found}"),
                "a distance above zero along the parent".to_owned(),
                format!("measure {heading} from the beginning of the run that is joined, or leave it empty for its end"),
            ),
            Self::Without { heading, needed } => error(
                "distance-without-run",
                format!("{heading} is given without {needed}"),
                format!("{needed}, or no {heading}"),
                format!("type in {needed} what {heading} is measured along, or empty {heading}"),
            ),
            Self::HalfTail { written, missing } => error(
                "half-a-tail",
                format!("{written} is given without {missing}"),
                "both reduce to and tail, or neither".to_owned(),
                format!("type {missing}, or empty {written}"),
            ),
            Self::TailNotSmaller { tail, size } => error(
                "tail-not-smaller",
                format!("reduce to is {tail} on a run of {size}"),
                format!("a size smaller than {size}"),
                "type the smaller size of the tail, or empty reduce to and tail".to_owned(),
            ),
            Self::RiseAboveLength { rise, length } => error(
                "rise-above-length",
                format!("rise is {rise} on a run of {length}"),
                "no more rise than length, since rise is part of it".to_owned(),
                "add the rise to the length, or correct it".to_owned(),
            ),
            Self::ElbowsAboveTurns { elbows, turns } => error(
                "elbows-above-turns",
                format!("turns with elbow is {elbows} and turns is {turns}"),
                "at most as many as turns".to_owned(),
                format!("type at least {elbows} for turns, or fewer turns with elbow"),
            ),
            Self::TurnsAtCount { given, turns } => error(
                "turns-at-count",
                format!("turns at gives {given} where turns is {turns}"),
                "as many distances as turns, parted by semicolons".to_owned(),
                "give every turn its distance, or empty turns at".to_owned(),
            ),
            Self::TurnTwice { found } => warning(
                "turn-twice",
                format!("turns at gives {found} twice: of two elbows the second takes the next free point"),
                "one distance for each turn".to_owned(),
                "move one of the two turns, or leave it where tube bends".to_owned(),
            ),
            Self::CountOfJoined { count, heading } => error(
                "count-of-joined-run",
                format!("count is {count} on a run with {heading}"),
                if count == 0 {
                    "0 only on a run that stands alone".to_owned()
                } else {
                    "1 or nothing on a run that joins another".to_owned()
                },
                if count == 0 {
                    format!("take the row out, or empty {heading}")
                } else {
                    "write each of the runs in a row of its own".to_owned()
                },
            ),
            Self::CountedWith { heading } => error(
                "counted-run-with",
                format!("{heading} is given on a run of the pattern counted"),
                format!("no {heading}: what cuts the run is counted by eye"),
                format!("empty {heading}, or take counted out of pattern"),
            ),
            Self::ElbowOnNoJoint { elbows } => error(
                "elbow-on-no-joint",
                format!("turns with elbow is {elbows} on a run without a joint"),
                "no elbow on a run marked no joint".to_owned(),
                "empty turns with elbow, or no joint".to_owned(),
            ),
            Self::ToAtOfSupply => error(
                "to-at-of-no-return",
                "to at is given on a run that is no return".to_owned(),
                "to at only on a return, which may end along a run".to_owned(),
                "empty to at".to_owned(),
            ),
            Self::UnreadColumn { found, nearest } => warning(
                "unread-column",
                format!("the column \"{found}\" is not read"),
                "a column of the run list, or one that a pattern names".to_owned(),
                type_nearest(&nearest, "leave it as your own, or name it in a pattern"),
            ),
            Self::CountColumn { heading, found } => error(
                "not-a-count",
                format!("{heading} is \"{found}\""),
                "a whole number, zero or more".to_owned(),
                "type how many there are".to_owned(),
            ),
            Self::UnknownPer { found, known, nearest } => error(
                "unknown-per",
                format!("per is \"{found}\""),
                format!("{}, or a count column of the run list", one_of(known)),
                type_nearest(&nearest, "add the column to the run list, or type one of these words"),
            ),
            Self::OnlyForm { found } => error(
                "only-form",
                format!("only is \"{found}\""),
                "column=value, several parted by semicolons".to_owned(),
                "type for example service=hot".to_owned(),
            ),
            Self::WhereOnTube => error(
                "where-on-tube",
                "where is given on tube".to_owned(),
                "tube per start, end or both, without where".to_owned(),
                "empty where".to_owned(),
            ),
            Self::WhereAtEnd { per } => error(
                "where-at-end",
                format!("where is given on a part per {per}"),
                "where only on a part in line".to_owned(),
                "empty where, or type run in per".to_owned(),
            ),
            Self::TubeWithoutLength => error(
                "tube-without-length",
                "quantity is empty on tube".to_owned(),
                "the length of the piece, such as 6 in".to_owned(),
                "type the length in quantity".to_owned(),
            ),
            Self::TubeAway { per } => error(
                "tube-not-at-an-end",
                format!("tube is given per {per}"),
                "tube per start, end or both".to_owned(),
                "type start, end or both in per; for a longer run type a longer length".to_owned(),
            ),
            Self::Nowhere { part, per } => error(
                "part-nowhere",
                format!("{part} has openings and is given per {per} without where"),
                "a place in line for what cuts the tube".to_owned(),
                "type start, end or a distance in where".to_owned(),
            ),
            Self::PartOfAPart { part, found } => error(
                "part-of-a-part",
                format!("quantity is {found} of {part}, which has openings"),
                "a whole number".to_owned(),
                "type a whole number".to_owned(),
            ),
            Self::NoEvery => error(
                "length-without-every",
                "per is length and every is empty".to_owned(),
                "the length of run that asks for one more".to_owned(),
                "type a length in every".to_owned(),
            ),
            Self::EveryUnused { per } => warning(
                "every-unused",
                format!("every is given on a row per {per}, where it changes nothing"),
                "every only with per length".to_owned(),
                "empty every, or type length in per".to_owned(),
            ),
            Self::SizesAndPorts { part, sizes, ports } => error(
                "sizes-and-ports",
                format!("{part} has {ports} openings and {sizes} sizes are given"),
                "one size, or one for each opening in the order of ports".to_owned(),
                "type one size, or leave size empty for the size of the run".to_owned(),
            ),
            Self::Ports { found, why } => error(
                "unread-ports",
                format!("ports is \"{found}\": {why}"),
                "a list such as joint, male thread 3/4".to_owned(),
                "type joint, tube end, male thread, female thread, compression, closed or closed tube end for each opening, parted by commas".to_owned(),
            ),
            Self::NoSizes { tube, nearest } => error(
                "tube-without-sizes",
                format!("the tube \"{tube}\" has no sizes"),
                "a tube of the table sizes".to_owned(),
                type_nearest(&nearest, "give it its rows in the table sizes"),
            ),
            Self::SoldIn { found } => error(
                "unread-lengths",
                format!("sold in has \"{found}\""),
                "coils and sticks with their lengths: coil 100 ft; stick 20 ft".to_owned(),
                "type coil or stick and the length, several parted by semicolons".to_owned(),
            ),
            Self::NotOffered { rows } => remark(
                "not-offered",
                match rows {
                    1 => "a row of this list has no price: it is taken as not offered".to_owned(),
                    rows => format!("{rows} rows of this list have no price: they are taken as not offered"),
                },
                "the price of what the supplier sells".to_owned(),
                "nothing, if the supplier does not sell them; else type their prices".to_owned(),
            ),
            Self::NoSupplier { rows, named } => error(
                "no-supplier",
                match (rows, named) {
                    (1, 0) => "a row of this list names no supplier, and no other row does".to_owned(),
                    (rows, 0) => format!("{rows} rows of this list name no supplier, and no row does"),
                    (1, named) => format!("a row of this list names no supplier, and others name {named}"),
                    (rows, named) => {
                        format!("{rows} rows of this list name no supplier, and others name {named}")
                    }
                },
                "who sells: in every row, or once in a list that is of one supplier alone".to_owned(),
                match named {
                    0 => "type the supplier's name in one row of the list".to_owned(),
                    _ => "type the supplier's name in each row that lacks it".to_owned(),
                },
            ),
            Self::PriceZero => error(
                "price-zero",
                "price is 0".to_owned(),
                "a price above zero".to_owned(),
                "type the price, or take the row out: what has no price is listed as not priced".to_owned(),
            ),
            Self::PriceNegative { found } => error(
                "price-negative",
                format!("price is {found}"),
                "a price above zero".to_owned(),
                "type the price without its sign".to_owned(),
            ),
            Self::LowAboveHigh { low, high } => error(
                "low-above-high",
                format!("low is {low} and high is {high}"),
                "low at most as high as high".to_owned(),
                "exchange the two".to_owned(),
            ),
            Self::FromAfterUntil { from, until } => error(
                "from-after-until",
                format!("good from is {from} and good until is {until}"),
                "good from no later than good until".to_owned(),
                "exchange the two, or correct one".to_owned(),
            ),
            Self::Pack { found, expected } => error(
                "unread-pack",
                if found.is_empty() { "pack is empty".to_owned() } else { format!("pack is \"{found}\"") },
                expected.to_owned(),
                "type what one pack, coil or stick holds".to_owned(),
            ),
            Self::SoldAs { found, expected } => error(
                "unread-sold-as",
                if found.is_empty() { "sold as is empty".to_owned() } else { format!("sold as is \"{found}\"") },
                expected.to_owned(),
                "type how it is sold".to_owned(),
            ),
            Self::PricePer { found, expected } => error(
                "unread-price-per",
                format!("per is \"{found}\""),
                expected.to_owned(),
                "type what the price is for".to_owned(),
            ),
            Self::Discount { found } => error(
                "discount-out-of-range",
                format!("discount is {found}"),
                "points from 0 to less than 100".to_owned(),
                "type for example 25, or 25+15 for a chain".to_owned(),
            ),
            Self::LaborUnread { heading, per } => warning(
                "labor-cell-unread",
                format!("{heading} is given on a row per {per}, where it changes nothing"),
                format!("no {heading} on a row per {per}"),
                format!("empty {heading}, or correct per"),
            ),
            Self::LaborTwice { first } => warning(
                "labor-twice",
                format!("this row says as much as {first} of the same work; the later row counts"),
                "one row that says the most of each work".to_owned(),
                "take out the row that is not meant, or say more in it".to_owned(),
            ),
            Self::LaborNever { why } => warning(
                "labor-never",
                format!("no work can match this row: {why}"),
                "a row of hours that speaks of something that can be installed".to_owned(),
                "correct the row, or take it out".to_owned(),
            ),
            Self::NoRate { who } => warning(
                "no-rate",
                format!("{who} is in the crew and has no rate: labor is counted in hours and not priced"),
                "a rate for each of the crew, or one for all".to_owned(),
                format!("add a row: rate, for {who}, wages an hour"),
            ),
            Self::RateOfNobody { who } => warning(
                "rate-of-nobody",
                format!("a rate is given for {who}, who is not in the crew"),
                "rates of those who work".to_owned(),
                format!("add a row: crew, for {who}, how many; or take the rate out"),
            ),
            Self::AllowanceByPlan { points } => Text(
                Severity::Remark,
                "allowance-by-plan",
                format!("allowance for tube is {points}, and a cut plan replaces it: only loose tube takes it"),
                "tube allowance beside it, which says what becomes of it".to_owned(),
                "add a row tube allowance: end for spare length, piece for a share on each piece, plan for none"
                    .to_owned(),
            ),
            Self::CrewWithoutLabor { item } => warning(
                "crew-without-labor",
                format!("{item} is given and the job has no hours: labor is not in the sums"),
                "a table labor".to_owned(),
                "add a table labor with hours of your own".to_owned(),
            ),
            Self::NoSuchArea { found, nearest } => warning(
                "no-such-area",
                format!("no run and no place is in the area \"{found}\""),
                "an area of the run list or of the table places".to_owned(),
                type_nearest(&nearest, "take the row out"),
            ),
            Self::ToolForNothing => error(
                "tool-for-nothing",
                "price is 0 of a tool that is not owned".to_owned(),
                "a price above zero, or owned".to_owned(),
                "type the price, or owned in how".to_owned(),
            ),
            Self::Breaks { found } => error(
                "unread-breaks",
                format!("breaks is \"{found}\""),
                "packs and price, packs rising: 10: 3.20; 50: 2.90".to_owned(),
                "type from how many packs on which price holds".to_owned(),
            ),
        }
    }
}

/// Severity, kind, found, expected, remedy.
pub(super) struct Text(Severity, &'static str, String, String, String);

/// A text that repeats a cell, with the cell cut where it holds pages.
fn brief(text: String) -> String {
    const LONG: usize = 200;
    const SHOWN: usize = 60;
    if text.chars().nth(LONG).is_none() {
        return text;
    }
    let cut = |(at, part): (usize, &str)| match part.char_indices().nth(SHOWN) {
        Some((end, _)) if at % 2 == 1 => format!("{}…", &part[..end]),
        Some(_) | None => part.to_owned(),
    };
    text.split('"').enumerate().map(cut).collect::<Vec<_>>().join("\"")
}

pub(super) fn error(kind: &'static str, found: String, expected: String, remedy: String) -> Text {
    Text(Severity::Error, kind, found, expected, remedy)
}

pub(super) fn remark(kind: &'static str, found: String, expected: String, remedy: String) -> Text {
    Text(Severity::Remark, kind, found, expected, remedy)
}

pub(super) fn warning(kind: &'static str, found: String, expected: String, remedy: String) -> Text {
    Text(Severity::Warning, kind, found, expected, remedy)
}

fn one_of(words: &[&str]) -> String {
    match words {
        [] => String::new(),
        [one] => (*one).to_owned(),
        [first @ .., last] => format!("{} or {last}", first.join(", ")),
    }
}

fn type_nearest(nearest: &str, otherwise: &str) -> String {
    if nearest.is_empty() {
        otherwise.to_owned()
    } else {
        format!("type {nearest} if that is meant, or {otherwise}")
    }
}
