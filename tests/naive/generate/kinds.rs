//! The kinds of runs that a generated house draws: trunks, branches, runs to and from places, returns, runs that stand
//! alone, manifolds. Each adds its rows to the house; what they count to is not known here.

use std::collections::BTreeMap;

use super::{Drawn, House, SIZES, Site};

impl House {
    pub(super) fn trunk(&mut self) {
        let service = if self.chance.percent(80) { "cold" } else { "hot" };
        let name = self.name(if service == "cold" { 'C' } else { 'H' });
        let (size, length) = (usize::try_from(self.chance.from(1, 3)).unwrap_or(1), self.length());
        let (mut row, drawn) = self.body(service, size, length, &name);
        match self.chance.below(10) {
            0..=4 => {
                row.insert("joins", "main".to_owned());
            }
            5 => {
                row.insert("joins", "street".to_owned());
                row.insert("fixture", "meter".to_owned());
                if self.chance.percent(60) {
                    self.patterns(&mut row, &["existing service"]);
                }
            }
            _ => {}
        }
        if !row.contains_key("pattern") && !row.contains_key("no joint") {
            self.patterns(&mut row, &[]);
        }
        self.rows.push(row);
        self.drawn.push(drawn);
    }

    /// Where on a drawn run something ties in; nothing where it has no room.
    pub(super) fn spot(&mut self, parent: usize) -> Option<(Option<i64>, usize)> {
        let run = self.drawn[parent].clone();
        let end = run.end_room > 0 && (!run.taps || self.chance.percent(35));
        if end {
            self.drawn[parent].end_room -= 1;
            let at = self.chance.percent(10).then_some(run.length);
            return Some((at, run.end_size));
        }
        if !run.taps || run.length < 8 {
            return None;
        }
        let at = match self.chance.below(12) {
            0 | 1 if !run.taken.is_empty() => *self.chance.pick(&run.taken),
            2 => run.length - self.chance.from(1, 7),
            3 => self.chance.from(1, 40).min(run.length - 1),
            _ => self.chance.from(1, run.length - 1),
        };
        self.drawn[parent].taken.push(at);
        Some((Some(at), run.size))
    }

    pub(super) fn branch(&mut self) {
        let parent = usize::try_from(self.chance.below(self.drawn.len() as u64)).unwrap_or(0);
        let Some((at, from)) = self.spot(parent) else { return };
        let parent_run = self.drawn[parent].clone();
        let service = match parent_run.service {
            "return" => "hot",
            other if self.chance.percent(97) => other,
            _ => "cold",
        };
        let letter = match service {
            "cold" => 'C',
            "hot" => 'H',
            _ => 'M',
        };
        let name = self.name(letter);
        let (size, length) = (self.child_size(from), self.length());
        let (mut row, mut drawn) = self.body(service, size, length, &name);
        let said = self.said(&parent_run.name);
        row.insert("joins", said);
        if let Some(at) = at {
            let text = self.length_text(at);
            row.insert("at", text);
        } else if self.chance.percent(12) {
            row.insert("tee", "bull".to_owned());
        }
        let own = self.destination(&mut row, &mut drawn);
        if !row.contains_key("no joint") {
            self.patterns(&mut row, &own);
        } else if !own.is_empty() {
            row.insert("pattern", own.join("; "));
        }
        self.rows.push(row);
        self.drawn.push(drawn);
    }

