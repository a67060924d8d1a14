//! What a row of the run list says against itself, cell against cell. What other tables must know is for the check of all
//! tables together.

use super::columns::Column;
use super::course::Course;
use super::path::{Angle, Attitude, Bearing};
use super::{Run, Service};
use crate::ground::notice::{Finding, findings};
use crate::ground::{Length, LengthUnit};
use crate::trade::lexicon::Word;
use crate::trade::reading::Row;

/// Takes down what is wrong with a cell of the row.
pub(super) type Tell<'a> = &'a mut dyn FnMut(Column, Finding);

/// Lengths that a person measured twice may part by so much.
const HALF_AN_INCH: Length = Length::from_nanometres(LengthUnit::Inch.nanometres() / 2);

/// Rule D1 of drains: length, rise and turns follow from the path; what the row says beside it must agree.
pub(super) fn path(run: &mut Run, tell: Tell<'_>) {
    let Some(path) = run.path.clone() else { return };
    let parts = |one: Length, other: Length| {
        one.checked_sub(other).is_none_or(|difference| difference.abs() > HALF_AN_INCH)
    };
    // A length that cannot be read was told where it was read.
    if run.length > Length::ZERO && parts(run.length, path.length()) {
        tell(Column::length, off_the_path("length", run.length, path.length()));
    }
    if run.rise_is_written && parts(run.rise, path.rise()) {
        tell(Column::rise, off_the_path("rise", run.rise, path.rise()));
    }
    let places =
        |angle: Angle| path.changes().filter(move |change| change.angle() == angle).map(|change| change.at);
    let turns: Box<[Length]> = places(Angle::Quarter).collect();
    let count = u32::try_from(turns.len()).unwrap_or(u32::MAX);
    if let Some(written) = run.turns.filter(|written| *written != count) {
        tell(Column::turns, turns_off_the_path(written, count));
    }
    let mut written = run.turns_at.to_vec();
    written.sort_unstable();
    let is_off =
        written.len() != turns.len() || written.iter().zip(&turns).any(|(one, other)| parts(*one, *other));
    if !written.is_empty() && is_off {
        tell(Column::turns_at, turn_places_off_the_path());
    }
    for change in path.changes().filter(|change| matches!(change.angle(), Angle::Against | Angle::Back)) {
        tell(Column::path, turned_back(change.from.word(), change.to.word(), change.angle().word()));
    }
    (run.length, run.rise) = (path.length(), path.rise());
    run.eighths = places(Angle::Eighth).collect();
    if count > 0 {
        (run.turns, run.turns_at) = (Some(count), turns);
    }
}

/// Rules D1 and D4 of drains: a drain or a vent lies level or upright, and goes up the stream.
fn check_course(run: &Run, bare: LengthUnit, tell: Tell<'_>) {
    if run.service.is_water() || run.length <= Length::ZERO || run.path_is_misread() {
        return;
    }
    let is_drain = run.service == Service::Drain;
    match (&run.path, run.course_without_path()) {
        (Some(path), _) if path.legs().iter().any(|leg| leg.bearing == Bearing::Down) => {
            tell(
                Column::path,
                if is_drain { drain_down(&path.turned_about(bare)) } else { vent_down("path") },
            );
        }
        (Some(_), _) => {}
        (None, None) => tell(Column::rise, neither_level_nor_upright(run.rise, run.length)),
        (None, Some(Course { bearing: Some(Bearing::Down), .. })) => {
            tell(Column::rise, if is_drain { drain_falls(run.rise) } else { vent_down("rise") });
        }
        (None, Some(course))
            if course.attitude == Attitude::Upright && run.turns.is_some_and(|turns| turns > 0) =>
        {
            tell(Column::turns, turns_of_upright(run.turns.unwrap_or(0)));
        }
        (None, Some(_)) => {}
    }
}

/// What a row says against itself of how it goes and where it meets others.
pub(super) fn own(run: &Run, bare: LengthUnit, tell: Tell<'_>) {
    check_meeting(run, tell);
    check_course(run, bare, tell);
    if run.length > Length::ZERO && run.rise.abs() > run.length {
        tell(Column::rise, rise_above_length(run.rise, run.length));
    }
}

/// What a row says against itself.
pub(super) fn row(row: &mut Row<'_, '_>, run: &Run, counted: Word) {
    let bare = row.bare;
    let tell: Tell<'_> = &mut |column, finding| row.trouble(column, finding);
    own(run, bare, tell);
    let counted = run.patterns.contains(&counted);
    check_tail(row, run, counted);
    if !run.path_is_misread() {
        check_turns(row, run);
    }
    if counted && run.turns.is_some() {
        row.trouble(Column::turns, counted_run_with("turns"));
    }
    if counted && run.joins.is_some() {
        row.trouble(Column::joins, counted_run_with("joins"));
    }
}

