//! The notices of laying, a function each: what is wrong or doubtful in what runs are built of. Called by whoever of its
//! files finds it.

use crate::estimate::{PieceEnd, RunId};
use crate::ground::notice::{error, notices, warning};
use crate::ground::{Length, Notice, RowAt, Spot};
use crate::trade::{Job, Run, Service, SystemId, TakeOut, Word};

/// The kinds of warnings that say that something is not counted: the sums do not hold it, unless the job accepts that.
pub(crate) const UNCOUNTED: [&str; 2] = ["nothing-consumed", "no-support-rule"];

/// A piece of tube of which its fittings leave nothing.
pub(super) fn nothing_left(job: &Job, run: RunId, length: Length, ends: &[PieceEnd; 2]) -> Notice {
    let as_typed = |length: Length| length.as_typed(job.settings.units);
    let rows = ends.iter().filter_map(|end| match end {
        PieceEnd::TakesOut(_, row) => job.catalog.take_outs.get(*row as usize),
        PieceEnd::NotKnown(_) | PieceEnd::NoFitting => None,
    });
    let rows: Vec<&TakeOut> = rows.collect();
    let taken: Vec<String> = rows.iter().map(|row| as_typed(row.take_out)).collect();
    let mut spots = vec![job.sources.cell(job.runs[run.index()].row, "length")];
    for row in rows {
        let spot = job.sources.cell(row.row, "take-out");
        if !spots.contains(&spot) {
            spots.push(spot);
        }
    }
    warning(
        "nothing-left",
        format!(
            "a piece of this run is {} center to center, and its fittings take out {}: nothing is left of it",
            as_typed(length),
            taken.join(" and ")
        ),
        "a piece longer than what the fittings on its ends take out together",
        "measure the run and the take-outs again; the piece is cut center to center until then",
    )
    .at(spots)
}

/// A tee nearer to another fitting than its tube can be cut.
pub(super) fn close_tap(job: &Job, run: RowAt, parent: RowAt, least: Length) -> Notice {
    warning(
        "close-tap",
        format!(
            "the tee stands nearer than {} to another or to an end of its run",
            least.as_typed(job.settings.units)
        ),
        "room for a piece of tube between two fittings (`least piece` in the table systems)",
        "measure again; the tee is counted where it is",
    )
    .at([job.sources.cell(run, "at"), job.sources.cell(parent, "run")])
}

/// A run too short to change system where it begins.
pub(super) fn too_short_for_transition(job: &Job, run: RowAt, parent: RowAt, least: Length) -> Notice {
    error(
        "too-short-for-transition",
        format!(
            "the run changes system where it leaves its parent: {} of the parent's tube come first",
            least.as_typed(job.settings.units)
        ),
        "a run longer than that",
        "correct the length, or let the run have its parent's system",
    )
    .at([job.sources.cell(run, "length"), job.sources.cell(parent, "system")])
}

/// A part placed beyond its run.
pub(super) fn where_outside(job: &Job, run: RowAt, rule: RowAt, length: Length) -> Notice {
    error(
        "where-outside",
        format!(
            "the run is {} long, and its pattern puts a part beyond that",
            length.as_typed(job.settings.units)
        ),
        "a distance inside the run",
        "correct the length, or change `where` in the pattern; the part is left out until then",
    )
    .at([job.sources.cell(run, "length"), job.sources.cell(rule, "where")])
}

/// A part of a pattern that the system has none of.
pub(super) fn unknown_part(job: &Job, run: RowAt, rule: RowAt, part: &str, system: &str) -> Notice {
    error(
        "part-not-in-system",
        format!("{system} has no {part} in the table parts; {system} is incomplete and never ranked"),
        "a part for every system that the pattern is used in",
        "add a row to parts, or say in the pattern's `system` which systems the row is for",
    )
    .at(own_first(job, job.sources.cell(run, "pattern"), rule, "part"))
}

/// A part for the place of a run that begins at none.
pub(super) fn start_without_place(job: &Job, run: RowAt, rule: RowAt) -> Notice {
    error(
        "start-without-place",
        "the pattern puts a part at the place where the run begins, and it begins at no place",
        "a place in `joins`",
        "name the place in `joins` (say in `fixture` what it is), or use another pattern",
    )
    .at(own_first(job, job.sources.cell(run, "joins"), rule, "where"))
}

