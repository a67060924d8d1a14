//! What the engine counts, and what the naive counter counts, in the same words, and where they differ.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Debug;

use coilstick::estimate::TakenOff;
use coilstick::estimate::sizes_text;
use coilstick::estimate::take_off;
use coilstick::estimate::takeoff::{self, Takeoff};
use coilstick::estimate::{ItemId, Items};
use coilstick::trade::Job;
use rust_decimal::Decimal;

use crate::build::{EndMet, EndSeen};
use crate::made::Shape;
use crate::meetings::RunEnd;
use crate::total::{Count, Key, TubeKey};
use crate::world::{JointKind, World};

/// One alternative in words.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct Tally {
    lines: BTreeMap<Key, Decimal>,
    /// Pieces as they are cut: tube, first run, nanometres.
    pieces: BTreeMap<(TubeKey, String, i64), i64>,
    /// Tube ends in sockets and nuts, by system and size.
    joints: BTreeMap<(String, String), i64>,
    ends: BTreeMap<(String, RunEnd, EndMet, String, &'static str, u8), i64>,
    left_out: BTreeSet<String>,
    bends: i64,
    incomplete: bool,
}

/// A difference: what kind of thing, and what both counted of it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Difference {
    pub(crate) kind: String,
    pub(crate) text: String,
}

/// Counts a job with the engine.
pub(crate) fn by_engine(job: &Job) -> Vec<Tally> {
    let taken = take_off(job);
    taken.takeoffs.iter().map(|takeoff| of_takeoff(job, &taken, takeoff)).collect()
}

fn of_takeoff(job: &Job, taken: &TakenOff, takeoff: &Takeoff) -> Tally {
    let lexicon = &job.lexicon;
    let run_name = |run: coilstick::estimate::RunId| job.runs[run.index()].name.to_string();
    let mut tally =
        Tally { bends: takeoff.bends, incomplete: !takeoff.missing.is_empty(), ..Tally::default() };
    for line in &takeoff.lines {
        let item = taken.items.get(line.item);
        let (system, size, variant) = item_words(job, &taken.items, line.item);
        let quantity = match line.joint {
            None => Decimal::from(line.count),
            Some(row) => {
                let row = &job.catalog.joints[row as usize];
                Decimal::from(line.count) * row.amount / Decimal::from(row.per)
            }
        };
        let unit = if item.is_length() { "nm" } else { lexicon.text(item.unit) };
        let key = Key {
            phase: line.phase,
            service: line.service.map_or("", |service| service.word()),
            area: lexicon.text(line.area).to_owned(),
            system,
            part: job.catalog.part(item.part).name.to_string(),
            size,
            variant,
            unit: unit.to_owned(),
        };
        *tally.lines.entry(key).or_default() += quantity;
    }
    for piece in &takeoff.pieces {
        let key = (item_words(job, &taken.items, piece.item), run_name(piece.run), piece.length.nanometres());
        *tally.pieces.entry(key).or_default() += i64::from(piece.copies);
    }
    for balance in &takeoff.balance {
        let system = lexicon.text(job.catalog.system(balance.system).name).to_owned();
        let joints = tally.joints.entry((system, lexicon.text(balance.size).to_owned())).or_default();
        // What a coupled seam fills is no joint in a socket; the second count has it as one that fills two ends.
        *joints += balance.filled + balance.coupled + balance.declared;
    }
    for end in &takeoff.ends {
        let which = match end.end {
            coilstick::estimate::RunEnd::Start => RunEnd::Start,
            coilstick::estimate::RunEnd::End => RunEnd::End,
        };
        let met = match end.met {
            takeoff::EndMet::OnSite => EndMet::OnSite,
            takeoff::EndMet::Elsewhere => EndMet::Elsewhere,
            takeoff::EndMet::Capped => EndMet::Capped,
            // One that stays so is listed as met on site too.
            takeoff::EndMet::Plugged => continue,
        };
        let size = lexicon.text(end.size).to_owned();
        let key = (run_name(end.run), which, met, size, end.service.word(), end.phase as u8);
        *tally.ends.entry(key).or_default() += i64::from(end.copies);
    }
    tally.left_out = taken.left_out.iter().map(|left| run_name(left.run)).collect();
    tally.without_nothing()
}

