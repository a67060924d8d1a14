//! The notices of the network, a function each: what is wrong or doubtful in how runs meet. Called by whoever of its
//! files finds it.

use crate::ground::name::in_a_row;
use crate::ground::notice::{error, notices, warning};
use crate::ground::{Length, Notice, RowAt};
use crate::trade::{Job, Run};

/// One name for several things.
pub(super) fn same_name(job: &Job, rows: &[RowAt], name: &str) -> Notice {
    error(
        "same-name",
        format!("\"{name}\" names {} things", rows.len()),
        "a name of its own for each run and place",
        "give all but one another name; all rows of the name are left out until then",
    )
    .at(rows.iter().map(|r| job.sources.cell(*r, "run")))
}

/// A name that nothing has.
pub(super) fn unknown_joins(job: &Job, run: RowAt, name: &str, nearest: Vec<&str>) -> Notice {
    error(
        "unknown-name",
        format!("joins names \"{name}\", and no run or place has that name"),
        "a run, a place that a `to` makes, a row of places, main or sewer",
        or_nearest(&nearest, "say in `fixture` what the place is"),
    )
    .at([job.sources.cell(run, "joins")])
}

/// Ends of several places that lie beside them, all by one run.
pub(super) fn all_apart(
    job: &Job,
    run: RowAt,
    heading: &str,
    others: impl Iterator<Item = RowAt>,
    name: &str,
    places: &str,
) -> Notice {
    warning(
        "ends-apart",
        format!("by the paths all that hangs on {name} ends beside its places: {places}"),
        ENDS_TOGETHER,
        LOOK_AT_THE_WAY,
    )
    .at([job.sources.cell(run, heading)].into_iter().chain(others.map(|other| job.sources.cell(other, "to"))))
}

/// An end that lies beside another of its place.
#[allow(clippy::too_many_arguments, reason = "what a text names is handed over by its name")]
pub(super) fn ends_apart(
    job: &Job,
    run: RowAt,
    heading: &str,
    other: RowAt,
    name: &str,
    of_other: &str,
    place: &str,
    gap: &str,
) -> Notice {
    warning(
        "ends-apart",
        format!("by the paths {name} and {of_other} end {gap}, and both end at {place}"),
        ENDS_TOGETHER,
        LOOK_AT_THE_WAY,
    )
    .at([job.sources.cell(run, heading), job.sources.cell(other, "to")])
}

/// What is expected of ends of one place.
const ENDS_TOGETHER: &str = "ends of one place within 3 ft across (the item closing of the job) and 6 ft in height, drains laid over water";
/// What to do about ends that lie apart.
const LOOK_AT_THE_WAY: &str =
    "look at the drawing: a bearing, a length, or where the run joins is wrong; the count does not change";

/// A distance beyond the run that is joined.
pub(super) fn at_outside(
    job: &Job,
    run: RowAt,
    parent: RowAt,
    at: Length,
    parent_name: &str,
    length: Length,
    heading: &str,
) -> Notice {
    error(
        "at-outside",
        format!(
            "`{heading}` is {}, and {parent_name} is {} long",
            at.as_typed(job.settings.units),
            length.as_typed(job.settings.units)
        ),
        "a distance from the beginning of the run that is joined, up to its length",
        "measure again, correct the length of that run, or empty the cell for its end",
    )
    .at([job.sources.cell(run, heading), job.sources.cell(parent, "length")])
}

/// Runs that join each other in a ring.
pub(super) fn cycle(job: &Job, run: RowAt, others: Vec<RowAt>, names: String, heading: &str) -> Notice {
    error(
        "cycle",
        format!("these runs join each other in a ring: {names}"),
        "a way back to the main from every run",
        "let one of them join what feeds it; a recirculation is a `return`",
    )
    .at(std::iter::once(job.sources.cell(run, heading))
        .chain(others.iter().map(|r| job.sources.cell(*r, "joins"))))
}

/// Two runs at the end of a drain or vent, none of which goes straight on.
pub(super) fn none_goes_on(job: &Job, runs: Vec<RowAt>, parent: RowAt, parent_name: &str) -> Notice {
    error(
        "none-goes-on",
        format!("{} runs join the end of {parent_name}, and none goes straight on", runs.len()),
        "one that goes on as the run ends, level in its bearing or upright; the other ties in",
        "give one of them an `at` a little before the end; all are left out until then",
    )
    .at(runs.iter().map(|run| job.sources.cell(*run, "joins")).chain([job.sources.cell(parent, "run")]))
}

