//! The words of the network's and the takeoff's notices. Each kind has its data here and its texts here.

use crate::ground::{Length, LengthUnit, Notice, RowAt, Severity, Spot};
use crate::trade::Job;

/// The kinds of warnings that say that something is not counted: the sums do not hold it, unless the job accepts that.
pub(super) const UNCOUNTED: [&str; 2] = ["nothing-consumed", "no-support-rule"];

/// What can be wrong or doubtful in how runs meet and what they are built of.
pub(super) enum Trouble<'a> {
    SameName {
        rows: &'a [RowAt],
        name: &'a str,
    },
    NamedMain {
        run: RowAt,
        name: &'a str,
    },
    UnknownJoins {
        run: RowAt,
        name: &'a str,
        nearest: Vec<&'a str>,
    },
    ToNamesRun {
        run: RowAt,
        name: &'a str,
    },
    AtOnPlace {
        run: RowAt,
        place: &'a str,
    },
    AtOutside {
        run: RowAt,
        parent: RowAt,
        at: Length,
        parent_name: &'a str,
        length: Length,
        heading: &'static str,
    },
    ToAtWithoutRun {
        run: RowAt,
    },
    Cycle {
        run: RowAt,
        others: Vec<RowAt>,
        names: String,
        heading: &'static str,
    },
    ThreeAtOneEnd {
        runs: Vec<RowAt>,
        parent: RowAt,
        parent_name: &'a str,
    },
    ChildOfAPlaceEnd {
        run: RowAt,
        parent: RowAt,
        parent_name: &'a str,
        place: &'a str,
    },
    ToAPlaceEnd {
        run: RowAt,
        parent: RowAt,
        parent_name: &'a str,
        place: &'a str,
    },
    JoinsAReturnsEnd {
        run: RowAt,
        parent: RowAt,
        parent_name: &'a str,
    },
    TapOnNoJoint {
        run: RowAt,
        parent: RowAt,
        parent_name: &'a str,
    },
    CountJoined {
        run: RowAt,
        count: u32,
    },
    CountZeroJoined {
        run: RowAt,
    },
    CountZero {
        run: RowAt,
    },
    CountedPlaceMet {
        run: RowAt,
        other: RowAt,
        place: &'a str,
    },
    CountedJoined {
        run: RowAt,
    },
    Root {
        run: RowAt,
    },
    OtherService {
        run: RowAt,
        parent: RowAt,
        service: &'static str,
        parent_service: &'static str,
    },
    LaterTap {
        run: RowAt,
        parent: RowAt,
        parent_name: &'a str,
    },
    BullElsewhere {
        run: RowAt,
    },
    NoDrainSystem {
        run: RowAt,
    },
    UnknownSize {
        run: RowAt,
        heading: &'static str,
        size: &'a str,
        system: &'a str,
        known: String,
    },
    TailNotSmaller {
        run: RowAt,
        size: &'a str,
        reduce_to: &'a str,
    },
    LargerChild {
        run: RowAt,
        parent: RowAt,
        size: &'a str,
        parent_size: &'a str,
    },
    MovedTap {
        run: RowAt,
        parent: RowAt,
    },
    CloseTap {
        run: RowAt,
        parent: RowAt,
        least: Length,
    },
    NoFreePoint {
        run: RowAt,
        heading: &'static str,
        what: &'a str,
    },
    TooShortForTransition {
        run: RowAt,
        parent: RowAt,
        least: Length,
    },
    WhereOutside {
        run: RowAt,
        rule: RowAt,
        length: Length,
    },
    NoJointPart {
        run: RowAt,
        rule: RowAt,
    },
    MetEndPart {
        run: RowAt,
        rule: RowAt,
        end: &'static str,
    },
    NothingToFill {
        run: RowAt,
        rule: RowAt,
        part: &'a str,
    },
    UnknownPart {
        run: RowAt,
        rule: RowAt,
        part: &'a str,
        system: &'a str,
    },
    NoEquivalent {
        run: RowAt,
        what: &'a str,
        system: &'a str,
    },
    NoSizeToMeet {
        run: RowAt,
        parent: RowAt,
        parent_name: &'a str,
        size: &'a str,
        system: &'a str,
    },
    BrokenRule {
        rule: RowAt,
        run: RowAt,
    },
    StartWithoutPlace {
        run: RowAt,
        rule: RowAt,
    },
    DifferentSizes {
        run: RowAt,
        other: RowAt,
        place: &'a str,
        part: &'a str,
    },
    PlaceNeedsSize {
        rule: RowAt,
        place: RowAt,
    },
    NoPortLeft {
        run: RowAt,
        place: &'a str,
        service: &'static str,
    },
    BareMetTwice {
        run: RowAt,
        other: RowAt,
        place: &'a str,
        service: &'static str,
    },
    UnfilledPort {
        spot: RowAt,
        rule: RowAt,
        place: &'a str,
        part: &'a str,
        port: String,
    },
    ManifoldTooSmall {
        run: RowAt,
        rule: RowAt,
        place: &'a str,
    },
    NothingConsumed {
        run: RowAt,
        joint: &'a str,
        size: &'a str,
    },
    NoSupportRule {
        run: RowAt,
        tube: &'a str,
        size: &'a str,
    },
    TooMany {
        run: RowAt,
    },
}

