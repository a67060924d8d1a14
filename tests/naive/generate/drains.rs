//! Houses with drains and vents: trees that flow to a sewer, by paths and without, in phases, each run with what stands at its
//! end. They are sound by construction; what they count to is not known here.

use std::collections::BTreeMap;

use super::{DRAIN_SIZES, House};

/// Bearings in steps of 45 degrees, and up behind them.
const BEARINGS: [[&str; 2]; 10] = [
    ["N", "north"],
    ["NE", "northeast"],
    ["E", "east"],
    ["SE", "southeast"],
    ["S", "south"],
    ["SW", "southwest"],
    ["W", "west"],
    ["NW", "northwest"],
    ["up", "Up"],
    ["down", "down"],
];
pub(super) const UP: usize = 8;
pub(super) const DOWN: usize = 9;

const PHASES: [&str; 4] = ["underground", "rough-in", "tie-in", "trim"];

/// Another bearing, so many eighths of a circle round.
pub(super) fn round(bearing: usize, eighths: usize) -> usize {
    (bearing + eighths) % 8
}

/// A run of the drain side that was drawn.
#[derive(Debug, Clone)]
pub(super) struct Pipe {
    pub(super) name: String,
    pub(super) service: &'static str,
    size: usize,
    end_size: usize,
    /// In eighths of an inch, as all lengths here.
    pub(super) length: i64,
    legs: Vec<(usize, i64)>,
    pub(super) upright: bool,
    pub(super) phase: usize,
    pub(super) end_is_taken: bool,
    pub(super) taps: Vec<i64>,
}

impl Pipe {
    /// The bearing at a distance; of a level run without a path nothing.
    pub(super) fn bearing_at(&self, at: i64) -> Option<usize> {
        let mut reach = 0;
        for (bearing, length) in &self.legs {
            reach += length;
            if at <= reach {
                return Some(*bearing);
            }
        }
        self.upright.then_some(UP)
    }

    pub(super) fn end_bearing(&self) -> Option<usize> {
        self.bearing_at(self.length)
    }
}

/// How a run begins that ties in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Begins {
    /// Level, in a bearing or without a path.
    Level(Option<usize>),
    Upright,
}

impl House {
    /// The drains of the house, with their vents.
    pub(super) fn draw_drains(&mut self, runs: i64) {
        self.sewer();
        for _ in 0..runs {
            let parent = usize::try_from(self.chance.below(self.pipes.len() as u64)).unwrap_or(0);
            if self.chance.percent(3) {
                self.sewer();
            } else if self.chance.percent(3) {
                self.drain_alone();
            } else if self.chance.percent(45) && !self.pipes[parent].end_is_taken {
                self.at_its_end(parent);
            } else {
                self.inside(parent);
            }
        }
    }

    /// A run to the sewer, or a root.
    fn sewer(&mut self) {
        let begins = if self.chance.percent(50) {
            Begins::Level(Some(usize::try_from(self.chance.from(0, 7)).unwrap_or(0)))
        } else {
            Begins::Level(None)
        };
        let size = usize::try_from(self.chance.from(2, 3)).unwrap_or(3);
        let phase = usize::from(self.chance.percent(35));
        let (mut row, pipe) = self.pipe("drain", size, begins, phase);
        let mut patterns = Vec::new();
        if self.chance.percent(92) {
            row.insert("joins", "sewer".to_owned());
            if self.chance.percent(75) {
                patterns.push("sewer connection");
            }
        }
        self.finish(row, pipe, patterns);
    }

    /// A drain that stands alone, some of them several.
    fn drain_alone(&mut self) {
        let size = usize::try_from(self.chance.from(0, 3)).unwrap_or(1);
        let phase = usize::try_from(self.chance.from(0, 1)).unwrap_or(1);
        let (mut row, mut pipe) = self.pipe("drain", size, Begins::Level(None), phase);
        pipe.end_is_taken = true;
        row.insert("count", self.chance.from(0, 3).to_string());
        let pattern =
            *self.chance.pick(&["lavatory drain", "tub drain", "washer drain", "trap arm", "bare trap"]);
        row.insert("pattern", pattern.to_owned());
        self.rows.push(row);
    }

