//! The notices of this stage, a function each: what is wrong or doubtful in what runs are built of. Called by whoever of its files finds it.

use crate::ground::notice::{error, warning};
use crate::ground::{Length, Notice, RowAt, Spot};
use crate::trade::Job;
use crate::trade::{SystemId, Word};

/// The kinds of warnings that say that something is not counted: the sums do not hold it, unless the job accepts that.
pub(crate) const UNCOUNTED: [&str; 2] = ["nothing-consumed", "no-support-rule"];

/// A run that begins at nothing.
pub(super) fn root(job: &Job, run: RowAt) -> Notice {
    warning(
        "begins-at-nothing",
        "the run joins nothing; what it begins at is taken to be there on site",
        "what feeds the run",
        "type main in `joins`, or a run, or a place that `places` or a `to` names",
    )
    .at([job.sources.cell(run, "joins")])
}

/// A drain in a job that names no drain system.
pub(super) fn no_drain_system(job: &Job, run: RowAt) -> Notice {
    error(
        "no-system",
        "the job names no drain system, and the run has none of its own",
        "the system that drains and vents are built in",
        "name one in `system`, or as \"drain system\" in the table job",
    )
    .at([job.sources.cell(run, "service")])
}

/// A size that the system does not have.
pub(super) fn unknown_size(
    job: &Job,
    run: RowAt,
    heading: &str,
    size: &str,
    system: &str,
    known: String,
) -> Notice {
    error(
        "unknown-size",
        format!("{system} has no size {size}"),
        format!("one of {known}"),
        "type one of them, or add a row to sizes",
    )
    .at([job.sources.cell(run, heading)])
}

/// A tail that is no smaller than its run.
pub(super) fn tail_not_smaller(job: &Job, run: RowAt, size: &str, reduce_to: &str) -> Notice {
    error(
        "tail-not-smaller",
        format!("the run is {size}, and `reduce to` is {reduce_to}, which is no smaller"),
        "a smaller size than the run's, in every system that is compared",
        "type the size of the tail, or empty `reduce to` and `tail`",
    )
    .at([job.sources.cell(run, "reduce to"), job.sources.cell(run, "size")])
}

/// A run larger than what feeds it.
pub(super) fn larger_child(job: &Job, run: RowAt, parent: RowAt, size: &str, parent_size: &str) -> Notice {
    warning(
        "larger-than-its-parent",
        format!("a {size} run ties into {parent_size}"),
        "a size no larger than what feeds it",
        "check both sizes",
    )
    .at([job.sources.cell(run, "size"), job.sources.cell(parent, "size")])
}