/// A length as a person would type it back: `9 ft 6 1/2 in`, `3.81 m`; a decimal where sixteenths do not hold it.
fn shown(length: Length, job: &Job) -> String {
    let sixteenth = LengthUnit::Inch.nanometres() / 16;
    let metric = job.settings.units == LengthUnit::Metre;
    let nanometres = length.nanometres();
    if metric || nanometres <= 0 || nanometres % sixteenth != 0 {
        let unit = if metric { LengthUnit::Metre } else { LengthUnit::Foot };
        return format!("{} {}", length.shown(unit).normalize(), unit.abbreviation());
    }
    let (feet, rest) = (nanometres / sixteenth / 192, nanometres / sixteenth % 192);
    let inches = match (rest / 16, rest % 16) {
        (inches, 0) => inches.to_string(),
        (inches, part) => {
            let by = 1 << part.trailing_zeros();
            let fraction = format!("{}/{}", part / by, 16 / by);
            if inches == 0 { fraction } else { format!("{inches} {fraction}") }
        }
    };
    match (feet, rest) {
        (feet, 0) => format!("{feet} ft"),
        (0, _) => format!("{inches} in"),
        (feet, _) => format!("{feet} ft {inches} in"),
    }
}

fn or_nearest(nearest: &[&str], else_say: &str) -> String {
    match nearest {
        [] => else_say.to_owned(),
        names => format!(
            "type {}, or {else_say}",
            names.iter().map(|n| format!("\"{n}\"")).collect::<Vec<_>>().join(" or ")
        ),
    }
}

