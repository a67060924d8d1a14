//! The second, naive counter, which judges the first: it counts a job by the rules of counting as directly as it can. Every
//! piece of tube, every fitting and every opening is an object, and openings are joined to one another. It is slow and
//! shares nothing with `estimate`; it reads jobs through `trade` and `ground`.
//!
//! `by_hand` holds jobs worked out on paper, `generate` draws random houses, `invariants` tries what is always true on them,
//! and in `agree` the engine must count them the same.
//!
//! # Readings
//! Where a rule leaves two readings, the one an estimator would expect was taken. By number of the rule:
//!
//! - Errors: rows first (cells, names, distances, circles), then everything that joins them; then meetings among the runs
//!   that are left, in rounds until nothing falls out; only then free points and manifolds, in every alternative. `joined`
//!   in rules 21 and 24 is judged in those rounds, so that a child in error does not make its parent wrong.
//! - Errors: an unfit pattern row (`where` beyond the run, `where` `start` without a joined place, one part in two sizes at
//!   a place) is left out for that run or place alone; the run stays.
//! - Errors: no free point for a tap leaves out the child; for a turn, an offset or a part in line the run; an elbow, a
//!   part in line or a part counted by eye on a run without a joint leaves out the run.
//! - 1: a run or place row whose name another row of the other kind has is an error of both; a run cannot be called `main`
//!   or `sewer`.
//! - 1: an end met on site or elsewhere is so in the phase of its run.
//! - 1, 16: where a root's beginning or an end of a run that stands alone carries parts, what they leave open is no end of
//!   tube and is capped or plugged; a tube end that they leave (a piece of tube, a street end) is met as the bare end would be.
//!   An end at `main` or `sewer` is closed whatever it is. A tube end that only a trim part fills is capped until then.
//! - 2: a row in error by itself closes no circle.
//! - 2: a place that any row's `fixture` makes known is known to all rows. A return that goes to itself is an error.
//! - 2, 13: a joint with a `site` port is made and asks for what joints ask for; only the port is not bought.
//! - 4: larger means by the table `sizes` alone. A tap k places after the first wishes for `at` + k least pieces; moved
//!   taps go in the order of their `at`, then of size and name. Back from the end begins one least piece inside it; where
//!   the run ends with a least piece of its parent's tube, inside the transition.
//! - 3: a child in whose size the parent's tube does not come is an error of the child, unless it goes on alone.
//! - 8: the least piece of the parent's tube behind a tee or reducer has the parent's system and variant and the color of what
//!   flows in the child. A return that ends behind a tee has it at its end, in its tail if it has one. What stands in it as
//!   written is moved with the moved taps. A seam is cut too where the child's own end carries the earlier part.
//! - 9, 10: turns come before offsets; the second elbow of an offset wishes for one least piece after where the first came to
//!   stand. Offsets of a run without a joint are bends.
//! - 10: rows with an equal `where` cell are of one assembly where they mate with the last part of it; of two openings the
//!   first faces the beginning. A part without openings does not cut. Openings beyond two are shut as rule 17 says.
//! - 11: a run's `variant` is that of its tube where the table `sizes` has that tube so, where no tube is made so, or where the
//!   run names its system; else its tube has the variant of its system.
//! - 11: a piece of a chain is split like any other. A coupling of a split has the phase of the first run.
//! - 13: a joint has the phase of its fitting, in chains and at places no earlier than its run. A row of the table `joints`
//!   for a size stands before the row of all sizes for the same part. Joints of threads are called `thread`.
//! - 14: an earlier phase is earlier than that of every child, or for a beginning than that of the parent. Parts without openings
//!   at a met end count by the same rule. The rows of each phase follow those of the phase before: a later part sits on
//!   what the earlier ones leave open (what it mates with, else the first), on a stub-out, or where an earlier cap was; else
//!   it stands by itself and joins nothing.
//! - 15: ports that name the service come before unnamed ones, among them those that mate directly, then as written. An end that
//!   its own part closes fills no port, unless a part of it has another opening. What does not mate is bridged (below). A port is filled in the phase of its part,
//!   no earlier than the run's. The first run by name that brings a part gives it service, phase, area, system and size;
//!   in the table `places` the size, where none is written, is that of the first run by name that meets the place; without one the row is left out.
//! - 15: a row of `places` in error says nothing; its name stays known. `only` may ask a place for fixture, area and level;
//!   what only a run could say is taken as met.
//! - 16, 17: an end is shut unasked in its run's phase, no earlier than rough-in, if it is there by then and no part of that
//!   phase or an earlier one fills it; what a later part leaves open is shut in its phase likewise. What is put between (an adapter) comes by then too, and the open side of it is shut
//!   until the phase that fills it; where the end was shut already, it comes with the later part. A cap
//!   written without a size is of the tube that stands open; ahead of one of rough-in or later stands what a later part needs
//!   between, unless that leaves no tube open (a thread).
//! - 17, bridging: an adapter has the size of the tube on one side and of the thread on the other; between two threads the
//!   tube is of the run's size. Between other things of
//!   different sizes first a reducing coupling and a least piece in the other size, then the transition and a least piece.
//!   Such pieces are extra to the run's length, of the run's service, in the color of its service.
//! - 19: supports that a part asks for have the size of the end it sits on and the phase of the part; at a place that no
//!   run meets that of its first opening for tube.
//! - 21: of a run counted above 1 whose place another run meets, the counted run is the error.
//! - 22: of two ends of one return at one point its beginning comes first.
//! - 23: a spare port of a manifold takes one cap and one joint of its size, as if the cap went straight on. Ends of runs take
//!   inlets, beginnings outlets.
//! - 24: every opening of a counted part that is not closed is one joint of the run's size, also of a reducer and a cap. What is
//!   counted shares n with turns that stand evenly. A counted run may end at a place.
//! - 26: what the table `places` puts at a place has the area of its row there, and no service.
//! - Items: an opening that is closed has no size. A part without openings has the sizes written in its row; supports, rings and tube else that of the run; others
//!   none. A quantity of them that is no whole number is rounded up for each run and row.
//!
//! Of drains, vents and paths, by number of their rules; paths, the words of `tee` and the tables of the drain side are
//! read in `sheets` and `paths`, apart from the program:
//!
//! - D1: changes of a path take their points in the order of the path, before offsets. The change at the beginning of a run of
//!   water is the first of its turns; behind a transition it stands a least piece on, as behind a reducing coupling. Changes
//!   of 45 degrees are not among the turns taken as bends. A run that goes on against the bearing of the one it joins
//!   (135 or 180 degrees) is an error on the drain side.
//! - D3: a run of water that joins a drain, or a drain that joins water, is an error of the child.
//! - D4, D6: how a tapped run lies is asked where `at` says, also where the tap is moved. Of three or more at one point the first
//!   two that fit are the pair, in the order of rule 4; of two of which one has a bearing neither is opposite the other.
//! - D6: `wye` in `tee` has its street eighth bend wherever the angle is not 45 degrees. `bull` changes nothing on the drain
//!   side. For a vent 135 degrees are 45; an upright vent that ends in an upright one leaves it at 0 degrees.
//! - D7: a turning behind which another system begins is of the parent's, and the child begins with a least piece, as behind a
//!   tee. A least piece of the larger size comes before that, of the parent's system too.
//! - D9: at an end of a chain the least piece of the larger size comes out of the piece that ends there.
//! - D11, D12: the mouth of what is set at trim needs no cap; a tube end is listed as met on site, in its phase. So is, in the
//!   phase of its run or of what leaves it open, an end that a system without test caps leaves open for good; a socket is not
//!   listed. In a socket the cap sits with its own tube end: one joint.
//! - D12: an end capped for a test is listed as capped also where something joins it later.
//! - D13: tube with nothing before it lengthens the last piece where its phase is not later than the run's; the run's supports go by its
//!   own length.
//! - D14: a part with ports of both sides is that of the first run of water by name that brings it; brought by drains alone it has
//!   service, size and system of the first run of water that meets the place. Its ports for drains are in size and system of the first run of
//!   that side there, and are not among its sizes.
//! - D15: only a run of the drain side lies in the ground for its phase alone.
//! - D19: alternatives in the order written, those of water first.
#![allow(clippy::wildcard_enum_match_arm, reason = "a test fails by what it did not expect")]
mod agree;
mod bridge;
mod build;
mod by_hand;
mod chance;
mod closing;
mod drain_agree;
mod drain_build;
mod drain_by_hand;
mod drain_cases;
mod drain_invariants;
mod drain_tables;
mod drains;
mod ends;
mod engine;
mod generate;
mod invariants;
mod judge;
mod layout;
mod made;
mod meetings;
mod order;
mod paths;
mod places;
mod sheets;
mod shrink;
mod sound;
mod supports;
mod tables;
mod test_caps;
mod test_day;
mod total;
mod view;
mod world;

