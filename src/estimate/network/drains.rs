//! How drains and vents meet: what goes straight on, what turns, what ties in and at which angle (rules D3, D6 and D7 of
//! drains). All is measured up the stream, from the sewer on. It knows no system and no fitting: those are rows of tables.

use super::{Child, End, Meets};
use crate::estimate::{RunEnd, RunId};
use crate::ground::Length;
use crate::trade::{Angle, Attitude, Course, Job, Meeting, Met, Run, Service, Turned, Word};

/// What stands at the end of a drain or vent that other runs join.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum AtEnd {
    /// One child goes straight on.
    Straight(Child),
    /// One child turns.
    Turn(Child, Turned),
    /// One child goes straight on, another ties in.
    Through {
        /// The one that goes on.
        goes_on: Child,
        /// The one that ties in.
        branch: Child,
        /// How it does.
        met: Met,
    },
    /// One child goes straight on, two of one size tie in opposite each other.
    Pair {
        /// The one that goes on.
        goes_on: Child,
        /// The two that tie in, by name.
        branches: [Child; 2],
        /// How they do.
        met: Met,
    },
}

/// Why no fitting stands where runs meet.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Wrong {
    /// A child flows against its parent, or along it.
    Angle(Child, Angle),
    /// Of two children at an end none goes straight on.
    NoneGoesOn,
    /// More children at an end than any fitting takes.
    TooMany,
}

/// Whether a child of one service ties into a run of another, one of the two on the drain side. A drain empties into a
/// drain; a vent airs a drain or goes on in a vent, and ties into a vent by its end.
pub(super) fn ties_in(parent: Service, child: Service, by: RunEnd) -> bool {
    match (parent, child, by) {
        (Service::Drain, Service::Drain | Service::Vent, RunEnd::Start)
        | (Service::Vent, Service::Vent, _) => true,
        (
            Service::Drain | Service::Vent | Service::Cold | Service::Hot | Service::Mixed | Service::Return,
            _,
            _,
        ) => false,
    }
}

/// The course of a child at the point where it meets, away from that point.
fn course(job: &Job, child: Child) -> Course {
    let run = &job.runs[child.run.index()];
    match child.by {
        RunEnd::Start => run.begins(),
        RunEnd::End => run.ends().back(),
    }
}

/// The size of a child where it meets.
fn size(job: &Job, child: Child) -> Word {
    let run = &job.runs[child.run.index()];
    match (child.by, run.reduce_to, run.tail) {
        (RunEnd::End, Some(size), Some(_)) => size,
        _ => run.size,
    }
}

/// How a child ties into a run at a distance from its beginning. What leaves level without a bearing leaves at 90 degrees, or
/// at 45 where its row names a wye.
pub(crate) fn met(job: &Job, parent: &Run, at: Length, child: Child) -> Result<Met, Wrong> {
    let run = &job.runs[child.run.index()];
    let (of_parent, of_child) = (parent.course_at(at), course(job, child));
    let both_level = of_parent.attitude == Attitude::Level && of_child.attitude == Attitude::Level;
    let angle = match (of_parent.bearing, of_child.bearing) {
        _ if of_parent.attitude != of_child.attitude => Angle::Quarter,
        (Some(from), Some(to)) => from.angle(to),
        _ if matches!(run.tee, Some(Meeting::ByWye(_))) => Angle::Eighth,
        _ => Angle::Quarter,
    };
    // Air flows both ways: a vent that comes against another meets it as one that leaves it.
    let angle = match (run.service, angle) {
        (Service::Vent, Angle::Against) => Angle::Eighth,
        (Service::Vent, Angle::Back) if !both_level => Angle::Straight,
        (_, angle) => angle,
    };
    match angle {
        Angle::Against | Angle::Back => Err(Wrong::Angle(child, angle)),
        Angle::Straight if both_level => Err(Wrong::Angle(child, angle)),
        Angle::Straight | Angle::Eighth | Angle::Quarter => Ok(Met {
            parent: (parent.service, of_parent.attitude),
            child: (run.service, of_child.attitude),
            angle,
            pair: false,
        }),
    }
}

/// How two children tie into an upright run opposite each other: both level, of one size, neither with a fitting of its own.
pub(crate) fn pair(job: &Job, parent: &Run, at: Length, [one, other]: [Child; 2]) -> Option<Met> {
    let (first, second) = (course(job, one), course(job, other));
    let is_opposite = match (first.bearing, second.bearing) {
        (Some(first), Some(second)) => first == second.back(),
        (None, None) => true,
        (Some(_), None) | (None, Some(_)) => false,
    };
    let says_nothing = |child: Child| job.runs[child.run.index()].tee.is_none();
    let service = |child: Child| job.runs[child.run.index()].service;
    let is_pair = parent.course_at(at).attitude == Attitude::Upright
        && [first, second].iter().all(|course| course.attitude == Attitude::Level)
        && is_opposite
        && size(job, one) == size(job, other)
        && service(one) == service(other)
        && says_nothing(one)
        && says_nothing(other);
    is_pair.then(|| met(job, parent, at, one).ok()).flatten().map(|met| Met { pair: true, ..met })
}

