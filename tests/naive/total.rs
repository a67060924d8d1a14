//! Adds up what was built: items, pieces, joints, ends. Rules 11, 12, 13, 19 and 20 of counting, and the words in which
//! both counters say what they count.

use std::collections::{BTreeMap, BTreeSet};

use coilstick::ground::Length;
use coilstick::ground::money::round_up;
use coilstick::trade::{Class, Per, Phase, UsedAs, Word};
use rust_decimal::Decimal;

use crate::build::{Builder, EndSeen};
use crate::drains::{MEETINGS, is_drain_side};
use crate::judge::Judged;
use crate::layout::is_sized_by_tube;
use crate::made::{Made, Shape};
use crate::meetings::RunEnd;
use crate::places::is_port_of_drains;
use crate::supports::{add_support, supports};
use crate::view::{Stuff, View, begun};
use crate::world::{Joint, JointKind, Loose, MouthId, Tag, World};

/// What is counted, in words.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Key {
    pub(crate) phase: Phase,
    pub(crate) service: &'static str,
    pub(crate) area: String,
    pub(crate) system: String,
    pub(crate) part: String,
    pub(crate) size: String,
    pub(crate) variant: String,
    /// `nm` for tube, nothing for pieces, else the unit of the joints table.
    pub(crate) unit: String,
}

/// Tube in words: system, size, variant.
pub(crate) type TubeKey = (String, String, String);