/// Turns by their number and by their places.
fn check_turns(row: &mut Row<'_, '_>, run: &Run) {
    let known = run.length > Length::ZERO;
    let turns = run.turns.unwrap_or(0);
    if run.turns_with_elbow > turns {
        row.trouble(Column::turns_with_elbow, elbows_above_turns(run.turns_with_elbow, turns));
    } else if run.no_joint && run.turns_with_elbow > 0 {
        row.trouble(Column::turns_with_elbow, elbow_on_no_joint(run.turns_with_elbow));
    }
    let given = run.turns_at.len();
    if given > 0 && u32::try_from(given) != Ok(turns) {
        row.trouble(Column::turns_at, turns_at_count(given, turns));
    }
    // Sorted, so that notices do not depend on the order written.
    let mut stands: Vec<Length> = run.turns_at.to_vec();
    stands.sort_unstable();
    for at in stands.iter().filter(|at| known && (**at <= Length::ZERO || **at >= run.length)) {
        row.trouble(Column::turns_at, not_inside_run(*at, run.length));
    }
    for pair in stands.windows(2).filter(|pair| pair[0] == pair[1]) {
        row.trouble(Column::turns_at, turn_twice(pair[0]));
    }
}

/// Distances along other runs, and counts of runs that meet others.
fn check_meeting(run: &Run, tell: Tell<'_>) {
    let asked = [
        (Column::at, "at", run.at, run.at_leg, "joins", &run.joins),
        (Column::to_at, "to at", run.to_at, run.to_at_leg, "to", &run.to),
    ];
    for (column, heading, at, leg, needed, parent) in asked {
        if parent.is_none() && (at.is_some() || leg.is_some()) {
            tell(column, distance_without_run(heading, needed));
        } else if let Some(at) = at.filter(|at| *at <= Length::ZERO) {
            tell(column, not_ahead(heading, at));
        }
    }
    let has_to_at = run.to_at.is_some() || run.to_at_leg.is_some();
    if has_to_at && run.to.is_some() && !matches!(run.service, Service::Return | Service::Vent) {
        tell(Column::to_at, to_at_of_no_return(if_a_vent_is_meant(run.service)));
    }
    let count = run.copies();
    let met = [("joins", &run.joins), ("to", &run.to)].into_iter().find(|(_, parent)| parent.is_some());
    if let Some((heading, _)) = met.filter(|_| count == 0) {
        tell(Column::count, joined_run_of_none(heading));
    } else if count > 1 && run.joins.is_some() {
        tell(Column::count, joined_runs(count));
    }
}

/// A drain that ends at a run is often a vent by another word: what a remedy says of that before all else.
pub(crate) fn if_a_vent_is_meant(service: Service) -> &'static str {
    match service {
        Service::Drain => "type vent in service if a vent is meant; else ",
        Service::Cold | Service::Hot | Service::Mixed | Service::Return | Service::Vent => "",
    }
}

/// `reduce to` and `tail` are both there or neither; a counted run names its reducers by `reduce to` alone.
fn check_tail(row: &mut Row<'_, '_>, run: &Run, counted: bool) {
    let sized = !row.text(Column::reduce_to).is_empty();
    let long = !row.text(Column::tail).is_empty();
    if counted {
        if long {
            row.trouble(Column::tail, counted_run_with("tail"));
        }
    } else if sized && !long {
        row.trouble(Column::reduce_to, half_a_tail("reduce to", "tail"));
    } else if long && !sized {
        row.trouble(Column::tail, half_a_tail("tail", "reduce to"));
    }
    if let Some(tail) = run.reduce_to
        && tail == run.size
    {
        let finding = tail_not_smaller(row.lexicon.text(tail), row.lexicon.text(run.size));
        row.trouble(Column::reduce_to, finding);
    }
}