impl Trouble<'_> {
    /// The notice, in words.
    #[allow(clippy::too_many_lines)] // one table of texts; it is read top to bottom
    pub(super) fn word(self, job: &Job) -> Notice {
        use Severity::{Error, Warning};
        let cell = |row: RowAt, heading: &str| job.sources.cell(row, heading);
        let whole = |row: RowAt| job.sources.row(row);
        let notice = |severity, kind, spots: Vec<Spot>, found: String, expected: &str, remedy: &str| {
            Notice::new(severity, kind, spots, found, expected.to_owned(), remedy.to_owned())
        };
        match self {
            Self::SameName { rows, name } => notice(
                Error,
                "same-name",
                rows.iter().map(|r| cell(*r, "run")).collect(),
                format!("\"{name}\" names {} things", rows.len()),
                "a name of its own for each run and place",
                "give all but one another name; all rows of the name are left out until then",
            ),
            Self::NamedMain { run, name } => notice(
                Error,
                "run-named-main",
                vec![cell(run, "run")],
                format!("a run is called \"{name}\", and that names what is always there"),
                "a name of its own",
                "give the run another name",
            ),
            Self::UnknownJoins { run, name, nearest } => notice(
                Error,
                "unknown-name",
                vec![cell(run, "joins")],
                format!("joins names \"{name}\", and no run or place has that name"),
                "a run, a place that a `to` makes, a row of places, main or sewer",
                &or_nearest(&nearest, "say in `fixture` what the place is"),
            ),
            Self::ToNamesRun { run, name } => notice(
                Error,
                "to-names-run",
                vec![cell(run, "to")],
                format!("to names the run \"{name}\""),
                "a place; only a return may end at a run",
                "put the run in `joins` of the other row, or name a place",
            ),
            Self::AtOnPlace { run, place } => notice(
                Error,
                "at-on-place",
                vec![cell(run, "at"), cell(run, "joins")],
                format!("`at` is a distance along a run, and the run joins \"{place}\", a place"),
                "an empty `at` where a place is joined",
                "empty the cell, or join a run",
            ),
            Self::AtOutside { run, parent, at, parent_name, length, heading } => notice(
                Error,
                "at-outside",
                vec![cell(run, heading), cell(parent, "length")],
                format!(
                    "`{heading}` is {}, and {parent_name} is {} long",
                    shown(at, job),
                    shown(length, job)
                ),
                "a distance from the beginning of the run that is joined, up to its length",
                "measure again, correct the length of that run, or empty the cell for its end",
            ),
            Self::ToAtWithoutRun { run } => notice(
                Error,
                "to-at-without-run",
                vec![cell(run, "to at"), cell(run, "to")],
                "`to at` is filled, and `to` names no run".to_owned(),
                "a run in `to`, on a return",
                "empty the cell, or name the run that the return ties into",
            ),
            Self::Cycle { run, others, names, heading } => notice(
                Error,
                "cycle",
                std::iter::once(cell(run, heading)).chain(others.iter().map(|r| cell(*r, "joins"))).collect(),
                format!("these runs join each other in a ring: {names}"),
                "a way back to the main from every run",
                "let one of them join what feeds it; a recirculation is a `return`",
            ),
            Self::ThreeAtOneEnd { runs, parent, parent_name } => notice(
                Error,
                "three-at-one-end",
                runs.iter().map(|run| cell(*run, "joins")).chain([cell(parent, "run")]).collect(),
                format!("{} runs join the end of {parent_name}", runs.len()),
                "at most two at one end: a tee has no more openings",
                "give all but two of them an `at` a little before the end; all are left out until then",
            ),
            Self::ChildOfAPlaceEnd { run, parent, parent_name, place } => notice(
                Error,
                "joins-an-end-at-a-place",
                vec![cell(run, "joins"), cell(parent, "to")],
                format!("{parent_name} ends at \"{place}\", so nothing joins its end"),
                "the place, or the run at a distance",
                &format!("type \"{place}\" in joins, or give an `at`"),
            ),
            Self::ToAPlaceEnd { run, parent, parent_name, place } => notice(
                Error,
                "to-ends-at-a-place",
                vec![cell(run, "to"), cell(parent, "to")],
                format!("{parent_name} ends at \"{place}\", so no return ties into its end"),
                "how far along the run the return ties in",
                "type the distance in `to at`",
            ),
            Self::JoinsAReturnsEnd { run, parent, parent_name } => notice(
                Error,
                "joins-a-returns-end",
                vec![cell(run, "joins"), cell(parent, "to")],
                format!("{parent_name} is a return that ends at a run, so nothing joins its end"),
                "the run it ends at, or the return at a distance",
                "join that run, or give an `at`",
            ),
            Self::TapOnNoJoint { run, parent, parent_name } => notice(
                Error,
                "tap-on-no-joint",
                vec![cell(run, "joins"), cell(parent, "no joint")],
                format!("{parent_name} may have no joint, and this run ties into it"),
                "nothing between the ends of a run without joints",
                "tie in at its end, or allow a joint",
            ),
            Self::CountJoined { run, count } => notice(
                Error,
                "count-joined",
                vec![cell(run, "count")],
                format!("count is {count} on a run that joins another or is joined"),
                "a count above 1 only on a run that stands alone or ends at a place of its own",
                "write the runs out, one row each",
            ),
            Self::CountZeroJoined { run } => notice(
                Error,
                "count-zero-joined",
                vec![cell(run, "count")],
                "count is 0 on a run that does not stand alone".to_owned(),
                "at least 1",
                "empty the cell, or take the row out",
            ),
            Self::CountZero { run } => notice(
                Warning,
                "count-zero",
                vec![cell(run, "count")],
                "count is 0: the run adds nothing".to_owned(),
                "how many such runs there are",
                "type a number, or take the row out",
            ),
            Self::CountedPlaceMet { run, other, place } => notice(
                Error,
                "counted-place-met",
                vec![cell(run, "count"), whole(other)],
                format!("the run is counted more than once, and another run meets \"{place}\""),
                "a place that no other run meets: it stands for as many places",
                "write the runs out, one row each, each with a place of its own",
            ),
            Self::CountedJoined { run } => notice(
                Error,
                "counted-joined",
                vec![cell(run, "pattern")],
                "the pattern counted is for runs that stand alone, and this one meets others".to_owned(),
                "fittings counted by eye, or fittings counted from how runs meet: not both",
                "take the pattern off; or take this run's name out of the `joins` of others",
            ),
            Self::Root { run } => notice(
                Warning,
                "begins-at-nothing",
                vec![cell(run, "joins")],
                "the run joins nothing; what it begins at is taken to be there on site".to_owned(),
                "what feeds the run",
                "type main in `joins`, or a run, or a place that `places` or a `to` names",
            ),
            Self::OtherService { run, parent, service, parent_service } => notice(
                Warning,
                "other-service",
                vec![cell(run, "service"), cell(parent, "service")],
                format!("a {service} run ties into a {parent_service} run"),
                "one service along a branch; a place changes it; a return begins on hot and ties into hot or into the cold run to a heater",
                "check the service of both rows",
            ),
            Self::LaterTap { run, parent, parent_name } => notice(
                Warning,
                "later-tap",
                vec![cell(run, "phase"), cell(parent, "run")],
                format!("the run ties into {parent_name} in a later phase, between its ends"),
                "a tee that is set when the parent is",
                "set the tee and a short capped stub with the parent, and join the stub",
            ),
            Self::BullElsewhere { run } => notice(
                Warning,
                "bull-elsewhere",
                vec![cell(run, "tee")],
                "`tee` says bull, and no two runs leave the end of a run here: it changes nothing".to_owned(),
                "bull on one of two runs that join the same end",
                "empty the cell, or let both runs join the end of their parent",
            ),
            Self::NoDrainSystem { run } => notice(
                Error,
                "no-system",
                vec![cell(run, "service")],
                "the job names no drain system, and the run has none of its own".to_owned(),
                "the system that drains and vents are built in",
                "name one in `system`, or as \"drain system\" in the table job",
            ),
            Self::UnknownSize { run, heading, size, system, known } => notice(
                Error,
                "unknown-size",
                vec![cell(run, heading)],
                format!("{system} has no size {size}"),
                &format!("one of {known}"),
                "type one of them, or add a row to sizes",
            ),
            Self::TailNotSmaller { run, size, reduce_to } => notice(
                Error,
                "tail-not-smaller",
                vec![cell(run, "reduce to"), cell(run, "size")],
                format!("the run is {size}, and `reduce to` is {reduce_to}, which is no smaller"),
                "a smaller size than the run's, in every system that is compared",
                "type the size of the tail, or empty `reduce to` and `tail`",
            ),
            Self::LargerChild { run, parent, size, parent_size } => notice(
                Warning,
                "larger-than-its-parent",
                vec![cell(run, "size"), cell(parent, "size")],
                format!("a {size} run ties into {parent_size}"),
                "a size no larger than what feeds it",
                "check both sizes",
            ),
            Self::MovedTap { run, parent } => notice(
                Warning,
                "moved-tap",
                vec![cell(run, "at"), cell(parent, "run")],
                "another tee stands at this point; this one was moved on to the next free one".to_owned(),
                "a point of its own for each tee",
                "measure where each tee stands and type it in `at`",
            ),
            Self::CloseTap { run, parent, least } => notice(
                Warning,
                "close-tap",
                vec![cell(run, "at"), cell(parent, "run")],
                format!(
                    "the tee stands nearer than {} to another or to an end of its run",
                    shown(least, job)
                ),
                "room for a piece of tube between two fittings (`least piece` in the table systems)",
                "measure again; the tee is counted where it is",
            ),
            Self::NoFreePoint { run, heading, what } => notice(
                Error,
                "no-free-point",
                vec![cell(run, heading)],
                format!("no room is left on the run for {what}"),
                "a run long enough for what stands on it",
                "lengthen the run, or take something off it",
            ),
            Self::TooShortForTransition { run, parent, least } => notice(
                Error,
                "too-short-for-transition",
                vec![cell(run, "length"), cell(parent, "system")],
                format!(
                    "the run changes system where it leaves its parent: {} of the parent's tube come first",
                    shown(least, job)
                ),
                "a run longer than that",
                "correct the length, or let the run have its parent's system",
            ),
            Self::WhereOutside { run, rule, length } => notice(
                Error,
                "where-outside",
                vec![cell(run, "length"), cell(rule, "where")],
                format!("the run is {} long, and its pattern puts a part beyond that", shown(length, job)),
                "a distance inside the run",
                "correct the length, or change `where` in the pattern; the part is left out until then",
            ),
            Self::NoJointPart { run, rule } => notice(
                Error,
                "part-on-no-joint",
                vec![cell(run, "no joint"), cell(rule, "part")],
                "the run may have no joint, and its pattern puts a part with joints in it".to_owned(),
                "nothing between the ends of a run without joints",
                "empty `no joint`, or take the pattern off the run",
            ),
            Self::MetEndPart { run, rule, end } => notice(
                Warning,
                "part-on-met-end",
                vec![cell(run, "pattern"), cell(rule, "part")],
                format!(
                    "a run meets the {end} of this run; the part that the pattern puts there is left out"
                ),
                "a part only on an end that no run meets",
                "give the part to the run that ends there, or put it in line with `where`",
            ),
            Self::NothingToFill { run, rule, part } => notice(
                Warning,
                "nothing-to-fill",
                vec![cell(run, "pattern"), cell(rule, "part")],
                format!("the end is shut before {part} comes: it is counted and joins nothing"),
                "the parts of an end in the order in which they are built, from the tube outward",
                "move its row up in the pattern, or take it out",
            ),
            Self::UnknownPart { run, rule, part, system } => notice(
                Error,
                "part-not-in-system",
                own_first(job, cell(run, "pattern"), rule, "part"),
                format!("{system} has no {part} in the table parts; {system} is incomplete and never ranked"),
                "a part for every system that the pattern is used in",
                "add a row to parts, or say in the pattern's `system` which systems the row is for",
            ),
            Self::NoEquivalent { run, what, system } => notice(
                Error,
                "no-equivalent",
                vec![whole(run)],
                format!("{system} has no {what} in the table parts; {system} is incomplete and never ranked"),
                "a part for every fitting that the runs ask for",
                "add a row to parts, with the system in `system` and what it is for in `used as`",
            ),
            Self::NoSizeToMeet { run, parent, parent_name, size, system } => notice(
                Error,
                "no-size-to-meet",
                vec![cell(run, "size"), cell(parent, "system")],
                format!("{parent_name} is {system}, which has no size {size}: no fitting joins the two runs"),
                "a size that both systems have where runs meet",
                "give the run another size, join it elsewhere, or add the size to the table sizes",
            ),
            Self::BrokenRule { rule, run } => notice(
                Error,
                "rule-left-out",
                vec![whole(rule), cell(run, "pattern")],
                "this row of the pattern is in error: its part is left out and the estimate incomplete"
                    .to_owned(),
                "a row without errors",
                "mend the cells of it that the other notices name",
            ),
            Self::StartWithoutPlace { run, rule } => notice(
                Error,
                "start-without-place",
                own_first(job, cell(run, "joins"), rule, "where"),
                "the pattern puts a part at the place where the run begins, and it begins at no place"
                    .to_owned(),
                "a place in `joins`",
                "name the place in `joins` (say in `fixture` what it is), or use another pattern",
            ),
            Self::DifferentSizes { run, other, place, part } => notice(
                Error,
                "different-sizes-at-place",
                vec![cell(run, "size"), cell(other, "size")],
                format!("two runs bring {part} in different sizes to \"{place}\""),
                "one size of one part at one place",
                "name the size in the pattern, or make both runs one size",
            ),
            Self::PlaceNeedsSize { rule, place } => notice(
                Error,
                "place-needs-size",
                vec![whole(place), cell(rule, "size")],
                "no run meets the place, so nothing says the size of the part that stands there".to_owned(),
                "a run that meets the place, or a size in the pattern's row",
                "let a run name the place in `to` or `joins`, or empty the place's `pattern`",
            ),
            Self::NoPortLeft { run, place, service } => notice(
                Warning,
                "no-port-left",
                vec![whole(run)],
                format!(
                    "what stands at \"{place}\" has no opening left for this {service} run: its end is capped"
                ),
                "an opening for each run that meets the place",
                "check the run's service, or choose a part with one opening more",
            ),
            Self::BareMetTwice { run, other, place, service } => notice(
                Warning,
                "bare-place-met-twice",
                vec![whole(run), whole(other)],
                format!(
                    "two {service} runs meet \"{place}\" the same way, and nothing says what joins them there"
                ),
                "one run in and one run out, of each service",
                &format!("let one run join the other, or give \"{place}\" a pattern in the table places"),
            ),
            Self::UnfilledPort { spot, rule, place, part, port } => notice(
                Warning,
                "unfilled-port",
                vec![whole(spot), cell(rule, "part")],
                format!("no run fills the {port} opening of the {part} at \"{place}\""),
                "a run for each opening",
                &format!(
                    "add the {port} run that ends at \"{place}\", or choose a part without that opening"
                ),
            ),
            Self::ManifoldTooSmall { run, rule, place } => notice(
                Error,
                "manifold-too-small",
                vec![whole(run), cell(rule, "part")],
                format!("the largest manifold of its name has no opening for this run at \"{place}\""),
                "a manifold with an opening for each run",
                "add a larger one to parts, or let the run join another manifold",
            ),
            Self::NothingConsumed { run, joint, size } => notice(
                Warning,
                "nothing-consumed",
                vec![whole(run)],
                format!(
                    "the table joints says nothing of a {joint} joint of {size}; its rings or solder are not counted"
                ),
                "a row for each joint and size",
                "add the row to joints",
            ),
            Self::NoSupportRule { run, tube, size } => notice(
                Warning,
                "no-support-rule",
                vec![cell(run, "size")],
                format!("the table supports says nothing of {size} {tube}; its supports are not counted"),
                "a row for each tube and size",
                "add the row to supports",
            ),
            Self::TooMany { run } => notice(
                Error,
                "too-many",
                vec![whole(run)],
                "this run asks for more of something than can be counted".to_owned(),
                "the lengths and numbers of a house",
                "look for a digit too many in length, turns, count and the count columns",
            ),
        }
    }
}

/// The user's cell first, and the pattern's; the pattern's first where it is the user's own, since it is mended there.
fn own_first(job: &Job, own: Spot, rule: RowAt, heading: &str) -> Vec<Spot> {
    let of_rule = job.sources.cell(rule, heading);
    match job.sources.get(rule.source).is_some_and(|source| source.built_in) {
        true => vec![own, of_rule],
        false => vec![of_rule, own],
    }
}