/// The user's cell first, and the pattern's; the pattern's first where it is the user's own, since it is mended there.
fn own_first(job: &Job, own: Spot, rule: RowAt, heading: &str) -> Vec<Spot> {
    let of_rule = job.sources.cell(rule, heading);
    match job.sources.get(rule.source).is_some_and(|source| source.built_in) {
        true => vec![own, of_rule],
        false => vec![of_rule, own],
    }
}

/// Which table asks.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Asking {
    /// The table `joints`.
    Joints,
    /// The table `supports`.
    Supports,
}

/// A row asks for a part that no row of the table parts makes for the system.
pub(super) fn not_made_for(
    job: &Job,
    asking: Asking,
    (row, part): (RowAt, Word),
    system: SystemId,
) -> Notice {
    let text = |word: Word| job.lexicon.text(word);
    let of = job.catalog.system(system);
    let (name, what) = (text(of.name), text(part));
    let mut made_for: Vec<&str> = Vec::new();
    for id in job.catalog.parts_called(part) {
        for word in &job.catalog.part(*id).systems {
            if !made_for.contains(&text(*word)) {
                made_for.push(text(*word));
            }
        }
    }
    let made = match &*made_for {
        [] => format!("no part is called {what}"),
        list => format!("{what} is made for {}", list.join(", ")),
    };
    let (heading, asks, own) = match asking {
        Asking::Joints => (
            "joint",
            format!("a {} joint of {name} asks for {what}", text(of.joint)),
            "give the system a joint of its own in joints",
        ),
        Asking::Supports => (
            "tube",
            format!("{} tube of {name} hangs on {what}", text(of.tube)),
            "name another part in supports",
        ),
    };
    let (of_system, of_row) = (job.sources.cell(of.row, heading), job.sources.cell(row, "part"));
    let is_built_in = job.sources.get(row.source).is_some_and(|source| source.built_in);
    let spots = if is_built_in { [of_system, of_row] } else { [of_row, of_system] };
    error(
        "part-not-made-for",
        format!("{asks}, and {made}: none is counted; {name} is incomplete and never ranked"),
        format!("a part that is made for {name}"),
        format!("type a row {what} in parts with {name} among its `system`, or {own}"),
    )
    .at(spots)
}

/// Two drains opposite each other at an end, in a system without the fitting for them.
pub(super) fn no_double_tee(job: &Job, runs: Vec<RowAt>, parent: RowAt, name: &str) -> Notice {
    error(
        "three-at-one-end",
        format!(
            "3 runs join the end of {name}, and the table meetings has no fitting for two opposite each other"
        ),
        "at most two at one end, or a row of meetings where `where` is pair",
        "give one of them an `at` a little before the end, or add the row; all are left out until then",
    )
    .at(runs.iter().map(|run| job.sources.cell(*run, "joins")).chain([job.sources.cell(parent, "run")]))
}

/// A run that begins at nothing.
pub(super) fn root(job: &Job, run: &Run) -> Notice {
    let (expected, remedy) = match run.service {
        Service::Cold | Service::Hot | Service::Mixed | Service::Return => {
            ("what feeds the run", "type main in `joins`, or a run, or a place that `places` or a `to` names")
        }
        Service::Drain => (
            "what the drain empties into",
            "type sewer or septic in `joins`, or the drain that it empties into",
        ),
        Service::Vent => {
            ("what the vent airs", "type in `joins` the drain that it airs, or the vent that it goes on from")
        }
    };
    warning(
        "begins-at-nothing",
        "the run joins nothing; what it begins at is taken to be there on site",
        expected,
        remedy,
    )
    .at([job.sources.cell(run.row, "joins")])
}

