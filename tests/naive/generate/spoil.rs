//! Rows made wrong in the ways people do.

use super::House;

impl House {
    /// Makes a row wrong, now and then with another one.
    pub(super) fn spoil(&mut self, row: usize) {
        let other = self.any_row(|_| true).unwrap_or(0);
        let other_name = self.cell(other, "run");
        if !self.drain_systems.is_empty() && self.chance.percent(50) {
            self.spoil_a_drain(row);
            return;
        }
        match self.chance.below(24) {
            0 => self.put(row, "joins", "nowhere at all"),
            1 => self.put(row, "at", "900 ft"),
            2 => self.put(row, "at", "-1 ft"),
            3 => self.put(row, "run", &other_name),
            4 => self.put(row, "joins", &other_name),
            5 => self.put(row, "pattern", "no such pattern"),
            6 => self.put(row, "system", "no such system"),
            7 => self.put(row, "count", "2"),
            8 => self.put(row, "count", "0"),
            9 => self.put(row, "to", &other_name),
            10 => self.put(row, "tail", "1 ft"),
            11 => self.put(row, "to at", "1 ft"),
            12 => self.put(row, "no joint", "yes"),
            13 => self.put(row, "length", "nine"),
            14 => self.put(row, "size", "7/16"),
            15 => self.put(row, "tee", "bull"),
            16 => self.put(row, "turns with elbow", "40"),
            17 => self.put(row, "rise", "900 ft"),
            18 => self.joins_the_end_of(row, |row| row.contains_key("to")),
            19 => self
                .joins_the_end_of(row, |row| row.get("service").is_some_and(|service| service == "return")),
            20 => self.three_at_one_end(),
            21 | 22 => {
                // A number of trunks that others join.
                if let Some(trunk) =
                    self.any_row(|row| !row.contains_key("joins") && !row.contains_key("pattern"))
                {
                    let count = if self.chance.percent(50) { "0" } else { "3" };
                    self.put(trunk, "count", count);
                }
            }
            _ => self.crowded(row),
        }
    }

    /// Makes a row of the drain side wrong, in the ways that only such rows can be.
    fn spoil_a_drain(&mut self, row: usize) {
        let is_of = |service: &'static str| {
            move |row: &std::collections::BTreeMap<&'static str, String>| {
                row.get("service").is_some_and(|one| one == service)
            }
        };
        let (drain, vent) = (self.any_row(is_of("drain")), self.any_row(is_of("vent")));
        let drain_name = drain.map(|drain| self.cell(drain, "run")).unwrap_or_default();
        let vent_name = vent.map(|vent| self.cell(vent, "run")).unwrap_or_default();
        match self.chance.below(9) {
            0 => self.put(row, "rise", "7 in"),
            1 => self.put(row, "path", "N 4; S 2"),
            2 => self.put(row, "path", "E 4; down 2"),
            3 => self.put(row, "size", "4"),
            4 => self.put(row, "joins", &vent_name),
            5 => self.put(row, "to", &drain_name),
            6 => self.put(row, "at", "up 90"),
            7 => self.put(row, "turns", "9"),
            _ => self.put(row, "joins", &drain_name),
        }
    }

    fn put(&mut self, row: usize, column: &'static str, text: &str) {
        if let Some(cells) = self.rows.get_mut(row) {
            cells.insert(column, text.to_owned());
        }
    }

    fn cell(&self, row: usize, column: &'static str) -> String {
        self.rows.get(row).and_then(|cells| cells.get(column)).cloned().unwrap_or_default()
    }

    fn any_row(
        &mut self,
        fits: impl Fn(&std::collections::BTreeMap<&'static str, String>) -> bool,
    ) -> Option<usize> {
        let rows: Vec<usize> = (0..self.rows.len()).filter(|row| fits(&self.rows[*row])).collect();
        if rows.is_empty() { None } else { Some(*self.chance.pick(&rows)) }
    }

    /// A run joins the end of one that has no room there: it ends at a place, or is a return.
    fn joins_the_end_of(
        &mut self,
        row: usize,
        fits: impl Fn(&std::collections::BTreeMap<&'static str, String>) -> bool,
    ) {
        if let Some(parent) = self.any_row(fits).filter(|parent| *parent != row) {
            let name = self.cell(parent, "run");
            self.put(row, "joins", &name);
            self.rows[row].remove("at");
        }
    }

    /// Three runs join the end of one that ends nowhere.
    fn three_at_one_end(&mut self) {
        let Some(parent) = self.any_row(|row| !row.contains_key("to") && !row.contains_key("count")) else {
            return;
        };
        let name = self.cell(parent, "run");
        for _ in 0..3 {
            let letter = 'C';
            let child = self.name(letter);
            let (row, _) = self.body("cold", 1, 960, &child);
            self.rows.push(row);
            let row = self.rows.len() - 1;
            self.put(row, "joins", &name);
        }
    }

    /// A run too short for what stands on it.
    fn crowded(&mut self, row: usize) {
        self.put(row, "length", "3 in");
        self.put(row, "turns", "4");
        self.put(row, "turns with elbow", "4");
        self.put(row, "pattern", "two valves");
        for column in ["turns at", "rise", "no joint", "path"] {
            self.rows[row].remove(column);
        }
    }
}