/// The count of one alternative.
#[derive(Debug, Clone, Default)]
pub(crate) struct Count {
    pub(crate) lines: BTreeMap<Key, Decimal>,
    /// Pieces by length in nanometres, split by stock length.
    pub(crate) pieces: BTreeMap<TubeKey, BTreeMap<i64, i64>>,
    /// Pieces split by stock length, under their first run: tube, run, nanometres.
    pub(crate) cut: BTreeMap<(TubeKey, String, i64), i64>,
    /// Pieces as they lie, a piece across runs as one, under their first run: tube, run, nanometres.
    pub(crate) whole: BTreeMap<(TubeKey, String, i64), i64>,
    /// Joints of tube by system and size.
    pub(crate) joints: BTreeMap<(String, String), i64>,
    pub(crate) ends: Vec<EndSeen>,
    /// Runs left out, as first written, with why.
    pub(crate) left_out: BTreeSet<(String, &'static str)>,
    pub(crate) bends: i64,
    /// What no table has.
    pub(crate) missing: BTreeSet<String>,
    pub(crate) row_left_out: bool,
}

/// One piece of tube as it is cut: the run it is listed under, and its tubes.
#[derive(Debug, Clone)]
pub(crate) struct WholePiece {
    pub(crate) first: usize,
    pub(crate) stuff: Stuff,
    pub(crate) length: Length,
    pub(crate) tag: Tag,
    pub(crate) no_joint: bool,
}

/// Adds up one alternative.
pub(crate) fn total(builder: &mut Builder<'_>, judged: &Judged) -> Count {
    let pieces = whole_pieces(&builder.view, &builder.world);
    let mut count = Count { row_left_out: builder.row_left_out, ..Count::default() };
    split(builder, &pieces, &mut count);
    let view = builder.view;
    let world = &builder.world;
    for tube in &world.tubes {
        let quantity = Decimal::from(tube.length.nanometres()) * Decimal::from(tube.tag.copies);
        let (system, size, variant) = tube_words(&view, tube.stuff);
        count.add(&view, tube.tag, system, "tube".to_owned(), size, variant, "nm".to_owned(), quantity);
    }
    for fitting in &world.fittings {
        add_made(&view, &mut count, &fitting.made, fitting.tag, Decimal::ONE);
    }
    for loose in &world.loose {
        add_made(&view, &mut count, &loose.made, loose.tag, loose.quantity);
    }
    for joint in &world.joints {
        add_joint(&view, &mut count, joint);
    }
    for run in view.runs() {
        supports(&view, &mut count, run);
        count.bends += i64::from(view.bends(run)) * i64::from(view.run(run).copies());
    }
    count.ends = builder.seen.clone();
    count.ends.sort();
    count.left_out = judged.why.iter().map(|(run, why)| (view.run(*run).name.to_string(), *why)).collect();
    // A run counted 0 times adds nothing.
    count.lines.retain(|_, quantity| !quantity.is_zero());
    count.whole.retain(|_, pieces| *pieces != 0);
    count.joints.retain(|_, joints| *joints != 0);
    count.ends.retain(|end| end.copies != 0);
    for lengths in count.pieces.values_mut() {
        lengths.retain(|_, pieces| *pieces != 0);
    }
    count.pieces.retain(|_, lengths| !lengths.is_empty());
    count
}

impl Count {
    #[allow(clippy::too_many_arguments)] // one argument a column of what both counters say
    pub(crate) fn add(
        &mut self,
        view: &View<'_>,
        tag: Tag,
        system: String,
        part: String,
        size: String,
        variant: String,
        unit: String,
        quantity: Decimal,
    ) {
        let service = tag.service.map_or("", |service| service.word());
        let area = view.text(tag.area).to_owned();
        let key = Key { phase: tag.phase, service, area, system, part, size, variant, unit };
        *self.lines.entry(key).or_default() += quantity;
    }
}

pub(crate) fn tube_words(view: &View<'_>, stuff: Stuff) -> TubeKey {
    let variant = [view.text(stuff.variant), stuff.color]
        .iter()
        .filter(|one| !one.is_empty())
        .copied()
        .collect::<Vec<_>>();
    (
        view.text(view.system(stuff.system).name).to_owned(),
        view.text(stuff.size).to_owned(),
        variant.join(" "),
    )
}

/// A part, in words, and the supports that it asks for.
fn add_made(view: &View<'_>, count: &mut Count, made: &Made, tag: Tag, each: Decimal) {
    let Some(part) = made.part.map(|id| &view.job.catalog.parts[id.0 as usize]) else {
        count.missing.insert(made.what.clone());
        return;
    };
    let quantity = each * Decimal::from(tag.copies);
    if part.supports > 0 {
        let size = support_size(made);
        let supports = quantity * Decimal::from(part.supports);
        add_support(view, count, made.system, size, tag, supports);
    }
    if part.is_site() {
        return;
    }
    let of_system = made.openings.iter().enumerate().any(|(index, _)| {
        matches!(
            part.ports[index].fit,
            coilstick::trade::Fit::Joint(None)
                | coilstick::trade::Fit::TubeEnd(None)
                | coilstick::trade::Fit::ClosedTubeEnd
        )
    });
    let by_tube = made.openings.is_empty() && is_sized_by_tube(part.class);
    let system = if of_system || by_tube { view.text(view.system(made.system).name) } else { "" };
    let sizes: Vec<Word> = if !made.openings.is_empty() {
        // What is closed has no size; a part with ports of both sides is read in those of the water side.
        let is_of_water = made.openings.iter().any(|one| !is_port_of_drains(&one.name))
            && !tag.service.is_some_and(is_drain_side);
        let shown = |one: &&crate::made::Opening| {
            one.shape != Shape::Closed && !(is_of_water && is_port_of_drains(&one.name))
        };
        made.openings.iter().filter(shown).map(|one| one.size).collect()
    } else if by_tube && made.written.is_empty() {
        vec![made.stands_in]
    } else {
        made.written.clone()
    };
    let is_meeting = MEETINGS.iter().any(|used| view.is_used_as(part, used));
    let size = size_words(view, &sizes, is_meeting);
    let variant = view.text(part.variant).to_owned();
    count.add(view, tag, system.to_owned(), part.name.to_string(), size, variant, String::new(), quantity);
}

/// The size of the end that a part sits on: that of its first opening for tube, else where it stands.
fn support_size(made: &Made) -> Word {
    if !made.stands_in.is_empty() {
        return made.stands_in;
    }
    let tube = |shape: Shape| matches!(shape, Shape::Socket(_) | Shape::TubeEnd(_));
    made.openings.iter().find(|one| tube(one.shape)).map_or(Word::EMPTY, |one| one.size)
}

/// One size for a part of one size; beyond three openings each different size once. What runs meet in names the sizes that meet,
/// one for each opening (rule 3, and D9 of drains).
pub(crate) fn size_words(view: &View<'_>, sizes: &[Word], is_meeting: bool) -> String {
    let all_one = sizes.windows(2).all(|pair| pair[0] == pair[1]);
    let shown: Vec<Word> = if is_meeting {
        sizes.to_vec()
    } else if sizes.len() > 3 {
        let mut once = Vec::new();
        for size in sizes {
            if !once.contains(size) {
                once.push(*size);
            }
        }
        once
    } else if all_one {
        sizes.iter().copied().take(1).collect()
    } else {
        sizes.to_vec()
    };
    shown.iter().map(|size| view.text(*size)).collect::<Vec<_>>().join(" x ")
}

/// What a joint consumes, by the table `joints`: its own size's row before the row of all sizes.
fn add_joint(view: &View<'_>, count: &mut Count, joint: &Joint) {
    let Joint { kind, tube, size, tag, .. } = *joint;
    let (name, system) = match kind {
        JointKind::Of(system) => (view.text(view.system(system).joint), system),
        JointKind::Thread => ("thread", view.alternative.water),
        JointKind::Compression => return,
    };
    if let (JointKind::Of(_), Some(tube)) = (kind, tube) {
        let words = (view.text(view.system(tube).name).to_owned(), view.text(size).to_owned());
        *count.joints.entry(words).or_default() += tag.copies * joint.fills;
    }
    let rows = || view.job.catalog.joints.iter().filter(|row| view.text(row.joint) == name);
    for row in rows() {
        let own_row = |part: Word| rows().any(|other| other.part == part && other.size == size);
        let counts = row.size == size || (row.size.is_empty() && !own_row(row.part));
        if !counts {
            continue;
        }
        let Some(part) = view.part(row.part, Word::EMPTY, system) else {
            count.missing.insert(view.text(row.part).to_owned());
            continue;
        };
        let part = &view.job.catalog.parts[part.0 as usize];
        let quantity = row.amount * Decimal::from(tag.copies) / Decimal::from(row.per);
        let sized = part.class != Class::Consumable;
        let system = if sized { view.text(view.system(system).name).to_owned() } else { String::new() };
        let size = if sized { view.text(size).to_owned() } else { String::new() };
        let unit = if view.text(row.unit) == "each" { String::new() } else { view.text(row.unit).to_owned() };
        let variant = view.text(part.variant).to_owned();
        count.add(view, tag, system, part.name.to_string(), size, variant, unit, quantity);
    }
}

/// All pieces of tube, a piece across runs as one, under the run from which it is cut (rules 8, 11 and 22).
pub(crate) fn whole_pieces(view: &View<'_>, world: &World) -> Vec<WholePiece> {
    let owner: BTreeMap<MouthId, usize> = world
        .tubes
        .iter()
        .enumerate()
        .flat_map(|(index, tube)| tube.mouths.map(|mouth| (mouth, index)))
        .collect();
    let next =
        |tube: usize, side: usize| world.mouth(world.tubes[tube].mouths[side]).goes_on.map(|m| owner[&m]);
    let mut done: BTreeSet<usize> = BTreeSet::new();
    let mut pieces = Vec::new();
    for start in 0..world.tubes.len() {
        if !done.insert(start) {
            continue;
        }
        let mut members = vec![start];
        let mut walk = vec![start];
        while let Some(tube) = walk.pop() {
            for side in [0, 1] {
                if let Some(other) = next(tube, side)
                    && done.insert(other)
                {
                    members.push(other);
                    walk.push(other);
                }
            }
        }
        let first = first_run(view, world, &members);
        let first_tube = members.iter().find(|tube| world.tubes[**tube].run == first).expect("its own tube");
        let tag = world.tubes[*first_tube].tag;
        let nanometres = members.iter().map(|tube| world.tubes[*tube].length.nanometres()).sum();
        pieces.push(WholePiece {
            first,
            stuff: world.tubes[start].stuff,
            length: Length::from_nanometres(nanometres),
            tag,
            no_joint: world.tubes[start].no_joint,
        });
    }
    pieces
}

/// The first run of a piece: from a return up to the run that it joins, else to the run that it goes to; then up.
fn first_run(view: &View<'_>, world: &World, members: &[usize]) -> usize {
    let goes_on = |run: usize, end: RunEnd| {
        let tubes = members.iter().filter(|tube| world.tubes[**tube].run == run && world.tubes[**tube].along);
        let mouths: Vec<MouthId> = tubes.flat_map(|tube| world.tubes[*tube].mouths).collect();
        let parent = view.meetings.parent(run, end)?;
        // The seam toward the parent: a mouth of this run that goes on in a tube of the parent.
        let parents: Vec<MouthId> = members
            .iter()
            .filter(|tube| world.tubes[**tube].run == parent)
            .flat_map(|tube| world.tubes[*tube].mouths)
            .collect();
        let meets =
            mouths.iter().any(|one| world.mouth(*one).goes_on.is_some_and(|other| parents.contains(&other)));
        meets.then_some(parent)
    };
    let runs: BTreeSet<usize> = members.iter().map(|tube| world.tubes[*tube].run).collect();
    let mut first = runs
        .iter()
        .copied()
        .find(|run| goes_on(*run, RunEnd::End).is_some())
        .unwrap_or_else(|| *runs.first().expect("a piece has tube"));
    let mut steps = 0;
    while let Some(parent) = goes_on(first, RunEnd::Start).or_else(|| goes_on(first, RunEnd::End)) {
        first = parent;
        steps += 1;
        assert!(steps <= members.len() + 1, "runs of a piece join each other in a circle");
    }
    first
}

/// Splits what is longer than the stock length into whole lengths and a rest, and couples it (rule 11).
fn split(builder: &mut Builder<'_>, pieces: &[WholePiece], count: &mut Count) {
    let view = builder.view;
    for piece in pieces {
        let key = tube_words(&view, piece.stuff);
        let (length, copies) = (piece.length.nanometres(), piece.tag.copies);
        let first = view.run(piece.first).name.to_string();
        *count.whole.entry((key.clone(), first.clone(), length)).or_default() += copies;
        let mut cut = |length: i64, pieces: i64| {
            *count.cut.entry((key.clone(), first.clone(), length)).or_default() += pieces;
            *count.pieces.entry(key.clone()).or_default().entry(length).or_default() += pieces;
        };
        let stock = view.system(piece.stuff.system).stock_length.map(Length::nanometres);
        let stock = stock.filter(|stock| !piece.no_joint && *stock < length);
        let Some(stock) = stock else {
            cut(length, copies);
            continue;
        };
        cut(stock, length / stock * copies);
        if length % stock != 0 {
            cut(length % stock, copies);
        }
        let couplings = begun(piece.length, Length::from_nanometres(stock)) - 1;
        if view.seam_is_a_joint(piece.stuff.system) {
            for _ in 0..couplings {
                builder.world.split_by_joint(piece.stuff.system, piece.stuff.size, piece.tag);
            }
            continue;
        }
        let sizes = [piece.stuff.size; 2];
        let made = view.network_part(UsedAs::Coupling.word(), &sizes, piece.stuff.system);
        for _ in 0..couplings {
            let fitting = builder.world.fitting(made.clone(), piece.tag);
            for mouth in builder.world.fittings[fitting.0].mouths.clone() {
                builder.world.excuse(mouth, crate::world::Excuse::Declared);
                builder.world.split_joint(piece.stuff.system, piece.stuff.size, piece.tag);
            }
        }
    }
}

impl Builder<'_> {
    /// Parts without openings that patterns ask for, by run, turn, tap, length, column or end.
    pub(crate) fn add_loose(&mut self) {
        for run in self.view.runs() {
            for row in self.view.rows(run) {
                for (times, size) in self.loose_times(row, run) {
                    let Some((made, quantity)) = self.view.row_part(row, size, self.view.system_id(run))
                    else {
                        continue;
                    };
                    if !made.openings.is_empty() || made.part.is_none() {
                        continue;
                    }
                    let tag = Tag { phase: row.phase.unwrap_or(self.view.run(run).phase()), ..self.tag(run) };
                    let quantity = round_up(quantity * times);
                    self.world.loose.push(Loose { made, quantity, tag });
                }
            }
        }
    }

    /// How often a row counts on a run, and in which size.
    fn loose_times(&self, row: &coilstick::trade::PatternRow, run: usize) -> Vec<(Decimal, Word)> {
        let phase = row.phase.unwrap_or(self.view.run(run).phase());
        let at = |end: RunEnd| {
            let counts = self.met_in(run, end).is_none_or(|met| phase < met);
            counts.then_some((Decimal::ONE, self.view.size_at(run, end)))
        };
        match row.per {
            Per::Start => at(RunEnd::Start).into_iter().collect(),
            Per::End => at(RunEnd::End).into_iter().collect(),
            Per::Both => at(RunEnd::Start).into_iter().chain(at(RunEnd::End)).collect(),
            Per::Place => Vec::new(),
            Per::Run | Per::Turn | Per::Bend | Per::Elbow | Per::Tap | Per::Length | Per::Column(_) => {
                vec![(self.view.times(row, run), self.view.run(run).size)]
            }
        }
    }
}