    /// Where a run goes, if anywhere, and by which pattern it is built there.
    pub(super) fn destination(
        &mut self,
        row: &mut BTreeMap<&'static str, String>,
        drawn: &mut Drawn,
    ) -> Vec<&'static str> {
        match self.chance.below(20) {
            0..=7 => Vec::new(),
            8 => {
                const SHUT: [&str; 6] = [
                    "temporary cap",
                    "temporary cap",
                    "shut both",
                    "shut start",
                    "early elbow",
                    "street start",
                ];
                vec![*self.chance.pick(&SHUT)]
            }
            9..=11 => {
                drawn.end_room = 0;
                let name = self.name('L');
                row.insert("to", format!("lavatory {name}"));
                const OWN: [&str; 18] = [
                    "fixture supply",
                    "fixture supply",
                    "long stub",
                    "male end",
                    "female end",
                    "open elbow",
                    "street end",
                    "late bibb",
                    "late stop",
                    "stub and two",
                    "hose bibb",
                    "late male",
                    "late tail",
                    "twice late",
                    "small stop",
                    "nipple end",
                    "drained start",
                    "tub spout",
                ];
                vec![*self.chance.pick(&OWN)]
            }
            12 => {
                vec![*self.chance.pick(&["fixture supply", "male end", "late stop", "tie-in", "small end"])]
            }
            _ => self.site(row, drawn),
        }
    }

    /// A place that has room for the service, or a new one.
    pub(super) fn site(
        &mut self,
        row: &mut BTreeMap<&'static str, String>,
        drawn: &mut Drawn,
    ) -> Vec<&'static str> {
        drawn.end_room = 0;
        let open = self.places.iter().position(|site| site.ends.contains(&drawn.service));
        if let Some(index) = open.filter(|_| self.chance.percent(70)) {
            let site = &mut self.places[index];
            site.ends.retain(|service| *service != drawn.service);
            let (name, pattern) = (site.name.clone(), site.pattern);
            let said = self.said(&name);
            row.insert("to", said);
            return if self.chance.percent(80) { vec![pattern] } else { Vec::new() };
        }
        let all = [
            ("washer", "half washer", &["hot", "cold"][..], &[][..]),
            ("washer", "washer box", &["hot", "cold"], &[]),
            ("washer", "late washer", &["hot", "cold"], &[]),
            ("washer", "temporary and box", &["hot", "cold"], &[]),
            ("sink", "temporary and copper", &["hot", "cold"], &[]),
            ("washer", "two boxes", &["hot", "cold", "hot", "cold"], &[]),
            ("shower", "half shower", &["hot", "cold"], &["mixed", "mixed"]),
            ("heater", "tank heater", &["cold"], &["hot"]),
            ("heater", "tankless heater", &["cold"], &["hot"]),
            ("sink", "threaded sink", &["hot", "cold"], &[]),
            ("old main", "tie-in", &["hot", "cold"], &[]),
            ("corner", "nothing", &["hot", "cold"], &["hot", "cold"]),
            ("mixer", "mixing valve", &["hot", "cold"], &["mixed"]),
            ("loop", "loop heater", &["cold"], &["hot"]),
            ("bath box", "bath box", &["hot", "cold"], &[]),
        ];
        let (word, pattern, ends, begins) = *self.chance.pick(&all);
        let name = self.name('P');
        let name = format!("{word} {name}");
        row.insert("to", name.clone());
        let ends = ends.iter().copied().filter(|service| *service != drawn.service).collect();
        self.places.push(Site { name, pattern, ends, begins: begins.to_vec() });
        vec![pattern]
    }

    /// A run that begins at a place: hot at a heater, mixed at a valve.
    pub(super) fn beginning_at_a_place(&mut self) {
        let open: Vec<usize> =
            (0..self.places.len()).filter(|index| !self.places[*index].begins.is_empty()).collect();
        if open.is_empty() {
            self.branch();
            return;
        }
        let index = *self.chance.pick(&open);
        let Some(service) = self.places[index].begins.pop() else { return };
        let (place, pattern) = (self.places[index].name.clone(), self.places[index].pattern);
        let name = self.name(if service == "mixed" { 'M' } else { 'H' });
        let (size, length) = (usize::try_from(self.chance.from(1, 2)).unwrap_or(1), self.length());
        let (mut row, mut drawn) = self.body(service, size, length, &name);
        let said = self.said(&place);
        row.insert("joins", said);
        let mut own = if service == "mixed" && pattern != "mixing valve" {
            drawn.end_room = 0;
            vec![*self.chance.pick(&["shower riser", "tub spout"])]
        } else {
            self.destination(&mut row, &mut drawn)
        };
        // A heater's pattern is for its hot run too.
        if service == "hot" && self.chance.percent(70) && !own.contains(&pattern) {
            own.push(pattern);
        }
        row.insert("pattern", own.join("; "));
        if own.is_empty() {
            row.remove("pattern");
        }
        if row.contains_key("no joint") {
            row.remove("no joint");
        }
        self.rows.push(row);
        self.drawn.push(drawn);
    }

    /// A return from a hot run back to a hot run, a place or nowhere.
    pub(super) fn circulation(&mut self) {
        let hot: Vec<usize> =
            (0..self.drawn.len()).filter(|index| self.drawn[*index].service == "hot").collect();
        if hot.is_empty() {
            self.branch();
            return;
        }
        let from = *self.chance.pick(&hot);
        let Some((at, size)) = self.spot(from) else { return };
        let name = self.name('R');
        let (size, length) = (self.child_size(size), self.length());
        let (mut row, mut drawn) = self.body("return", size, length, &name);
        drawn.end_room = 0;
        let manifold = self.manifold_of("hot").filter(|_| self.chance.percent(35));
        let parent = self.drawn[from].name.clone();
        let said = self.said(manifold.as_ref().unwrap_or(&parent));
        row.insert("joins", said);
        if let Some(at) = at.filter(|_| manifold.is_none()) {
            let text = self.length_text(at);
            row.insert("at", text);
        }
        let to = *self.chance.pick(&hot);
        if self.chance.percent(60)
            && let Some((to_at, _)) = self.spot(to)
        {
            let name = self.drawn[to].name.clone();
            let said = self.said(&name);
            row.insert("to", said);
            if let Some(to_at) = to_at {
                let text = self.length_text(to_at);
                row.insert("to at", text);
            }
        } else if self.chance.percent(70) {
            let place = self.end_of_a_return();
            row.insert("to", place);
        }
        if !row.contains_key("no joint") {
            self.patterns(&mut row, &[]);
        }
        self.rows.push(row);
        self.drawn.push(drawn);
    }

    /// A run that stands alone, some of them several or none.
    pub(super) fn alone(&mut self) {
        let name = self.name('A');
        let (size, length) = (usize::try_from(self.chance.from(0, 3)).unwrap_or(1), self.length());
        let service = *self.chance.pick(&["cold", "hot", "mixed", "return"]);
        let (mut row, _) = self.body(service, size, length, &name);
        let count = self.chance.from(0, 4);
        if self.chance.percent(60) {
            row.insert("count", count.to_string());
        }
        let mut own = Vec::new();
        if self.chance.percent(50) {
            own.push(*self.chance.pick(&[
                "fixture supply",
                "long stub",
                "male end",
                "half washer",
                "late stop",
                "shut both",
                "labelled",
            ]));
        } else if count > 0 && self.chance.percent(30) {
            let name = self.name('P');
            row.insert("to", format!("bath {name}"));
            own.push(*self.chance.pick(&["half washer", "fixture supply", "labelled"]));
        }
        if !row.contains_key("no joint") {
            self.patterns(&mut row, &own);
        }
        self.rows.push(row);
    }

    /// A run whose fittings a person counted by eye.
    pub(super) fn counted(&mut self) {
        let name = self.name('A');
        let (size, length) = (usize::try_from(self.chance.from(1, 3)).unwrap_or(1), self.length() + 96);
        let (mut row, _) = self.body("cold", size, length, &name);
        let by_itself =
            ["turns", "turns with elbow", "turns at", "tail", "reduce to", "no joint", "offsets", "path"];
        for column in by_itself {
            row.remove(column);
        }
        for column in ["tees", "elbows", "couplings", "caps"] {
            if self.chance.percent(50) {
                row.insert(column, self.chance.from(0, 5).to_string());
            }
        }
        if self.chance.percent(30) {
            row.insert("reducers", self.chance.from(1, 2).to_string());
            row.insert("reduce to", SIZES[size - 1].to_owned());
        }
        if self.chance.percent(30) {
            row.insert("count", self.chance.from(1, 3).to_string());
        }
        row.insert("pattern", "counted".to_owned());
        self.rows.push(row);
    }

    /// A manifold with its supply and its runs, now and then more than it has ports.
    pub(super) fn manifold(&mut self) {
        let parent = usize::try_from(self.chance.below(self.drawn.len() as u64)).unwrap_or(0);
        let Some((at, size)) = self.spot(parent) else { return };
        let service = if self.drawn[parent].service == "return" { "hot" } else { self.drawn[parent].service };
        let place = self.name('P');
        let place = format!("manifold {place}");
        let name = self.name(if service == "cold" { 'C' } else { 'H' });
        let length = self.length();
        let (mut row, mut drawn) = self.body(service, size, length, &name);
        drawn.end_room = 0;
        let parent_name = self.drawn[parent].name.clone();
        row.insert("joins", parent_name);
        if let Some(at) = at {
            let text = self.length_text(at);
            row.insert("at", text);
        }
        row.insert("to", place.clone());
        const KINDS: [&str; 6] =
            ["manifold", "manifold", "manifold", "threaded manifold", "sized manifold", "blind manifold"];
        let kind = *self.chance.pick(&KINDS);
        row.insert("pattern", kind.to_owned());
        row.remove("no joint");
        self.manifolds.push((place.clone(), service));
        self.places.push(Site { name: place.clone(), pattern: kind, ends: Vec::new(), begins: Vec::new() });
        self.rows.push(row);
        self.drawn.push(drawn);
        let outlets = if self.chance.percent(12) { 5 } else { self.chance.from(1, 4) };
        for _ in 0..outlets {
            let name = self.name(if service == "cold" { 'C' } else { 'H' });
            let length = self.length();
            let size = if self.chance.percent(75) {
                1
            } else {
                usize::try_from(self.chance.from(0, 2)).unwrap_or(1)
            };
            let (mut row, mut drawn) = self.body(service, size, length, &name);
            row.insert("joins", place.clone());
            let own = self.destination(&mut row, &mut drawn);
            if !row.contains_key("no joint") {
                self.patterns(&mut row, &own);
            }
            self.rows.push(row);
            self.drawn.push(drawn);
        }
    }

    /// A manifold of a service, if there is one.
    fn manifold_of(&mut self, service: &str) -> Option<String> {
        let of_service: Vec<String> = self
            .manifolds
            .iter()
            .filter(|(_, one)| *one == service)
            .map(|(place, _)| place.clone())
            .collect();
        if of_service.is_empty() { None } else { Some(self.chance.pick(&of_service).clone()) }
    }

    /// Where a return ends that goes to no run: at a heater with an opening for it, at a manifold, or at a bare pump.
    fn end_of_a_return(&mut self) -> String {
        let heaters: Vec<String> = self
            .places
            .iter()
            .filter(|site| site.pattern == "loop heater")
            .map(|site| site.name.clone())
            .collect();
        if !heaters.is_empty() && self.chance.percent(60) {
            return self.chance.pick(&heaters).clone();
        }
        let service = if self.chance.percent(70) { "cold" } else { "hot" };
        if let Some(place) = self.manifold_of(service).filter(|_| self.chance.percent(40)) {
            return place;
        }
        let name = self.name('P');
        format!("pump {name}")
    }

    /// A path of a length that goes north, east or up: no run turns back from another one.
    pub(super) fn water_path(&mut self, row: &mut BTreeMap<&'static str, String>, length: i64) {
        let legs = self.chance.from(1, 4).min(length / 8).max(1);
        let (mut left, mut texts) = (length, Vec::new());
        for leg in 0..legs {
            let rest = legs - leg - 1;
            let long = if rest == 0 { left } else { self.chance.from(1, left - rest) };
            left -= long;
            let bearing = *self.chance.pick(&["N", "NE", "E", "up", "up"]);
            texts.push(format!("{bearing} {}", self.length_text(long)));
        }
        row.insert("path", texts.join("; "));
    }
}
