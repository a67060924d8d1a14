//! What stands where runs of the drain side meet: how they lie, at which angle one ties into another, which fitting that is,
//! and which of them goes straight on (D4, D6 and D7 of the rules for drains). It looks up and judges; it builds nothing.

use coilstick::ground::Length;
use coilstick::ground::name::fold;
use coilstick::trade::{Service, SystemId};

use crate::meetings::{Meets, RunEnd, Spot};
use crate::paths::{Attitude, Bearing};
use crate::view::{Child, View};

/// What runs meet in, by what it is used as; `tee` of a drain may name it.
pub(crate) const MEETINGS: [&str; 7] =
    ["tee", "sanitary tee", "double sanitary tee", "wye", "double wye", "combination", "two-way cleanout"];

/// The fitting where a run ties in, and what stands in its branch.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Meeting {
    pub(crate) part: String,
    pub(crate) branch_part: Option<String>,
}

/// What stands at the end of a run of the drain side.
#[derive(Debug, Clone)]
pub(crate) enum AtEnd {
    Nothing,
    Straight(Child),
    /// One run goes on in another bearing, behind this part.
    Turn(Child, String),
    /// One goes straight on, and one or a pair ties in.
    Ties {
        through: Child,
        branches: Vec<Child>,
        meeting: Meeting,
    },
}