/// What stands at the end of a run, by its children there in the order of their names; `larger` ranks two uprights of which
/// either could go on.
pub(crate) fn at_end(
    job: &Job,
    parent: &Run,
    children: &[Child],
    larger: impl Fn(Child) -> Option<u32>,
) -> Result<Option<AtEnd>, Wrong> {
    let of_parent = parent.ends();
    match *children {
        [] => Ok(None),
        [one] => {
            let of_child = course(job, one);
            if of_parent.attitude == of_child.attitude && is_straight(of_parent, of_child) {
                return Ok(Some(AtEnd::Straight(one)));
            }
            let angle = match (of_parent.bearing, of_child.bearing) {
                (Some(from), Some(to)) => from.angle(to),
                _ => Angle::Quarter,
            };
            let turned = Turned {
                service: job.runs[one.run.index()].service,
                parent: of_parent.attitude,
                child: of_child.attitude,
                angle,
            };
            match angle {
                Angle::Eighth | Angle::Quarter => Ok(Some(AtEnd::Turn(one, turned))),
                Angle::Straight | Angle::Against | Angle::Back => Err(Wrong::Angle(one, angle)),
            }
        }
        [one, other] => {
            let goes_on = goes_on(job, of_parent, children, larger).ok_or(Wrong::NoneGoesOn)?;
            let branch = if goes_on == one { other } else { one };
            let met = met(job, parent, parent.length, branch)?;
            Ok(Some(AtEnd::Through { goes_on, branch, met }))
        }
        [one, two, three] => {
            let pairs = [([one, two], three), ([one, three], two), ([two, three], one)];
            let upright = |child: Child| course(job, child).attitude == Attitude::Upright;
            let found = pairs.into_iter().find_map(|(branches, goes_on)| {
                let met = pair(job, parent, parent.length, branches).filter(|_| upright(goes_on))?;
                is_straight(of_parent, course(job, goes_on)).then_some(AtEnd::Pair { goes_on, branches, met })
            });
            found.map(Some).ok_or(Wrong::TooMany)
        }
        _ => Err(Wrong::TooMany),
    }
}

/// Whether one course goes on in another that lies alike: in its bearing, or nobody knows in which.
fn is_straight(one: Course, other: Course) -> bool {
    match (one.bearing, other.bearing) {
        (Some(one), Some(other)) => one == other,
        _ => true,
    }
}

/// Which of two children goes straight on: the one of the parent's bearing; else the one that lies as the parent does and
/// of which nobody knows where it goes. Of two alike the larger, then the earlier by name.
fn goes_on(
    job: &Job,
    of_parent: Course,
    children: &[Child],
    larger: impl Fn(Child) -> Option<u32>,
) -> Option<Child> {
    let alike = |child: &&Child| course(job, **child).attitude == of_parent.attitude;
    let same =
        |child: &&Child| of_parent.bearing.is_some() && course(job, **child).bearing == of_parent.bearing;
    let unknown = |child: &&Child| of_parent.bearing.is_none() || course(job, **child).bearing.is_none();
    let first = |mut found: Vec<Child>| {
        // Stable: equal ones stay in the order of their names.
        found.sort_by_key(|child| std::cmp::Reverse(larger(*child)));
        found.first().copied()
    };
    let in_bearing = children.iter().filter(alike).filter(same).copied().collect();
    first(in_bearing).or_else(|| first(children.iter().filter(alike).filter(unknown).copied().collect()))
}

/// The change at the end of a run of water in which one child goes on in another bearing (rule D1): a turn of the child.
pub(crate) fn turn_of_child(job: &Job, parent: RunId, meets: &Meets) -> Option<(Child, Angle)> {
    let of_parent = &job.runs[parent.index()];
    let ([one], End::Free) = (meets.at_end.as_slice(), meets.end) else { return None };
    // Without paths nobody knows.
    if of_parent.path.is_none() || job.runs[one.run.index()].path.is_none() {
        return None;
    }
    let angle = of_parent.ends().bearing?.angle(course(job, *one).bearing?);
    (of_parent.service.is_water() && angle != Angle::Straight).then_some((*one, angle))
}