/// An item in words: system, sizes, variant and color.
fn item_words(job: &Job, items: &Items, id: ItemId) -> TubeKey {
    let item = items.get(id);
    let system = item.system.map_or("", |system| job.lexicon.text(job.catalog.system(system).name));
    let variant = [job.lexicon.text(item.variant), item.color.word()];
    let variant: Vec<&str> = variant.into_iter().filter(|word| !word.is_empty()).collect();
    (system.to_owned(), sizes_text(&job.lexicon, item.sizes.as_slice()), variant.join(" "))
}

/// The naive count in the words of both.
pub(crate) fn by_naive(job: &Job, count: &Count, world: &World) -> Tally {
    let mut tally = Tally {
        lines: count.lines.clone(),
        pieces: count.cut.clone(),
        joints: count.joints.clone(),
        bends: count.bends,
        left_out: count.left_out.iter().map(|(run, _)| run.clone()).collect(),
        incomplete: !count.missing.is_empty() || count.row_left_out,
        ..Tally::default()
    };
    for joint in world.joints.iter().filter(|joint| joint.kind == JointKind::Compression) {
        let Some((a, b)) = joint.between else { continue };
        for shape in [world.mouth(a).shape, world.mouth(b).shape] {
            if let Shape::TubeEnd(system) = shape {
                let system = job.lexicon.text(job.catalog.system(system).name).to_owned();
                let size = job.lexicon.text(joint.size).to_owned();
                *tally.joints.entry((system, size)).or_default() += joint.tag.copies;
            }
        }
    }
    for EndSeen { run, end, met, size, service, phase, copies } in &count.ends {
        let key = (run.clone(), *end, *met, size.clone(), *service, *phase as u8);
        *tally.ends.entry(key).or_default() += copies;
    }
    tally.without_nothing()
}

impl Tally {
    /// What is counted no times is not there. A pint a joint of 75 is no decimal: beyond 20 places the order of sums shows.
    fn without_nothing(mut self) -> Self {
        self.lines.values_mut().for_each(|quantity| *quantity = quantity.round_dp(20));
        self.lines.retain(|_, quantity| !quantity.is_zero());
        self.pieces.retain(|_, pieces| *pieces != 0);
        self.joints.retain(|_, joints| *joints != 0);
        self.ends.retain(|_, ends| *ends != 0);
        self
    }

    /// Where another tally differs. Where different runs are left out nothing else can be compared.
    pub(crate) fn differences(&self, other: &Self) -> Vec<Difference> {
        if self.left_out != other.left_out {
            let text = format!("left out: {:?} against {:?}", self.left_out, other.left_out);
            return vec![Difference { kind: "left out".to_owned(), text }];
        }
        let mut found = Vec::new();
        unlike("", &self.lines, &other.lines, |key| key.part.clone(), &mut found);
        unlike("piece", &self.pieces, &other.pieces, |_| String::new(), &mut found);
        unlike("joint", &self.joints, &other.joints, |_| String::new(), &mut found);
        unlike("end", &self.ends, &other.ends, |key| format!("{:?}", key.2), &mut found);
        let numbers = BTreeMap::from([("bends", self.bends), ("incomplete", i64::from(self.incomplete))]);
        let others = BTreeMap::from([("bends", other.bends), ("incomplete", i64::from(other.incomplete))]);
        unlike("", &numbers, &others, |key| (*key).to_owned(), &mut found);
        found
    }
}

/// Puts down every key that two maps say different things of.
fn unlike<K: Ord + Debug, V: PartialEq + Debug>(
    what: &str,
    ours: &BTreeMap<K, V>,
    theirs: &BTreeMap<K, V>,
    kind: impl Fn(&K) -> String,
    found: &mut Vec<Difference>,
) {
    let keys: BTreeSet<&K> = ours.keys().chain(theirs.keys()).collect();
    for key in keys.into_iter().filter(|key| ours.get(key) != theirs.get(key)) {
        let text = format!("{what} {key:?}: {:?} against {:?}", ours.get(key), theirs.get(key));
        found.push(Difference { kind: format!("{what} {}", kind(key)).trim().to_owned(), text });
    }
}