/// A tee where another stands already.
pub(super) fn moved_tap(job: &Job, run: RowAt, parent: RowAt) -> Notice {
    warning(
        "moved-tap",
        "another tee stands at this point; this one was moved on to the next free one",
        "a point of its own for each tee",
        "measure where each tee stands and type it in `at`",
    )
    .at([job.sources.cell(run, "at"), job.sources.cell(parent, "run")])
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

/// More on a run than it has room for.
pub(super) fn no_free_point(job: &Job, run: RowAt, heading: &str, what: &str) -> Notice {
    error(
        "no-free-point",
        format!("no room is left on the run for {what}"),
        "a run long enough for what stands on it",
        "lengthen the run, or take something off it",
    )
    .at([job.sources.cell(run, heading)])
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

/// A part with joints on a run that may have none.
pub(super) fn no_joint_part(job: &Job, run: RowAt, rule: RowAt) -> Notice {
    error(
        "part-on-no-joint",
        "the run may have no joint, and its pattern puts a part with joints in it",
        "nothing between the ends of a run without joints",
        "empty `no joint`, or take the pattern off the run",
    )
    .at([job.sources.cell(run, "no joint"), job.sources.cell(rule, "part")])
}

/// A part on an end that a run meets.
pub(super) fn met_end_part(job: &Job, run: RowAt, rule: RowAt, end: &str) -> Notice {
    warning(
        "part-on-met-end",
        format!("a run meets the {end} of this run; the part that the pattern puts there is left out"),
        "a part only on an end that no run meets",
        "give the part to the run that ends there, or put it in line with `where`",
    )
    .at([job.sources.cell(run, "pattern"), job.sources.cell(rule, "part")])
}

/// A part on an end that is shut before it comes.
pub(super) fn nothing_to_fill(job: &Job, run: RowAt, rule: RowAt, part: &str) -> Notice {
    warning(
        "nothing-to-fill",
        format!("the end is shut before {part} comes: it is counted and joins nothing"),
        "the parts of an end in the order in which they are built, from the tube outward",
        "move its row up in the pattern, or take it out",
    )
    .at([job.sources.cell(run, "pattern"), job.sources.cell(rule, "part")])
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

/// A fitting that the system has none of.
pub(super) fn no_equivalent(job: &Job, run: RowAt, what: &str, system: &str) -> Notice {
    error(
        "no-equivalent",
        format!("{system} has no {what} in the table parts; {system} is incomplete and never ranked"),
        "a part for every fitting that the runs ask for",
        "add a row to parts, with the system in `system` and what it is for in `used as`",
    )
    .at([job.sources.row(run)])
}

/// Two runs that no fitting joins.
pub(super) fn no_size_to_meet(
    job: &Job,
    run: RowAt,
    parent: RowAt,
    parent_name: &str,
    size: &str,
    system: &str,
) -> Notice {
    error(
        "no-size-to-meet",
        format!("{parent_name} is {system}, which has no size {size}: no fitting joins the two runs"),
        "a size that both systems have where runs meet",
        "give the run another size, join it elsewhere, or add the size to the table sizes",
    )
    .at([job.sources.cell(run, "size"), job.sources.cell(parent, "system")])
}

/// A pattern row in error that a run asks for.
pub(super) fn broken_rule(job: &Job, rule: RowAt, run: RowAt) -> Notice {
    error(
        "rule-left-out",
        "this row of the pattern is in error: its part is left out and the estimate incomplete",
        "a row without errors",
        "mend the cells of it that the other notices name",
    )
    .at([job.sources.row(rule), job.sources.cell(run, "pattern")])
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

/// Two runs that bring one part to a place in two sizes.
pub(super) fn different_sizes(job: &Job, run: RowAt, other: RowAt, place: &str, part: &str) -> Notice {
    error(
        "different-sizes-at-place",
        format!("two runs bring {part} in different sizes to \"{place}\""),
        "one size of one part at one place",
        "name the size in the pattern, or make both runs one size",
    )
    .at([job.sources.cell(run, "size"), job.sources.cell(other, "size")])
}

/// A part of a place that nothing gives a size.
pub(super) fn place_needs_size(job: &Job, rule: RowAt, place: RowAt) -> Notice {
    error(
        "place-needs-size",
        "no run meets the place, so nothing says the size of the part that stands there",
        "a run that meets the place, or a size in the pattern's row",
        "let a run name the place in `to` or `joins`, or empty the place's `pattern`",
    )
    .at([job.sources.row(place), job.sources.cell(rule, "size")])
}

/// A run at a place whose part has no opening left.
pub(super) fn no_port_left(job: &Job, run: RowAt, place: &str, service: &str) -> Notice {
    warning(
        "no-port-left",
        format!("what stands at \"{place}\" has no opening left for this {service} run: its end is capped"),
        "an opening for each run that meets the place",
        "check the run's service, or choose a part with one opening more",
    )
    .at([job.sources.row(run)])
}

/// Two runs that meet a bare place the same way.
pub(super) fn bare_met_twice(job: &Job, run: RowAt, other: RowAt, place: &str, service: &str) -> Notice {
    warning(
        "bare-place-met-twice",
        format!("two {service} runs meet \"{place}\" the same way, and nothing says what joins them there"),
        "one run in and one run out, of each service",
        format!("let one run join the other, or give \"{place}\" a pattern in the table places"),
    )
    .at([job.sources.row(run), job.sources.row(other)])
}

/// An opening that no run fills.
pub(super) fn unfilled_port(
    job: &Job,
    spot: RowAt,
    rule: RowAt,
    place: &str,
    part: &str,
    port: String,
) -> Notice {
    warning(
        "unfilled-port",
        format!("no run fills the {port} opening of the {part} at \"{place}\""),
        "a run for each opening",
        format!("add the {port} run that ends at \"{place}\", or choose a part without that opening"),
    )
    .at([job.sources.row(spot), job.sources.cell(rule, "part")])
}

/// A manifold without an opening for a run.
pub(super) fn manifold_too_small(job: &Job, run: RowAt, rule: RowAt, place: &str) -> Notice {
    error(
        "manifold-too-small",
        format!("the largest manifold of its name has no opening for this run at \"{place}\""),
        "a manifold with an opening for each run",
        "add a larger one to parts, or let the run join another manifold",
    )
    .at([job.sources.row(run), job.sources.cell(rule, "part")])
}

/// A joint without a row in the table of joints.
pub(super) fn nothing_consumed(job: &Job, run: RowAt, joint: &str, size: &str) -> Notice {
    warning(
        "nothing-consumed",
        format!(
            "the table joints says nothing of a {joint} joint of {size}; its rings or solder are not counted"
        ),
        "a row for each joint and size",
        "add the row to joints",
    )
    .at([job.sources.row(run)])
}

/// Tube without a row in the table of supports.
pub(super) fn no_support_rule(job: &Job, run: RowAt, tube: &str, size: &str) -> Notice {
    warning(
        "no-support-rule",
        format!("the table supports says nothing of {size} {tube}; its supports are not counted"),
        "a row for each tube and size",
        "add the row to supports",
    )
    .at([job.sources.cell(run, "size")])
}

/// More of something than can be counted.
pub(super) fn too_many(job: &Job, run: RowAt) -> Notice {
    error(
        "too-many",
        "this run asks for more of something than can be counted",
        "the lengths and numbers of a house",
        "look for a digit too many in length, turns, count and the count columns",
    )
    .at([job.sources.row(run)])
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