    /// The cells of a run by its size and how it begins.
    fn pipe(
        &mut self,
        service: &'static str,
        size: usize,
        begins: Begins,
        phase: usize,
    ) -> (BTreeMap<&'static str, String>, Pipe) {
        let name = self.name(if service == "drain" { 'D' } else { 'V' });
        let mut row = BTreeMap::new();
        row.insert("run", name.clone());
        row.insert("service", service.to_owned());
        row.insert("size", DRAIN_SIZES[size].to_owned());
        let long = if self.chance.percent(15) { 4800 } else { 1200 };
        let length = self.chance.from(60, long);
        let (length, legs) = match begins {
            Begins::Level(Some(first)) => self.path(&mut row, service, first),
            Begins::Upright if self.chance.percent(40) => self.path(&mut row, service, UP),
            Begins::Level(None) | Begins::Upright => {
                row.insert("length", self.length_text(length));
                (length, Vec::new())
            }
        };
        let upright = begins == Begins::Upright && legs.is_empty();
        if upright && (service == "drain" || self.chance.percent(40)) {
            row.insert("rise", self.length_text(length));
        } else if legs.is_empty() && !upright {
            if service == "vent" || self.chance.percent(20) {
                row.insert("rise", "0".to_owned());
            }
            if self.chance.percent(35) {
                self.turns(&mut row, length);
            }
        }
        if self.chance.percent(8) {
            row.insert("offsets", "1".to_owned());
        }
        if self.chance.percent(40) {
            row.insert("area", (*self.chance.pick(&super::AREAS)).to_owned());
        }
        if self.chance.percent(15) {
            row.insert("slope", (*self.chance.pick(&["1/4", "1/8 in/ft", "2 %"])).to_owned());
        }
        match (phase, self.chance.below(3)) {
            (0, 0) => drop(row.insert("lie", "slab".to_owned())),
            (0, 1) => drop(row.insert("lie", "ground".to_owned())),
            (1, 0 | 1) => {}
            _ => drop(row.insert("phase", PHASES[phase].to_owned())),
        }
        if phase == 0 && row.contains_key("phase") && self.chance.percent(30) {
            row.insert("lie", "framing".to_owned());
        }
        if self.chance.percent(4) {
            row.insert("system", (*self.chance.pick(&self.drain_systems)).to_owned());
        }
        let mut end_size = size;
        if size > 0 && self.chance.percent(7) {
            end_size = usize::try_from(self.chance.below(size as u64)).unwrap_or(0);
            row.insert("reduce to", DRAIN_SIZES[end_size].to_owned());
            let tail = self.chance.from(48, 900);
            row.insert("tail", self.length_text(tail));
        }
        let (taps, end_is_taken) = (Vec::new(), false);
        (row, Pipe { name, service, size, end_size, length, legs, upright, phase, end_is_taken, taps })
    }

    /// Legs from a bearing on, written as people write them.
    fn path(
        &mut self,
        row: &mut BTreeMap<&'static str, String>,
        service: &str,
        first: usize,
    ) -> (i64, Vec<(usize, i64)>) {
        let mut legs: Vec<(usize, i64)> = vec![(first, self.chance.from(30, 1400))];
        while self.chance.percent(45) && legs.len() < 5 {
            let last = legs[legs.len() - 1].0;
            let turned = [1, 2, 6, 7];
            let next = match last {
                UP | DOWN => usize::try_from(self.chance.below(8)).unwrap_or(0),
                _ if self.chance.percent(30) => UP,
                _ if service == "vent" && self.chance.percent(4) => DOWN,
                level => round(level, *self.chance.pick(&turned)),
            };
            legs.push((next, self.chance.from(30, 1000)));
        }
        let mut texts = Vec::new();
        for (bearing, length) in &legs {
            let word = BEARINGS[*bearing][usize::from(self.chance.percent(20))];
            texts.push(format!("{word} {}", self.length_text(*length)));
        }
        row.insert("path", texts.join(if self.chance.percent(70) { "; " } else { ", " }));
        let length = legs.iter().map(|(_, length)| length).sum();
        if self.chance.percent(20) {
            row.insert("length", self.length_text(length));
        }
        (length, legs)
    }

    /// The phase of a run that ties into one of a phase: mostly the same, else a later one.
    fn later_phase(&mut self, phase: usize) -> usize {
        match self.chance.below(20) {
            0..=12 => phase,
            13..=17 => phase.max(1),
            _ => phase.max(2),
        }
    }

    fn smaller(&mut self, service: &str, size: usize) -> usize {
        match self.chance.below(10) {
            0 if service == "vent" && size < 3 => size + 1,
            0..=5 => size,
            _ => size.saturating_sub(1 + usize::from(self.chance.percent(30))),
        }
    }