/// More runs at one end than a tee has openings.
pub(super) fn three_at_one_end(job: &Job, runs: &[&Run], parent: &Run) -> Notice {
    let names = in_a_row(runs.iter().map(|run| &*run.name));
    error(
        "three-at-one-end",
        format!("{} runs join the end of {}: {names}", runs.len(), parent.name),
        "at most two at one end: a tee has no more openings",
        "give all but two of them an `at` a little before the end; all are left out until then",
    )
    .at(runs
        .iter()
        .map(|run| job.sources.cell(run.row, "joins"))
        .chain([job.sources.cell(parent.row, "run")]))
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

notices! {
    /// A run with the name of what is always there.
    pub(super) fn named_main(job, run: RowAt, name: &str) at [cell(run, "run")] = error("run-named-main",
        "a run is called \"{name}\", and that names what is always there",
        "a name of its own",
        "give the run another name");

    /// A run that ends at a run and is no return.
    pub(super) fn to_names_run(job, run: RowAt, name: &str, if_a_vent: &str) at [cell(run, "to")] = error("to-names-run",
        "to names the run \"{name}\"",
        "a place; only a return may end at a run, and a vent at a vent",
        "{if_a_vent}put the run in `joins` of the other row, or name a place");

    /// A drain that ties into a vent, or a vent that ends at a drain.
    pub(super) fn drain_into_vent(job, run: RowAt, parent: RowAt, service: &str, parent_service: &str)
        at [cell(run, "service"), cell(parent, "service")] = error("drain-into-vent",
        "a {service} ties into a {parent_service}",
        "drains that empty into drains; vents that begin on drains or vents and end at vents",
        "what drains above a fixture is a drain however it is called: say drain for the part below it");

    /// Water that ties into a drain, or the other way.
    pub(super) fn water_and_drain(job, run: RowAt, parent: RowAt, service: &str, parent_service: &str)
        at [cell(run, "service"), cell(parent, "service")] = error("water-and-drain",
        "a {service} run ties into a {parent_service} run",
        "water and drains that meet only at places, over an air gap",
        "let the run end at a receptor, a floor drain or another place, or correct its service");

    /// A drain that meets its parent against the stream.
    pub(super) fn against_the_stream(job, run: RowAt, parent: RowAt, parent_name: &str, angle: &str)
        at [cell(run, "joins"), cell(parent, "run")] = error("against-the-stream",
        "the run leaves {parent_name} at {angle} degrees, measured up the stream: it would flow against it",
        "45 or 90 degrees between the two, both up the stream",
        "check the bearings of both paths: they begin at the sewer");

    /// A run that leaves its parent in its own bearing.
    pub(super) fn along_its_parent(job, run: RowAt, parent: RowAt, parent_name: &str)
        at [cell(run, "joins"), cell(parent, "run")] = error("along-its-parent",
        "the run leaves {parent_name} in the very bearing that {parent_name} has there",
        "45 or 90 degrees between the two",
        "check the bearings of both paths, or where the run joins");

    /// Two ways to one point that part.
    pub(super) fn does_not_close(job, run: RowAt, heading: &str, other: RowAt, of_other: &str, name: &str, across: &str, up: &str)
        at [cell(run, heading), cell(other, of_other)] = warning("does-not-close",
        "by the paths this run ends {across} across and {up} in height from {name}",
        "two ways to one point that end near each other: within 3 ft across (the item closing of the job) and 1 ft in height",
        "look at it in the drawing, and correct the bearing or the length that is wrong; the count does not change");

    /// A vent that leads nowhere.
    pub(super) fn vent_ends_nowhere(job, run: RowAt) at [cell(run, "to")] = warning("vent-ends-nowhere",
        "the vent ends nowhere: it is capped and airs nothing",
        "roof, another vent, or a place in `to`",
        "type roof in `to`, or the vent that it ties into");

    /// A drain that begins at a place that is no sewer.
    pub(super) fn no_sewer(job, run: RowAt, place: &str) at [cell(run, "joins")] = warning("no-sewer",
        "the drain empties into \"{place}\", and nothing says where that leads",
        "a way to the sewer from every drain",
        "type sewer or septic in `joins`, or the drain that it empties into; leave it where a pump or a pit is meant");

    /// A fixture on a drain that no table has.
    pub(super) fn no_drain_units(job, run: RowAt, fixture: &str, family: &str)
        at [cell(run, "fixture")] = warning("no-drain-units",
        "the table drain units has no row of {family} for the fixture {fixture}: what it sends into the drains is not known",
        "a fixture of that table",
        "type a fixture that it has, or add a row");

    /// A distance along what is no run.
    pub(super) fn at_on_place(job, run: RowAt, place: &str)
        at [cell(run, "at"), cell(run, "joins")] = error("at-on-place",
        "`at` is a distance along a run, and the run joins \"{place}\", a place",
        "an empty `at` where a place is joined",
        "empty the cell, or join a run");

    /// A distance along nothing that `to` names.
    pub(super) fn to_at_without_run(job, run: RowAt)
        at [cell(run, "to at"), cell(run, "to")] = error("to-at-without-run",
        "`to at` is filled, and `to` names no run",
        "a run in `to`, on a return or a vent",
        "empty the cell, or name the run that it ties into");

    /// A run that joins the end of one that ends at a place.
    pub(super) fn child_of_a_place_end(job, run: RowAt, parent: RowAt, parent_name: &str, place: &str)
        at [cell(run, "joins"), cell(parent, "to")] = error("joins-an-end-at-a-place",
        "{parent_name} ends at \"{place}\", so nothing joins its end",
        "the place, or the run at a distance",
        "type \"{place}\" in joins, or give an `at`");

    /// A return that ties into the end of a run at a place.
    pub(super) fn to_a_place_end(job, run: RowAt, parent: RowAt, parent_name: &str, place: &str)
        at [cell(run, "to"), cell(parent, "to")] = error("to-ends-at-a-place",
        "{parent_name} ends at \"{place}\", so no return ties into its end",
        "how far along the run the return ties in",
        "type the distance in `to at`");

    /// A run that joins the end of a return.
    pub(super) fn joins_a_returns_end(job, run: RowAt, parent: RowAt, parent_name: &str)
        at [cell(run, "joins"), cell(parent, "to")] = error("joins-a-returns-end",
        "{parent_name} is a return that ends at a run, so nothing joins its end",
        "the run it ends at, or the return at a distance",
        "join that run, or give an `at`");

    /// A tee on a run that may have no joint.
    pub(super) fn tap_on_no_joint(job, run: RowAt, parent: RowAt, parent_name: &str)
        at [cell(run, "joins"), cell(parent, "no joint")] = error("tap-on-no-joint",
        "{parent_name} may have no joint, and this run ties into it",
        "nothing between the ends of a run without joints",
        "tie in at its end, or allow a joint");

    /// A run counted more than once that meets others.
    pub(super) fn count_joined(job, run: RowAt, count: u32) at [cell(run, "count")] = error("count-joined",
        "count is {count} on a run that joins another or is joined",
        "a count above 1 only on a run that stands alone or ends at a place of its own",
        "write the runs out, one row each");

    /// A run counted not at all that others join.
    pub(super) fn count_zero_joined(job, run: RowAt) at [cell(run, "count")] = error("count-zero-joined",
        "count is 0 on a run that does not stand alone",
        "at least 1",
        "empty the cell, or take the row out");

    /// A run counted not at all.
    pub(super) fn count_zero(job, run: RowAt) at [cell(run, "count")] = warning("count-zero",
        "count is 0: the run adds nothing",
        "how many such runs there are",
        "type a number, or take the row out");

    /// A place of a run counted more than once that another run meets.
    pub(super) fn counted_place_met(job, run: RowAt, other: RowAt, place: &str)
        at [cell(run, "count"), row(other)] = error("counted-place-met",
        "the run is counted more than once, and another run meets \"{place}\"",
        "a place that no other run meets: it stands for as many places",
        "write the runs out, one row each, each with a place of its own");

    /// A run counted by eye that meets others.
    pub(super) fn counted_joined(job, run: RowAt) at [cell(run, "pattern")] = error("counted-joined",
        "the pattern counted is for runs that stand alone, and this one meets others",
        "fittings counted by eye, or fittings counted from how runs meet: not both",
        "take the pattern off; or take this run's name out of the `joins` of others");

    /// A run on one of another service.
    pub(super) fn other_service(job, run: RowAt, parent: RowAt, service: &str, parent_service: &str)
        at [cell(run, "service"), cell(parent, "service")] = warning("other-service",
        "a {service} run ties into a {parent_service} run",
        "one service along a branch; a place changes it; a return begins on hot and ties into hot or into the cold run to a heater",
        "check the service of both rows");

    /// A tee on a run that stands before it is set.
    pub(super) fn later_tap(job, run: RowAt, parent: RowAt, parent_name: &str)
        at [cell(run, "phase"), cell(parent, "run")] = warning("later-tap",
        "the run ties into {parent_name} in a later phase, between its ends",
        "a tee that is set when the parent is",
        "set the tee and a short capped stub with the parent, and join the stub");

    /// A bull-head where no two runs leave one end.
    pub(super) fn bull_elsewhere(job, run: RowAt) at [cell(run, "tee")] = warning("bull-elsewhere",
        "`tee` says bull, and no two runs leave the end of a run here: it changes nothing",
        "bull on one of two runs that join the same end",
        "empty the cell, or let both runs join the end of their parent");
}
