//! Cells of the run list that only it has: paths, distances along another run that may name a leg, how a drain ties in, its
//! fall. How each is written is told here; what they say against each other is told in `check`.

use super::path::{self, Leg, Path, Unread};
use super::slope::Slope;
use super::{Meeting, Service};
use crate::ground::Length;
use crate::ground::notice::{Finding, findings};
use crate::table::Got;
use crate::trade::reading::Row;

/// The legs of a path.
pub(super) fn path(row: &mut Row<'_, '_>, at: usize) -> Option<Path> {
    let (text, bare) = row.measured(at).value()?;
    Path::read(&text, bare).map_err(|why| row.trouble(at, unread(&why))).ok()
}

/// A distance along another run, where it is measured from its beginning.
pub(super) fn distance(row: &mut Row<'_, '_>, at: usize) -> Option<Length> {
    if path::begins_with_a_word(row.text(at)) {
        return None;
    }
    row.length(at).value()
}

/// The same where it is measured into a leg.
pub(super) fn leg(row: &mut Row<'_, '_>, at: usize) -> Option<Leg> {
    if !path::begins_with_a_word(row.text(at)) {
        return None;
    }
    let Got::Value((text, bare)) = row.measured(at) else { return None };
    path::read_leg(&text, bare).map_err(|why| row.trouble(at, unread_place(&why))).ok()
}

/// How a run ties in: a run of water says bull or nothing.
pub(super) fn meeting(row: &mut Row<'_, '_>, at: usize, service: Service) -> Option<Meeting> {
    if service.is_water() {
        return row.one_of(at, &[(Meeting::Bull, "bull")]);
    }
    let word = row.word(at);
    (!word.is_empty()).then_some(Meeting::By(word))
}

/// The fall that a drain or vent names.
pub(super) fn fall(row: &mut Row<'_, '_>, at: usize, service: Service) -> Option<Slope> {
    let text = row.text(at).to_owned();
    if service.is_water() || text.is_empty() {
        return None;
    }
    let slope = Slope::read(&text);
    if slope.is_none() {
        row.trouble(at, unread_slope(&text));
    }
    slope
}

fn unread(why: &Unread) -> Finding {
    match why {
        Unread::Bearing(leg) => leg_without_bearing(leg),
        Unread::Length(leg) => leg_without_length(leg),
        Unread::TooLong => path_too_long(),
    }
}

fn unread_place(why: &Unread) -> Finding {
    match why {
        Unread::Bearing(text) | Unread::Length(text) => place_on_no_leg(text),
        Unread::TooLong => path_too_long(),
    }
}

findings! {
    /// A leg that goes nowhere.
    fn leg_without_bearing(found: &str) = error("unread-path",
        "path has \"{found}\", which begins with no bearing",
        "legs such as E 12.5; up 3; N 2",
        "begin each leg with N, NE, E, SE, S, SW, W, NW, up or down");

    /// A leg of no length.
    fn leg_without_length(found: &str) = error("unread-path",
        "path has \"{found}\", whose length is none above zero",
        "legs such as E 12.5; up 3; N 2",
        "type the length of the leg behind its bearing");

    /// Legs beyond any house.
    fn path_too_long() = error("unread-path",
        "path is longer than 1000 km",
        "the way of one run",
        "correct the lengths of its legs");

    /// A place on another run that is neither a distance nor on a leg.
    fn place_on_no_leg(found: &str) = error("unread-path",
        "the place along the run is \"{found}\"",
        "a distance such as 6.5, or a leg and how far into it: up 1.5",
        "type the distance from the beginning of the run, or a bearing and a length");

    /// A fall that cannot be read.
    fn unread_slope(found: &str) = error("unread-slope",
        "slope is \"{found}\"",
        "a fall such as 1/4 (inches a foot), 1/4 in/ft, 2 % or 20 mm/m",
        "type the fall, or empty the cell for that of the job");
}