    /// What may tie into a run that has a service.
    fn service_on(&mut self, parent: &'static str) -> &'static str {
        if parent == "vent" || self.chance.percent(25) { "vent" } else { "drain" }
    }

    /// A run that ties in at a bearing.
    fn ties(&mut self, at: Option<usize>, service: &str) -> Begins {
        match at {
            Some(UP | DOWN) if self.chance.percent(20) => Begins::Upright,
            Some(UP | DOWN) | None if self.chance.percent(50) => {
                Begins::Level(Some(usize::try_from(self.chance.below(8)).unwrap_or(0)))
            }
            Some(UP | DOWN) => Begins::Level(None),
            Some(_) | None if self.chance.percent(40) => Begins::Upright,
            Some(_) | None if self.chance.percent(25) => Begins::Level(None),
            Some(level) => {
                let angles: &[usize] = if service == "vent" { &[1, 2, 3, 5, 6, 7] } else { &[1, 2, 6, 7] };
                Begins::Level(Some(round(level, *self.chance.pick(angles))))
            }
            None => Begins::Level(None),
        }
    }

    /// One run, or two opposite each other, between the ends of another.
    fn inside(&mut self, parent: usize) {
        let of_parent = self.pipes[parent].clone();
        let at = match self.chance.below(12) {
            0 | 1 if !of_parent.taps.is_empty() => *self.chance.pick(&of_parent.taps),
            2 if of_parent.legs.len() > 1 => of_parent.legs[0].1,
            _ => self.chance.from(1, of_parent.length - 1),
        };
        self.pipes[parent].taps.push(at);
        let bearing = of_parent.bearing_at(at);
        let written = self.at_text(&of_parent, at);
        let service = self.service_on(of_parent.service);
        if bearing == Some(UP) && self.chance.percent(30) {
            let size = self.smaller("drain", of_parent.size);
            let size = size.min(of_parent.size);
            self.pair(parent, service, size, Some(&written));
            return;
        }
        let begins = self.ties(bearing, service);
        let size = self.smaller(service, of_parent.size);
        let mut tee = "";
        if self.chance.percent(12) {
            tee =
                *self.chance.pick(&["wye", "wye", "combination", "sanitary tee", "two-way cleanout", "bull"]);
        }
        self.child(parent, service, size, begins, Some(&written), tee);
    }

    /// A distance along a run as people write it; now and then into a leg.
    pub(super) fn at_text(&mut self, parent: &Pipe, at: i64) -> String {
        let mut begins = 0;
        for (index, (bearing, length)) in parent.legs.iter().enumerate() {
            let is_last = parent.legs[index + 1..].iter().all(|(other, _)| other != bearing);
            if is_last && at > begins && at <= begins + length && self.chance.percent(50) {
                return format!("{} {}", BEARINGS[*bearing][0], self.length_text(at - begins));
            }
            begins += length;
        }
        self.length_text(at)
    }

    /// Two level runs opposite each other, by their bearings or without any.
    fn pair(&mut self, parent: usize, service: &'static str, size: usize, at: Option<&str>) {
        let one = usize::try_from(self.chance.below(8)).unwrap_or(0);
        let (one, other) = match self.chance.below(5) {
            0..=1 => (Some(one), Some(round(one, 4))),
            // Not opposite each other.
            2 => (Some(one), Some(round(one, 2))),
            _ => (None, None),
        };
        let other_service = if self.chance.percent(85) { service } else { self.service_on(service) };
        self.child(parent, service, size, Begins::Level(one), at, "");
        self.child(parent, other_service, size, Begins::Level(other), at, "");
    }

    /// What goes on from the end of a run: straight, in another bearing, or with one or two that tie in there.
    fn at_its_end(&mut self, parent: usize) {
        self.pipes[parent].end_is_taken = true;
        let of_parent = self.pipes[parent].clone();
        let bearing = of_parent.end_bearing();
        let service = self.service_on(of_parent.service);
        let size = self.smaller(service, of_parent.end_size);
        let straight = match bearing {
            Some(UP | DOWN) => Begins::Upright,
            Some(_) if self.chance.percent(30) => Begins::Level(None),
            other => Begins::Level(other),
        };
        match self.chance.below(10) {
            0..=3 => self.child(parent, service, size, straight, None, ""),
            4..=6 => {
                let begins = self.ties(bearing, "drain");
                self.child(parent, service, size, begins, None, "");
            }
            7 | 8 => {
                self.child(parent, service, size, straight, None, "");
                let service = self.service_on(of_parent.service);
                let size = self.smaller(service, of_parent.end_size);
                let begins = self.ties(bearing, service);
                let tee = if self.chance.percent(15) { "wye" } else { "" };
                self.child(parent, service, size, begins, None, tee);
            }
            _ => {
                self.child(parent, service, size, straight, None, "");
                if bearing == Some(UP) && of_parent.service == "drain" {
                    let one = self.chance.percent(50).then_some(2);
                    let size = self.smaller("drain", of_parent.end_size).min(of_parent.end_size);
                    let other = one.map(|one| round(one, 4));
                    self.child(parent, "drain", size, Begins::Level(one), None, "");
                    self.child(parent, "drain", size, Begins::Level(other), None, "");
                }
            }
        }
    }

    /// A run that ties into another, with what stands at its end.
    fn child(
        &mut self,
        parent: usize,
        service: &'static str,
        size: usize,
        begins: Begins,
        at: Option<&str>,
        tee: &str,
    ) {
        let phase = self.later_phase(self.pipes[parent].phase);
        let (mut row, pipe) = self.pipe(service, size, begins, phase);
        let name = self.pipes[parent].name.clone();
        row.insert("joins", self.said(&name));
        if let Some(at) = at {
            row.insert("at", at.to_owned());
        }
        if !tee.is_empty() {
            row.insert("tee", tee.to_owned());
        }
        self.finish(row, pipe, Vec::new());
    }
}
