//! Where drawn drains and vents end: at fixtures, at the roof, in another vent, or nowhere.

use std::collections::BTreeMap;

use super::House;
use super::drains::{DOWN, Pipe, UP, round};

impl House {
    /// Where the run ends, and by which patterns it is built.
    pub(super) fn finish(
        &mut self,
        mut row: BTreeMap<&'static str, String>,
        mut pipe: Pipe,
        mut patterns: Vec<&'static str>,
    ) {
        if pipe.service == "vent" {
            self.end_of_vent(&mut row, &mut pipe, &mut patterns);
        } else {
            self.end_of_drain(&mut row, &mut pipe, &mut patterns);
            if pipe.upright && self.chance.percent(20) {
                patterns.push("stack cleanout");
            }
        }
        if !patterns.is_empty() {
            row.insert("pattern", patterns.join("; "));
        }
        self.rows.push(row);
        self.pipes.push(pipe);
    }

    fn end_of_drain(
        &mut self,
        row: &mut BTreeMap<&'static str, String>,
        pipe: &mut Pipe,
        patterns: &mut Vec<&'static str>,
    ) {
        const FIXTURES: [&str; 14] = [
            "lavatory drain",
            "sink drain",
            "laundry tub drain",
            "tub drain",
            "shower stall drain",
            "washer drain",
            "toilet drain",
            "toilet riser",
            "floor drain",
            "condensate receptor",
            "cleanout",
            "bare trap",
            "late trap",
            "wide floor drain",
        ];
        if self.chance.percent(45) {
            return;
        }
        pipe.end_is_taken = true;
        let pattern = *self.chance.pick(&FIXTURES);
        patterns.push(pattern);
        let washer = self.washers.iter().position(|(_, has_drain)| !has_drain);
        if pattern == "washer drain"
            && let Some(index) = washer
        {
            self.washers[index].1 = true;
            let place = self.washers[index].0.clone();
            row.insert("to", self.said(&place));
        } else if self.chance.percent(80) || pattern == "washer drain" {
            let place = self.name('F');
            row.insert("to", format!("fixture {place}"));
        }
    }

    fn end_of_vent(
        &mut self,
        row: &mut BTreeMap<&'static str, String>,
        pipe: &mut Pipe,
        patterns: &mut Vec<&'static str>,
    ) {
        match self.chance.below(10) {
            0..=3 => {
                pipe.end_is_taken = true;
                row.insert("to", (*self.chance.pick(&["roof", "Roof"])).to_owned());
                if self.chance.percent(20) {
                    patterns.push("vent through roof");
                }
            }
            4 | 5 => self.tie_back(row, pipe),
            6 => {
                pipe.end_is_taken = true;
                patterns.push("air admittance valve");
            }
            _ => {}
        }
    }

    /// The end of a vent in another vent.
    fn tie_back(&mut self, row: &mut BTreeMap<&'static str, String>, pipe: &mut Pipe) {
        let vents: Vec<usize> =
            (0..self.pipes.len()).filter(|one| self.pipes[*one].service == "vent").collect();
        if vents.is_empty() {
            return;
        }
        let into = *self.chance.pick(&vents);
        let other = self.pipes[into].clone();
        let at = self.chance.from(1, other.length - 1);
        let sound = match (other.bearing_at(at), pipe.end_bearing()) {
            (Some(UP | DOWN), Some(UP | DOWN)) => self.chance.percent(30),
            (Some(UP | DOWN) | None, _) | (_, Some(UP | DOWN) | None) => true,
            (Some(there), Some(comes)) => ![0, 4].contains(&round(there + 8 - round(comes, 4), 0)),
        };
        if !sound || other.phase > pipe.phase {
            return;
        }
        pipe.end_is_taken = true;
        self.pipes[into].taps.push(at);
        row.insert("to", self.said(&other.name));
        row.insert("to at", self.at_text(&other, at));
    }
}