use coilstick::trade::Job;

/// Counts every alternative of a job.
fn count_job(job: &Job) -> Vec<total::Count> {
    naive_count(job).into_iter().map(|(count, _)| count).collect()
}

/// Counts every alternative of a job, and hands over what was built.
fn naive_count(job: &Job) -> Vec<(total::Count, world::World)> {
    count_with(job, &sheets::Sheets::default())
}

/// Counts every alternative of a job as its tables say it, paths and drains too; gives the job as it was counted.
fn count_texts(texts: &generate::Texts) -> (Job, Vec<(total::Count, world::World)>) {
    count_beside(&invariants::job_of(texts), texts)
}

/// The same of a job that is read already.
fn count_beside(job: &Job, texts: &generate::Texts) -> (Job, Vec<(total::Count, world::World)>) {
    let (job, sheets) = sheets::read(&drain_tables::with_drain_tables(texts)).laid_over(job);
    let counts = count_with(&job, &sheets);
    (job, counts)
}

fn count_with(job: &Job, sheets: &sheets::Sheets) -> Vec<(total::Count, world::World)> {
    let judged = judge::judge(job, sheets);
    let mut counts = Vec::new();
    for alternative in judge::alternatives(job) {
        let view = view::View { job, sheets, meetings: &judged.meetings, out: &judged.out, alternative };
        let mut builder = build::build(view);
        let count = total::total(&mut builder, &judged);
        counts.push((count, builder.world));
    }
    counts
}
