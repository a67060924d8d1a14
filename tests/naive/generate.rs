//! Random houses as CSV texts: trees of runs that meet in every way the rules know, most rows sound, some wrong on purpose.
//! One seed, one house. It draws rows; it does not know what they count to.

mod drain_ends;
mod drains;
mod kinds;
mod spoil;

use std::collections::BTreeMap;

use crate::chance::Chance;
use crate::tables;

/// The tables of a generated job by name.
pub(crate) type Texts = Vec<(&'static str, String)>;

/// How much a house holds that is wrong on purpose, in percent of its runs.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Wrong(pub(crate) u64);

const SIZES: [&str; 4] = ["3/8", "1/2", "3/4", "1"];
/// Sizes that all systems of drains come in.
const DRAIN_SIZES: [&str; 4] = ["1-1/2", "2", "3", "4"];

/// Rooms; one of them is none.
const AREAS: [&str; 4] = ["bath", "attic", "north wing", ""];

/// The further built-in systems.
const OTHER_SYSTEMS: [&str; 5] =
    ["pex-crimp", "pex-expansion", "copper-solder-m", "copper-press", "cpvc-cement"];

const COLUMNS: [&str; 31] = [
    "run",
    "service",
    "size",
    "length",
    "pattern",
    "joins",
    "at",
    "tee",
    "to",
    "to at",
    "reduce to",
    "tail",
    "turns",
    "turns with elbow",
    "turns at",
    "offsets",
    "rise",
    "lie",
    "fixture",
    "area",
    "count",
    "system",
    "variant",
    "phase",
    "no joint",
    "hooks",
    "tees",
    "elbows",
    "couplings",
    "reducers",
    "caps",
];

/// A run that was drawn, as the next ones see it.
#[derive(Debug, Clone)]
struct Drawn {
    name: String,
    service: &'static str,
    /// Index into [`SIZES`]: of the run, and of its end.
    size: usize,
    end_size: usize,
    /// In eighths of an inch.
    length: i64,
    /// How many more runs its end takes.
    end_room: u8,
    taps: bool,
    taken: Vec<i64>,
    phase: &'static str,
}

struct House {
    chance: Chance,
    rows: Vec<BTreeMap<&'static str, String>>,
    drawn: Vec<Drawn>,
    /// Places with what still fits: name, pattern, services that may come, services that may begin.
    places: Vec<Site>,
    crimp: bool,
    /// Whether runs of water are given paths.
    paths: bool,
    /// What is drawn of the drain side.
    pipes: Vec<drains::Pipe>,
    /// Washers that water runs go to, and whether one has its drain.
    washers: Vec<(String, bool)>,
    /// The systems of drains, that of the house first.
    drain_systems: Vec<&'static str>,
    /// Manifolds: the place, its service.
    manifolds: Vec<(String, &'static str)>,
    /// The systems of the house: the two usual ones, and sometimes others.
    systems: Vec<&'static str>,
    numbers: BTreeMap<char, i64>,
}

#[derive(Debug, Clone)]
struct Site {
    name: String,
    pattern: &'static str,
    ends: Vec<&'static str>,
    begins: Vec<&'static str>,
}

/// An empty house and its chance.
fn empty(seed: u64) -> House {
    let mut chance = Chance::new(seed);
    let crimp = chance.percent(25);
    // One draw is spent here, so that a seed keeps the house that it has had.
    chance.below(100);
    let mut systems = vec!["pex-clamp", "copper-solder"];
    if crimp {
        systems.push("pex-crimp");
    }
    while chance.percent(30) {
        let other = *chance.pick(&OTHER_SYSTEMS);
        if !systems.contains(&other) {
            systems.push(other);
        }
    }
    House {
        chance,
        rows: Vec::new(),
        drawn: Vec::new(),
        places: Vec::new(),
        crimp,
        paths: false,
        pipes: Vec::new(),
        washers: Vec::new(),
        drain_systems: Vec::new(),
        manifolds: Vec::new(),
        systems,
        numbers: BTreeMap::new(),
    }
}

/// Draws a house of water.
pub(crate) fn house(seed: u64, wrong: Wrong) -> Texts {
    let mut house = empty(seed);
    house.draw_runs(wrong, 22);
    house.texts()
}

/// Draws a house with drains and vents, most with some water beside them; its tables of the drain side are not among the
/// texts.
pub(crate) fn house_with_drains(seed: u64, wrong: Wrong) -> Texts {
    let mut house = empty(seed);
    house.paths = true;
    house.drain_systems = vec!["pvc-cement", "abs-cement", "iron-coupled"];
    let first = usize::try_from(house.chance.below(3)).unwrap_or(0);
    house.drain_systems.swap(0, first);
    if house.chance.percent(60) {
        house.draw_runs(Wrong(0), 8);
        let washers = house.places.iter().filter(|site| site.pattern == "washer box");
        house.washers = washers.map(|site| (site.name.clone(), false)).collect();
    }
    let runs = house.chance.from(2, 24);
    house.draw_drains(runs);
    house.spoil_some(wrong);
    house.texts()
}

impl House {
    /// The tables of the house.
    fn texts(&mut self) -> Texts {
        let mut patterns = tables::PATTERNS.to_owned();
        if !self.drain_systems.is_empty() {
            patterns.push_str(tables::DRAIN_PATTERNS);
        }
        let mut texts = vec![("runs", self.run_table()), ("patterns", patterns)];
        let mut parts = tables::PARTS.to_owned();
        let mut systems = tables::SYSTEM_HEADINGS.to_owned();
        let mut joints = tables::JOINT_HEADINGS.to_owned();
        if self.crimp {
            parts.push_str(tables::CRIMP_PARTS);
            systems.push_str(tables::CRIMP);
            joints.push_str(tables::CRIMP_JOINTS);
        }
        if self.chance.percent(20) {
            systems.push_str(tables::CLAMP_IN_STICKS);
        }
        texts.push(("parts", parts));
        texts.push(("joints", joints));
        texts.push(("systems", systems));
        texts.push(("job", self.job_table()));
        if self.chance.percent(35) {
            texts.push(("places", self.place_table()));
        }
        texts
    }
}

impl House {
    fn job_table(&mut self) -> String {
        let mut text = "item,value\n".to_owned();
        let systems = self.systems.clone();
        let first = *self.chance.pick(&systems);
        let others: Vec<&str> = systems.into_iter().filter(|one| *one != first).collect();
        let others = others.into_iter().chain(self.drain_systems.iter().skip(1).copied());
        let others: Vec<&str> = others.collect();
        text.push_str(&format!("water system,{first}\ncompare with,{}\n", others.join("; ")));
        if let Some(drains) = self.drain_systems.first() {
            text.push_str(&format!("drain system,{drains}\n"));
        }
        if self.chance.percent(20) {
            text.push_str("colors,no\n");
        }
        if self.chance.percent(20) {
            text.push_str("turns in plastic,elbow\n");
        }
        text
    }

    /// Places with a table of their own: some with a pattern, some that only say what they are, one that no run meets.
    fn place_table(&mut self) -> String {
        let mut rows = Vec::new();
        for site in self.places.clone() {
            if self.chance.percent(50) {
                let pattern = match site.pattern {
                    _ if self.chance.percent(40) => "",
                    "half washer" | "late washer" | "washer box" => "half washer",
                    "half shower" | "shower valve" => "half shower",
                    "tank heater" => "labelled",
                    other => other,
                };
                let area = *self.chance.pick(&AREAS);
                rows.push(format!("{},lavatory,{pattern},{area}\n", site.name));
            }
        }
        if self.chance.percent(30) {
            rows.push("spare box,,half washer,attic\n".to_owned());
        }
        self.chance.shuffle(&mut rows);
        format!("place,fixture,pattern,area\n{}", rows.concat())
    }

    fn run_table(&mut self) -> String {
        let mut rows = std::mem::take(&mut self.rows);
        self.chance.shuffle(&mut rows);
        let further: &[&str] = if self.drain_systems.is_empty() { &[] } else { &["path", "slope"] };
        let columns: Vec<&str> = COLUMNS.iter().chain(further).copied().collect();
        let mut text = columns.join(",") + "\n";
        for row in rows {
            let cells: Vec<String> = columns
                .iter()
                .map(|column| row.get(column).map_or_else(String::new, |cell| quoted(cell)))
                .collect();
            text.push_str(&cells.join(","));
            text.push('\n');
        }
        text
    }

    fn draw_runs(&mut self, wrong: Wrong, most: i64) {
        self.trunk();
        let runs = self.chance.from(2, most);
        for _ in 0..runs {
            match self.chance.below(100) {
                0..=2 => self.trunk(),
                3..=62 => self.branch(),
                63..=72 => self.beginning_at_a_place(),
                73..=82 => self.circulation(),
                83..=90 => self.alone(),
                91..=95 => self.counted(),
                _ => self.manifold(),
            }
        }
        self.spoil_some(wrong);
    }

    fn spoil_some(&mut self, wrong: Wrong) {
        let runs = self.rows.len();
        for row in 0..runs {
            if self.chance.percent(wrong.0) {
                self.spoil(row);
            }
        }
    }

    fn name(&mut self, letter: char) -> String {
        let step = self.chance.from(1, 3);
        let number = self.numbers.entry(letter).or_insert(0);
        *number += step;
        format!("{letter}{number}")
    }

    /// A name as another row may write it.
    fn said(&mut self, name: &str) -> String {
        match self.chance.below(10) {
            0 => name.to_lowercase(),
            1 => format!(" {name}  "),
            _ => name.to_owned(),
        }
    }

    /// A length in eighths of an inch as people write it.
    fn length_text(&mut self, eighths: i64) -> String {
        let sign = if eighths < 0 { "-" } else { "" };
        let eighths = eighths.abs();
        let (feet, rest) = (eighths / 96, eighths % 96);
        let (inches, part) = (rest / 8, rest % 8);
        match self.chance.below(3) {
            0 => format!("{sign}{}.{:03} in", eighths / 8, part * 125),
            1 if part > 0 => format!("{sign}{feet}' {inches} {part}/8\""),
            1 => format!("{sign}{feet} ft {inches} in"),
            _ => format!("{sign}{}/8 in", eighths),
        }
    }

    fn length(&mut self) -> i64 {
        match self.chance.below(20) {
            0 => self.chance.from(4, 96),
            1 => self.chance.from(24, 80) * 96,
            2..=6 => self.chance.from(1, 30) * 96,
            7..=9 => self.chance.from(12, 300) * 8,
            _ => self.chance.from(96, 2400),
        }
    }

    fn patterns(&mut self, row: &mut BTreeMap<&'static str, String>, own: &[&'static str]) {
        const SOME: [&str; 22] = [
            "bath valve",
            "valve at start",
            "valve at end",
            "valve inside",
            "valve before end",
            "two valves",
            "valve a tap",
            "regulated",
            "bare regulator",
            "drained",
            "hot valve",
            "copper union",
            "late valve",
            "early valve",
            "half a label",
            "plates",
            "guards",
            "hooked",
            "branch",
            "service entry",
            "nothing",
            "trunk",
        ];
        let mut list: Vec<&str> = own.to_vec();
        while self.chance.percent(25) {
            let one = *self.chance.pick(&SOME);
            if !list.contains(&one) {
                list.push(one);
            }
        }
        if !list.is_empty() {
            row.insert("pattern", list.join("; "));
        }
    }

    /// The cells that any run may have beside who it meets.
    fn body(
        &mut self,
        service: &'static str,
        size: usize,
        length: i64,
        name: &str,
    ) -> (BTreeMap<&'static str, String>, Drawn) {
        let mut row = BTreeMap::new();
        row.insert("run", name.to_owned());
        row.insert("service", service.to_owned());
        row.insert("size", SIZES[size].to_owned());
        if self.chance.percent(60) {
            row.insert("area", (*self.chance.pick(&AREAS)).to_owned());
        }
        row.insert("length", self.length_text(length));
        let mut drawn = Drawn {
            name: name.to_owned(),
            service,
            size,
            end_size: size,
            length,
            end_room: 2,
            taps: true,
            taken: Vec::new(),
            phase: "",
        };
        if self.paths && service != "return" && self.chance.percent(45) {
            self.water_path(&mut row, length);
        } else if self.chance.percent(45) {
            self.turns(&mut row, length);
        }
        if self.chance.percent(12) {
            row.insert("offsets", self.chance.from(1, 2).to_string());
        }
        if self.chance.percent(25) && !row.contains_key("path") {
            let rise = self.chance.from(0, length);
            let rise = if self.chance.percent(40) { -rise } else { rise };
            row.insert("rise", self.length_text(rise));
        }
        if self.chance.percent(12) {
            row.insert("lie", (*self.chance.pick(&["slab", "ground", "framing"])).to_owned());
        }
        if self.chance.percent(8) {
            drawn.phase = *self.chance.pick(&["underground", "rough-in", "tie-in", "tie-in", "trim"]);
            row.insert("phase", drawn.phase.to_owned());
        }
        if self.chance.percent(10) {
            row.insert("system", (*self.chance.pick(&self.systems)).to_owned());
        }
        if self.chance.percent(6) {
            row.insert("variant", "type M".to_owned());
        }
        if self.chance.percent(10) {
            row.insert("hooks", self.chance.from(0, 3).to_string());
        }
        if size > 0 && self.chance.percent(12) {
            let smaller =
                usize::try_from(self.chance.from(0, i64::try_from(size).unwrap_or(1) - 1)).unwrap_or(0);
            row.insert("reduce to", SIZES[smaller].to_owned());
            let tail = self.chance.from(2, 120) * 8;
            row.insert("tail", self.length_text(tail));
            drawn.end_size = smaller;
        }
        if self.chance.percent(4) && !row.contains_key("turns with elbow") && !row.contains_key("system") {
            row.insert("no joint", "yes".to_owned());
            drawn.taps = false;
        }
        (row, drawn)
    }

    fn turns(&mut self, row: &mut BTreeMap<&'static str, String>, length: i64) {
        let turns = self.chance.from(1, 4);
        row.insert("turns", turns.to_string());
        if self.chance.percent(20) {
            row.insert("turns with elbow", self.chance.from(0, turns).to_string());
        }
        if self.chance.percent(20) && length > 20 {
            let mut places: Vec<i64> = Vec::new();
            while i64::try_from(places.len()).unwrap_or(0) < turns {
                let place = self.chance.from(1, length - 1);
                // Two turns at one point are two turns, the second on the next free one.
                if !places.contains(&place) || self.chance.percent(30) {
                    places.push(place);
                }
                if self.chance.percent(10) && i64::try_from(places.len()).unwrap_or(0) < turns {
                    places.push(place);
                }
            }
            let texts: Vec<String> = places.into_iter().map(|place| self.length_text(place)).collect();
            row.insert("turns at", texts.join("; "));
        }
    }

    /// A size for what ties into another: mostly the same or smaller.
    fn child_size(&mut self, parent: usize) -> usize {
        match self.chance.below(20) {
            0 if parent + 1 < SIZES.len() => parent + 1,
            0..=8 => parent,
            _ => parent.saturating_sub(usize::from(self.chance.percent(80))),
        }
    }
}

fn quoted(cell: &str) -> String {
    if cell.contains([',', '"']) { format!("\"{}\"", cell.replace('"', "\"\"")) } else { cell.to_owned() }
}