/// Children that are in error, with why.
pub(crate) type Faulty = Vec<(usize, &'static str)>;

/// One child or a pair at one point of a run.
#[derive(Debug, Clone)]
pub(crate) enum Tapped {
    One(Child),
    Pair(Child, Child),
}

/// Whether a service is of the drain side.
pub(crate) fn is_drain_side(service: Service) -> bool {
    match service {
        Service::Drain | Service::Vent => true,
        Service::Cold | Service::Hot | Service::Mixed | Service::Return => false,
    }
}

impl View<'_> {
    pub(crate) fn of_drains(&self, run: usize) -> bool {
        is_drain_side(self.run(run).service)
    }

    /// The bearing of a run at a distance; of an upright run without a path up or down, of a level one nothing.
    fn bearing_at(&self, run: usize, at: Length) -> Option<Bearing> {
        if let Some(path) = &self.sheet(run).path {
            return Some(path.leg_at(at).bearing);
        }
        let row = self.run(run);
        match self.attitude_without_path(run) {
            Attitude::Level => None,
            Attitude::Upright if row.rise < Length::ZERO => Some(Bearing::Down),
            Attitude::Upright => Some(Bearing::Up),
        }
    }

    fn attitude_without_path(&self, run: usize) -> Attitude {
        let row = self.run(run);
        let all_of_it = row.rise.abs() == row.length && row.length > Length::ZERO;
        let is_vent = row.service == Service::Vent && !self.sheet(run).rise_is_filled;
        if all_of_it || is_vent { Attitude::Upright } else { Attitude::Level }
    }

    /// How a run lies at a distance from its beginning.
    pub(crate) fn attitude_at(&self, run: usize, at: Length) -> Attitude {
        self.bearing_at(run, at).map_or(Attitude::Level, Bearing::attitude)
    }

    pub(crate) fn attitude_at_end(&self, run: usize, end: RunEnd) -> Attitude {
        match end {
            RunEnd::Start => self.attitude_at(run, Length::ZERO),
            RunEnd::End => self.attitude_at(run, self.run(run).length),
        }
    }

    /// How much of a run lies so (D15); of water without a path its rise is upright (rule 19).
    pub(crate) fn lying(&self, run: usize, lies: Attitude) -> Length {
        let row = self.run(run);
        if let Some(path) = &self.sheet(run).path {
            return Length::from_nanometres(path.lying(lies));
        }
        let upright = match (self.of_drains(run), self.attitude_without_path(run)) {
            (true, Attitude::Upright) => row.length,
            (true, Attitude::Level) => Length::ZERO,
            (false, _) => row.rise.abs(),
        };
        match lies {
            Attitude::Upright => upright,
            Attitude::Level => row.length.checked_sub(upright).expect("the rise is part of the length"),
        }
    }

    /// How a tail lies: as the last leg; on the water side without a path level (rule 19).
    pub(crate) fn tail_attitude(&self, run: usize) -> Attitude {
        if self.of_drains(run) || self.sheet(run).path.is_some() {
            self.attitude_at_end(run, RunEnd::End)
        } else {
            Attitude::Level
        }
    }

    /// Whether a split of a system's tube is one joint and no part (D10).
    pub(crate) fn seam_is_a_joint(&self, system: SystemId) -> bool {
        self.sheets.seams.contains(&fold(self.text(self.system(system).name)))
    }

    /// The bearing in which a child leaves the point where it ties in; the end of a vent is turned about.
    fn leaves(&self, child: Child) -> Option<Bearing> {
        match child.with {
            RunEnd::Start => self.bearing_at(child.run, Length::ZERO),
            RunEnd::End => self.bearing_at(child.run, self.run(child.run).length).map(Bearing::turned_about),
        }
    }

    fn lies(&self, child: Child) -> Attitude {
        self.attitude_at_end(child.run, child.with)
    }

    /// The change where one run of the water side goes on from an end in another bearing: a turn of the child (D1).
    pub(crate) fn change_at_beginning(&self, run: usize) -> Option<u16> {
        let Meets::Run { parent, spot: Spot::End } = self.meetings.of(run, RunEnd::Start) else {
            return None;
        };
        if self.of_drains(run) || self.of_drains(*parent) || self.children_at_end(*parent).len() != 1 {
            return None;
        }
        let (before, after) = (self.sheet(*parent).path.as_ref()?, self.sheet(run).path.as_ref()?);
        let angle = before.last().bearing.angle(after.first().bearing);
        (angle == 45 || angle == 90).then_some(angle)
    }

    /// Whether that change stands a least piece inside the run: a reducing coupling or a transition is at its beginning.
    pub(crate) fn begins_behind_something(&self, run: usize) -> bool {
        let Some(parent) = self.meetings.parent(run, RunEnd::Start) else { return false };
        self.end_size(parent) != self.run(run).size || !self.sits_in(run, self.system_id(parent))
    }

    /// Whether a name asked for in a table takes in what is there; an empty cell fits anything.
    fn fits(asked: &str, there: &str) -> bool {
        asked.is_empty() || fold(asked) == there
    }

    fn system_fits(&self, asked: &str, system: SystemId) -> bool {
        let of = self.system(system);
        let called = [of.name, of.tube, of.fit].map(|word| fold(self.text(word)));
        asked.is_empty() || asked.split(';').any(|one| called.contains(&fold(one)))
    }

    /// The row of the table `meetings` for a child at an angle; the one that asks for most goes first.
    fn meeting_row(
        &self,
        parent: usize,
        lies: Attitude,
        child: Child,
        angle: u16,
        pair: bool,
    ) -> Option<Meeting> {
        let angle = angle.to_string();
        let rows = self.sheets.meetings.iter().filter(|row| {
            let [side, system, of_parent, parent_lies, of_child, child_lies, at, place] = &row.asks;
            Self::fits(side, "drain")
                && self.system_fits(system, self.system_id(parent))
                && Self::fits(of_parent, self.run(parent).service.word())
                && Self::fits(parent_lies, lies.word())
                && Self::fits(of_child, self.run(child.run).service.word())
                && Self::fits(child_lies, self.lies(child).word())
                && Self::fits(at, &angle)
                && (place == "pair") == pair
        });
        let filled = |asks: &[String; 8]| asks.iter().filter(|ask| !ask.is_empty()).count();
        // Of rows that ask for as much the first; `max_by_key` would take the last.
        let row = rows.rev().max_by_key(|row| filled(&row.asks))?;
        let branch_part = Some(row.branch_part.clone()).filter(|part| !part.is_empty());
        Some(Meeting { part: fold(&row.part), branch_part })
    }

    /// The part of the table `turnings` between two legs or two runs.
    pub(crate) fn turning(
        &self,
        service: Service,
        system: SystemId,
        before: Attitude,
        after: Attitude,
        angle: u16,
    ) -> String {
        let angle = angle.to_string();
        let rows = self.sheets.turnings.iter().filter(|row| {
            let [side, of_system, of, parent_lies, child_lies, at] = &row.asks;
            Self::fits(side, "drain")
                && self.system_fits(of_system, system)
                && Self::fits(of, service.word())
                && Self::fits(parent_lies, before.word())
                && Self::fits(child_lies, after.word())
                && Self::fits(at, &angle)
        });
        let filled = |asks: &[String; 6]| asks.iter().filter(|ask| !ask.is_empty()).count();
        rows.rev()
            .max_by_key(|row| filled(&row.asks))
            .map_or_else(|| "turning".to_owned(), |row| fold(&row.part))
    }

    /// At which angle a child leaves a run that goes on; an error where it goes against the flow or along the run.
    fn angle(&self, parent: usize, at: Length, child: Child) -> Result<u16, &'static str> {
        match (self.attitude_at(parent, at), self.lies(child)) {
            (Attitude::Upright, Attitude::Upright) => Ok(0),
            (Attitude::Level, Attitude::Upright) | (Attitude::Upright, Attitude::Level) => Ok(90),
            (Attitude::Level, Attitude::Level) => match (self.bearing_at(parent, at), self.leaves(child)) {
                (Some(of_parent), Some(of_child)) => match of_parent.angle(of_child) {
                    0 | 180 => Err("level along level"),
                    135 if self.run(child.run).service == Service::Vent => Ok(45),
                    135 => Err("against the flow"),
                    angle => Ok(angle),
                },
                (Some(_) | None, Some(_) | None)
                    if self.named_meeting(child.run).as_deref() == Some("wye") =>
                {
                    Ok(45)
                }
                (Some(_) | None, Some(_) | None) => Ok(90),
            },
        }
    }

    /// No drain ties into a vent, wherever it does.
    fn may_join(&self, parent: usize, child: Child) -> Result<(), &'static str> {
        let drain_on_vent =
            self.run(child.run).service == Service::Drain && self.run(parent).service == Service::Vent;
        if drain_on_vent { Err("no drain ties into a vent") } else { Ok(()) }
    }

    /// A drain never gets smaller on its way. How runs stand where they meet is judged before.
    fn is_no_larger(&self, parent: usize, spot: Spot, child: Child) -> Result<(), &'static str> {
        let into = match spot {
            Spot::Inside(_) => self.run(parent).size,
            Spot::End => self.end_size(parent),
        };
        if self.run(child.run).service == Service::Drain && self.larger(child.size, into).is_gt() {
            Err("a drain is larger than what it ties into")
        } else {
            Ok(())
        }
    }

    /// The fitting where a child ties into a run of the drain side that goes on.
    pub(crate) fn meeting(&self, parent: usize, spot: Spot, child: Child) -> Result<Meeting, &'static str> {
        self.may_join(parent, child)?;
        let at = match spot {
            Spot::Inside(at) => at,
            Spot::End => self.run(parent).length,
        };
        let angle = self.angle(parent, at, child)?;
        if let Some(part) = self.named_meeting(child.run) {
            let street = part == "wye" && angle != 45;
            return Ok(Meeting { part, branch_part: street.then(|| "street eighth bend".to_owned()) });
        }
        let row = self.meeting_row(parent, self.attitude_at(parent, at), child, angle, false);
        row.ok_or("no row of the table meetings")
    }

    /// The part that a row's `tee` names, if it is used as a meeting in any system.
    fn named_meeting(&self, run: usize) -> Option<String> {
        let tee = &self.sheet(run).tee;
        let called = |part: &&coilstick::trade::Part| {
            fold(&part.name) == *tee || part.also.iter().any(|also| fold(self.text(*also)) == *tee)
        };
        let part = self.job.catalog.parts.iter().find(called)?;
        let used = MEETINGS.iter().find(|used| self.is_used_as(part, used))?;
        Some((*used).to_owned())
    }

    /// The fitting that takes two children at one point, if they are a pair.
    fn pair(&self, parent: usize, at: Length, one: Child, other: Child) -> Option<Meeting> {
        let lies = self.attitude_at(parent, at);
        let both = [one, other];
        let opposite = match (self.leaves(one), self.leaves(other)) {
            (Some(a), Some(b)) => a.angle(b) == 180,
            (None, None) => true,
            (Some(_), None) | (None, Some(_)) => false,
        };
        let is_pair = lies == Attitude::Upright
            && both.iter().all(|child| self.lies(*child) == Attitude::Level)
            && both.iter().all(|child| self.named_meeting(child.run).is_none())
            && one.size == other.size
            && opposite;
        if !is_pair {
            return None;
        }
        let [first, second] = both.map(|child| self.meeting_row(parent, lies, child, 90, true));
        let size = self.run(parent).size;
        let meeting = first.filter(|row| second.as_ref() == Some(row))?;
        let made =
            self.fitting(&meeting.part, &[size, size, one.size, one.size], self.system_id(parent), false);
        made.part.is_some().then_some(meeting)
    }

    /// The children at one point inside a run, two of them as one where they are a pair; in the order in which they stand.
    pub(crate) fn tapped(&self, parent: usize, at: Length, children: &[Child]) -> Vec<Tapped> {
        let mut left: Vec<Child> = children.to_vec();
        let mut found = Vec::new();
        while !left.is_empty() {
            let one = left.remove(0);
            let is_pair = |other: &Child| self.pair(parent, at, one, *other).is_some();
            match left.iter().position(is_pair).filter(|_| self.of_drains(parent)) {
                Some(index) => found.push(Tapped::Pair(one, left.remove(index))),
                None => found.push(Tapped::One(one)),
            }
        }
        found
    }

    pub(crate) fn pair_meeting(&self, parent: usize, at: Length, one: Child, other: Child) -> Meeting {
        self.pair(parent, at, one, other).expect("asked before it is built")
    }

    /// What stands at the end of a run of the drain side, or who is in error there.
    pub(crate) fn at_end(&self, parent: usize) -> Result<AtEnd, Faulty> {
        let children = self.children_at_end(parent);
        let unfit: Faulty = children
            .iter()
            .filter_map(|child| Some((child.run, self.may_join(parent, *child).err()?)))
            .collect();
        if !unfit.is_empty() {
            return Err(unfit);
        }
        let at_end = self.stands_at_end(parent, &children)?;
        let larger: Faulty = children
            .iter()
            .filter_map(|child| Some((child.run, self.is_no_larger(parent, Spot::End, *child).err()?)))
            .collect();
        if larger.is_empty() { Ok(at_end) } else { Err(larger) }
    }

    fn stands_at_end(&self, parent: usize, children: &[Child]) -> Result<AtEnd, Faulty> {
        let all = |why| Err(children.iter().map(|child| (child.run, why)).collect());
        match children {
            [] => Ok(AtEnd::Nothing),
            [only] => self.one_at_end(parent, *only),
            [_, _] => {
                let Some(through) = self.goes_straight(parent, children) else {
                    return all("none of two goes straight on");
                };
                let other = children.iter().copied().find(|child| *child != through);
                let other = other.expect("there are two");
                match self.meeting(parent, Spot::End, other) {
                    Ok(meeting) => Ok(AtEnd::Ties { through, branches: vec![other], meeting }),
                    Err(why) => Err(vec![(other.run, why)]),
                }
            }
            [_, _, _] => {
                let length = self.run(parent).length;
                let through = self.goes_straight(parent, children).filter(|one| {
                    self.lies(*one) == Attitude::Upright
                        && self.attitude_at_end(parent, RunEnd::End) == Attitude::Upright
                });
                let Some(through) = through else { return all("three at one end") };
                let branches: Vec<Child> =
                    children.iter().copied().filter(|child| *child != through).collect();
                match self.pair(parent, length, branches[0], branches[1]) {
                    Some(meeting) => Ok(AtEnd::Ties { through, branches, meeting }),
                    None => all("three at one end"),
                }
            }
            _ => all("three at one end"),
        }
    }

    fn one_at_end(&self, parent: usize, only: Child) -> Result<AtEnd, Faulty> {
        let before = self.attitude_at_end(parent, RunEnd::End);
        let after = self.lies(only);
        let angle = match (self.bearing_at(parent, self.run(parent).length), self.leaves(only)) {
            (Some(of_parent), Some(of_child)) => of_parent.angle(of_child),
            (Some(_) | None, Some(_) | None) if before == after => 0,
            (Some(_) | None, Some(_) | None) => 90,
        };
        match angle {
            0 => Ok(AtEnd::Straight(only)),
            45 | 90 => {
                let service = self.run(only.run).service;
                let part = self.turning(service, self.system_id(parent), before, after, angle);
                Ok(AtEnd::Turn(only, part))
            }
            _ => Err(vec![(only.run, "the run turns back")]),
        }
    }

    /// The child that goes straight on at an end, beside others: by its bearing, else by how it lies.
    fn goes_straight(&self, parent: usize, children: &[Child]) -> Option<Child> {
        let lies = self.attitude_at_end(parent, RunEnd::End);
        let bearing = self.bearing_at(parent, self.run(parent).length);
        let by_bearing = children.iter().find(|child| bearing.is_some() && self.leaves(**child) == bearing);
        let without = children.iter().find(|child| {
            self.lies(**child) == lies && (bearing.is_none() || self.leaves(**child).is_none())
        });
        by_bearing.or(without).copied()
    }

    /// Whether a system has a part to bring a smaller tube into a larger port (D9).
    pub(crate) fn has_bushing(&self, system: SystemId) -> bool {
        !self.used_as("bushing", system).is_empty()
    }

    /// Children of a run that are in error where they meet it, on the drain side or across the two sides of the house.
    pub(crate) fn unfit_children(&self, parent: usize) -> Faulty {
        let inside: Vec<(Length, Child)> = self
            .children_inside(parent)
            .into_iter()
            .flat_map(|(at, all)| all.into_iter().map(move |one| (at, one)))
            .collect();
        let met = inside.iter().map(|(_, child)| *child).chain(self.children_at_end(parent));
        let of_other_side: Faulty = met
            .filter(|child| self.of_drains(child.run) != self.of_drains(parent))
            .map(|child| (child.run, "water and drain meet only at places"))
            .collect();
        if !of_other_side.is_empty() || !self.of_drains(parent) {
            return of_other_side;
        }
        let mut found: Faulty = inside
            .iter()
            .filter_map(|(at, child)| {
                let met = self.meeting(parent, Spot::Inside(*at), *child);
                Some((child.run, met.err().or(self.is_no_larger(parent, Spot::Inside(*at), *child).err())?))
            })
            .collect();
        found.extend(self.at_end(parent).err().unwrap_or_default());
        found
    }
}

/// What a row of the drain side says against itself (D4 and D7); of water only its path can be wrong.
pub(crate) fn fault_of_row(
    row: &coilstick::trade::Run,
    sheet: &crate::sheets::Sheet,
) -> Option<&'static str> {
    // A length that cannot be read is an error by itself.
    if sheet.fault.is_some() || !is_drain_side(row.service) || row.length == Length::ZERO {
        return sheet.fault;
    }
    let is_drain = row.service == Service::Drain;
    if let Some(path) = &sheet.path {
        return (is_drain && path.goes_down()).then_some("a drain goes down");
    }
    let upright = row.rise.abs() == row.length || (!is_drain && !sheet.rise_is_filled);
    if is_drain && row.rise < Length::ZERO {
        Some("a drain goes down")
    } else if !upright && row.rise != Length::ZERO {
        Some("neither level nor upright")
    } else if upright && row.turns.unwrap_or(0) > 0 {
        Some("an upright run with turns and without a path")
    } else {
        None
    }
}