findings! {
    /// A length or rise that parts from the path.
    fn off_the_path(heading: &str, found: Length, path: Length) = error("off-the-path",
        "{heading} is {found}, and the legs of the path make {path}",
        "the same within half an inch, or {heading} left empty",
        "correct the leg that is wrong, or empty {heading}: it follows from the path");

    /// Another number of turns than the path has.
    fn turns_off_the_path(found: u32, path: u32) = error("off-the-path",
        "turns is {found}, and the path turns 90 degrees {path} times",
        "the same, or turns left empty",
        "correct the path, or empty turns: they follow from it");

    /// Turns at other places than those of the path.
    fn turn_places_off_the_path() = error("off-the-path",
        "turns at gives other places than the path",
        "the same within half an inch, or turns at left empty",
        "empty turns at: they follow from the path");

    /// A leg that goes back where the one before came from.
    fn turned_back(from: &str, to: &str, angle: &str) = error("turned-back",
        "path goes {from} and then {to}: a turn of {angle} degrees",
        "turns of 45 or 90 degrees from leg to leg",
        "correct the bearing, or write the legs between");

    /// A drain that goes down up the stream.
    fn drain_down(about: &str) = error("drain-goes-down",
        "path has a leg down, and a drain is measured up the stream: water would stand in it",
        "legs that are level or go up, from the sewer on",
        "if it was measured down the stream, turn it about: {about}");

    /// The same by its rise.
    fn drain_falls(found: Length) = error("drain-goes-down",
        "rise is {found}, and a drain is measured up the stream: water would stand in it",
        "a rise of zero or above, from the sewer on",
        "take the minus away if it was measured down the stream");

    /// A vent that goes down.
    fn vent_down(heading: &str) = warning("vent-goes-down",
        "{heading} goes down on a vent: water that gets in would stand there",
        "a vent that rises all its way to the open air",
        "lead it level or up, or leave it where it must go so");

    /// A drain or vent that lies neither level nor upright.
    fn neither_level_nor_upright(rise: Length, length: Length) = error("level-or-upright",
        "rise is {rise} on a drain or vent of {length}",
        "0 for a level one, or its whole length for an upright one",
        "write a path, or the level and the upright part as two runs");

    /// Turns of an upright run.
    fn turns_of_upright(found: u32) = error("turns-of-upright",
        "turns is {found} on an upright drain or vent, and nobody knows where it goes then",
        "no turns on an upright run without a path",
        "write a path");

    /// A distance that is not inside its run.
    fn not_inside_run(found: Length, length: Length) = error("not-inside-run",
        "turns at is {found} on a run of {length}",
        "a distance above 0 ft and below {length}",
        "measure from the beginning of the run");

    /// A distance along another run that is not above zero.
    fn not_ahead(heading: &str, found: Length) = error("not-above-zero",
        "{heading} is {found}",
        "a distance above zero along the parent",
        "measure {heading} from the beginning of the run that is joined, or leave it empty for its end");

    /// A distance without what it is measured along.
    fn distance_without_run(heading: &str, needed: &str) = error("distance-without-run",
        "{heading} is given without {needed}",
        "{needed}, or no {heading}",
        "type in {needed} what {heading} is measured along, or empty {heading}");

    /// A tail without its size, or a size without its tail.
    fn half_a_tail(written: &str, missing: &str) = error("half-a-tail",
        "{written} is given without {missing}",
        "both reduce to and tail, or neither",
        "type {missing}, or empty {written}");

    /// A tail that is not smaller than its run.
    pub(crate) fn tail_not_smaller(tail: &str, size: &str) = error("tail-not-smaller",
        "reduce to is {tail} on a run of {size}",
        "a size smaller than {size}",
        "type the smaller size of the tail, or empty reduce to and tail");

    /// More turns with an elbow than turns.
    fn elbows_above_turns(elbows: u32, turns: u32) = error("elbows-above-turns",
        "turns with elbow is {elbows} and turns is {turns}",
        "at most as many as turns",
        "type at least {elbows} for turns, or fewer turns with elbow");

    /// A list of turns that is not as long as the turns.
    fn turns_at_count(given: usize, turns: u32) = error("turns-at-count",
        "turns at gives {given} where turns is {turns}",
        "as many distances as turns, parted by semicolons",
        "give every turn its distance, or empty turns at");

    /// Two turns at one point.
    fn turn_twice(found: Length) = warning("turn-twice",
        "turns at gives {found} twice: of two elbows the second takes the next free point",
        "one distance for each turn",
        "move one of the two turns, or leave it where tube bends");

    /// A `counted` run with a cell that the counting by eye replaces.
    fn counted_run_with(heading: &str) = error("counted-run-with",
        "{heading} is given on a run of the pattern counted",
        "no {heading}: what cuts the run is counted by eye",
        "empty {heading}, or take counted out of pattern");

    /// An elbow on a run that must be one length.
    fn elbow_on_no_joint(elbows: u32) = error("elbow-on-no-joint",
        "turns with elbow is {elbows} on a run without a joint",
        "no elbow on a run marked no joint",
        "empty turns with elbow, or no joint");

    /// `to at` on a run that is no return.
    fn to_at_of_no_return(if_a_vent: &str) = error("to-at-of-no-return",
        "to at is given on a run that is no return and no vent",
        "to at only on a return or a vent, which may end along a run",
        "{if_a_vent}empty to at");

    /// More rise than length.
    fn rise_above_length(rise: Length, length: Length) = error("rise-above-length",
        "rise is {rise} on a run of {length}",
        "no more rise than length, since rise is part of it",
        "add the rise to the length, or correct it");

    /// A run that is not there at all, which joins or ends somewhere.
    fn joined_run_of_none(heading: &str) = error("count-of-joined-run",
        "count is 0 on a run with {heading}",
        "0 only on a run that joins nothing",
        "take the row out, or empty {heading}");

    /// A run counted several times that joins another.
    fn joined_runs(count: u32) = error("count-of-joined-run",
        "count is {count} on a run with joins",
        "1 or nothing on a run that joins another",
        "write each of the runs in a row of its own");
}