notices! {
    /// A toilet's flange at a level end.
    pub(super) fn no_closet_bend(job, run: RowAt, rule: RowAt)
        at [cell(run, "pattern"), cell(rule, "part")] = warning("no-closet-bend",
        "the run ends level, and its pattern puts a closet flange there without a closet bend: nothing turns up to the floor",
        "a closet bend under the flange, as the pattern toilet drain has it, or a run that ends upright",
        "type toilet drain in `pattern`, or end the path with the leg up to the floor; leave it where the toilet empties through the wall");

    /// A drain in a job that names no drain system.
    pub(super) fn no_drain_system(job, run: RowAt) at [cell(run, "service")] = error("no-system",
        "the job names no drain system, and the run has none of its own",
        "the system that drains and vents are built in",
        "name one in `system`, or as \"drain system\" in the table job");

    /// A size that the system does not have.
    pub(super) fn unknown_size(job, run: RowAt, heading: &str, size: &str, system: &str, known: String)
        at [cell(run, heading)] = error("unknown-size",
        "{system} has no size {size}",
        "one of {known}",
        "type one of them, or add a row to sizes");

    /// A tail that is no smaller than its run.
    pub(super) fn tail_not_smaller(job, run: RowAt, size: &str, reduce_to: &str)
        at [cell(run, "reduce to"), cell(run, "size")] = error("tail-not-smaller",
        "the run is {size}, and `reduce to` is {reduce_to}, which is no smaller",
        "a smaller size than the run's, in every system that is compared",
        "type the size of the tail, or empty `reduce to` and `tail`");

    /// A run larger than what feeds it.
    pub(super) fn larger_child(job, run: RowAt, parent: RowAt, size: &str, parent_size: &str)
        at [cell(run, "size"), cell(parent, "size")] = warning("larger-than-its-parent",
        "a {size} run ties into {parent_size}",
        "a size no larger than what feeds it",
        "check both sizes");

    /// A drain larger than what it empties into.
    pub(super) fn drain_gets_smaller(job, run: RowAt, parent: RowAt, size: &str, parent_size: &str)
        at [cell(run, "size"), cell(parent, "size")] = error("drain-gets-smaller",
        "a drain of {size} empties into {parent_size}",
        "a drain that never gets smaller on its way to the sewer",
        "check both sizes");

    /// A turn near a tee or an end.
    pub(super) fn close_turn(job, run: RowAt, least: &str) at [row(run)] = warning("close-turn",
        "a turn of the path stands nearer to a tee or an end of the run than the shortest piece, {least}: both stay",
        "turns and tees with room for the fittings",
        "move one of the two, or leave it where the tube bends");

    /// A tee where another stands already.
    pub(super) fn moved_tap(job, run: RowAt, parent: RowAt, name: &str)
        at [cell(run, "at"), cell(parent, "run")] = warning("moved-tap",
        "another tee stands at this point; that of {name} was moved on to the next free one",
        "a point of its own for each tee",
        "measure where each tee stands and type it in `at`");

    /// More on a run than it has room for.
    pub(super) fn no_free_point(job, run: RowAt, heading: &str, what: &str)
        at [cell(run, heading)] = error("no-free-point",
        "no room is left on the run for {what}",
        "a run long enough for what stands on it",
        "lengthen the run, or take something off it");

    /// A part with joints on a run that may have none.
    pub(super) fn no_joint_part(job, run: RowAt, rule: RowAt)
        at [cell(run, "no joint"), cell(rule, "part")] = error("part-on-no-joint",
        "the run may have no joint, and its pattern puts a part with joints in it",
        "nothing between the ends of a run without joints",
        "empty `no joint`, or take the pattern off the run");

    /// A part on an end that a run meets.
    pub(super) fn met_end_part(job, run: RowAt, rule: RowAt, end: &str)
        at [cell(run, "pattern"), cell(rule, "part")] = warning("part-on-met-end",
        "a run meets the {end} of this run; the part that the pattern puts there is left out",
        "a part only on an end that no run meets",
        "give the part to the run that ends there, or put it in line with `where`");

    /// A part on an end that is shut before it comes.
    pub(super) fn nothing_to_fill(job, run: RowAt, rule: RowAt, part: &str)
        at [cell(run, "pattern"), cell(rule, "part")] = warning("nothing-to-fill",
        "the end is shut before {part} comes: it is counted and joins nothing",
        "the parts of an end in the order in which they are built, from the tube outward",
        "move its row up in the pattern, or take it out");

    /// A fitting that the system has none of.
    pub(super) fn no_equivalent(job, run: RowAt, what: &str, system: &str)
        at [row(run)] = error("no-equivalent",
        "{system} has no {what} in the table parts; {system} is incomplete and never ranked",
        "a part for every fitting that the runs ask for",
        "add a row to parts, with the system in `system` and what it is for in `used as`");

    /// Two runs that no fitting joins.
    pub(super) fn no_size_to_meet(job, run: RowAt, parent: RowAt, parent_name: &str, size: &str, system: &str)
        at [cell(run, "size"), cell(parent, "system")] = error("no-size-to-meet",
        "{parent_name} is {system}, which has no size {size}: no fitting joins the two runs",
        "a size that both systems have where runs meet",
        "give the run another size, join it elsewhere, or add the size to the table sizes");

    /// A pattern row in error that a run asks for.
    pub(super) fn broken_rule(job, rule: RowAt, run: RowAt)
        at [row(rule), cell(run, "pattern")] = error("rule-left-out",
        "this row of the pattern is in error: its part is left out and the estimate incomplete",
        "a row without errors",
        "mend the cells of it that the other notices name");

    /// Two runs that bring one part to a place in two sizes.
    pub(super) fn different_sizes(job, run: RowAt, other: RowAt, place: &str, part: &str)
        at [cell(run, "size"), cell(other, "size")] = error("different-sizes-at-place",
        "two runs bring {part} in different sizes to \"{place}\"",
        "one size of one part at one place",
        "name the size in the pattern, or make both runs one size");

    /// A part of a place that nothing gives a size.
    pub(super) fn place_needs_size(job, rule: RowAt, place: RowAt)
        at [row(place), cell(rule, "size")] = error("place-needs-size",
        "no run meets the place, so nothing says the size of the part that stands there",
        "a run that meets the place, or a size in the pattern's row",
        "let a run name the place in `to` or `joins`, or empty the place's `pattern`");

    /// A run at a place whose part has no opening left.
    pub(super) fn no_port_left(job, run: RowAt, place: &str, service: &str)
        at [row(run)] = warning("no-port-left",
        "what stands at \"{place}\" has no opening left for this {service} run: its end is capped",
        "an opening for each run that meets the place",
        "check the run's service, or choose a part with one opening more");

    /// Two runs that meet a bare place the same way.
    pub(super) fn bare_met_twice(job, run: RowAt, other: RowAt, place: &str, service: &str)
        at [row(run), row(other)] = warning("bare-place-met-twice",
        "two {service} runs meet \"{place}\" the same way, and nothing says what joins them there",
        "one run in and one run out, of each service",
        "let one run join the other, or give \"{place}\" a pattern in the table places");

    /// An opening that no run fills.
    pub(super) fn unfilled_port(job, spot: RowAt, rule: RowAt, place: &str, part: &str, port: String)
        at [row(spot), cell(rule, "part")] = warning("unfilled-port",
        "no run fills the {port} opening of the {part} at \"{place}\"",
        "a run for each opening",
        "add the {port} run that ends at \"{place}\", or choose a part without that opening");

    /// A manifold without an opening for a run that begins there.
    pub(super) fn manifold_too_small(job, run: RowAt, rule: RowAt, place: &str, runs: usize, openings: usize)
        at [row(run), cell(rule, "part")] = error("manifold-too-small",
        "{runs} runs begin at \"{place}\", and the largest manifold of its name has openings for {openings}",
        "a manifold with an opening for each run",
        "add a larger one to parts, or let the run join another manifold");

    /// A manifold at which more runs end than it has inlets.
    pub(super) fn manifold_fed_twice(job, run: RowAt, rule: RowAt, place: &str, runs: usize, openings: usize)
        at [cell(run, "to"), cell(rule, "part")] = error("manifold-fed-twice",
        "{runs} runs end at \"{place}\", and a manifold of its name is fed by {openings}: this run is one too many",
        "in `to` of the run that feeds a manifold alone; what it feeds begins there",
        "type \"{place}\" in joins of this run and where it goes in to; or let it join the run that feeds it");

    /// A joint without a row in the table of joints.
    pub(super) fn nothing_consumed(job, run: RowAt, joint: &str, size: &str)
        at [row(run)] = warning("nothing-consumed",
        "the table joints says nothing of a {joint} joint of {size}; its rings or solder are not counted",
        "a row for each joint and size",
        "add the row to joints");

    /// Tube without a row in the table of supports.
    pub(super) fn no_support_rule(job, run: RowAt, tube: &str, size: &str)
        at [cell(run, "size")] = warning("no-support-rule",
        "the table supports says nothing of {size} {tube}; its supports are not counted",
        "a row for each tube and size",
        "add the row to supports");

    /// More of something than can be counted.
    pub(super) fn too_many(job, run: RowAt) at [row(run)] = error("too-many",
        "this run asks for more of something than can be counted",
        "the lengths and numbers of a house",
        "look for a digit too many in length, turns, count and the count columns");
}
