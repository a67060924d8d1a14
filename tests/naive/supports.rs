//! Supports of runs by how they lie, and those that parts ask for (rule 19 of counting, D15 of the rules for drains).

use coilstick::ground::Length;
use coilstick::trade::{Lie, Phase, SystemId, Word};
use rust_decimal::Decimal;

use crate::paths::Attitude;
use crate::total::Count;
use crate::view::{View, begun};
use crate::world::Tag;

/// Supports of a run by its length, of its tail by itself (rule 19).
pub(crate) fn supports(view: &View<'_>, count: &mut Count, run: usize) {
    let row = view.run(run);
    // A drain of phase underground lies in the ground unless its row says otherwise (D15).
    let in_ground = view.of_drains(run) && row.phase() == Phase::Underground && !row.lie_is_written;
    if row.lie != Lie::Framing || in_ground {
        return;
    }
    let tag = Tag {
        phase: row.phase(),
        service: Some(row.service),
        area: row.area,
        copies: i64::from(row.copies()),
        run: Some(run),
    };
    let system = view.system_id(run);
    let tail = row.tail.map(|tail| match view.tail_attitude(run) {
        Attitude::Level => (view.end_size(run), tail, Length::ZERO),
        Attitude::Upright => (view.end_size(run), Length::ZERO, tail),
    });
    let [level, up] = [Attitude::Level, Attitude::Upright].map(|lies| view.lying(run, lies));
    for (size, level, rise) in std::iter::once((row.size, level, up)).chain(tail) {
        for rule in rules(view, system, size) {
            let across = rule.across.map_or(0, |across| begun(level, across));
            let up = rule.up.map_or(0, |up| begun(rise, up));
            let quantity = Decimal::from(across + up) * Decimal::from(tag.copies);
            add_support_part(view, count, rule.part, system, size, tag, quantity);
        }
    }
}

fn rules<'a>(view: &View<'a>, system: SystemId, size: Word) -> Vec<&'a coilstick::trade::SupportRule> {
    let tube = view.system(system).tube;
    view.job.catalog.supports.iter().filter(|rule| rule.tube == tube && rule.size == size).collect()
}

pub(crate) fn add_support(
    view: &View<'_>,
    count: &mut Count,
    system: SystemId,
    size: Word,
    tag: Tag,
    quantity: Decimal,
) {
    for rule in rules(view, system, size) {
        add_support_part(view, count, rule.part, system, size, tag, quantity);
    }
}

fn add_support_part(
    view: &View<'_>,
    count: &mut Count,
    word: Word,
    system: SystemId,
    size: Word,
    tag: Tag,
    quantity: Decimal,
) {
    let Some(part) = view.part(word, Word::EMPTY, system) else {
        count.missing.insert(view.text(word).to_owned());
        return;
    };
    let part = &view.job.catalog.parts[part.0 as usize];
    let system = view.text(view.system(system).name).to_owned();
    let (size, variant) = (view.text(size).to_owned(), view.text(part.variant).to_owned());
    count.add(view, tag, system, part.name.to_string(), size, variant, String::new(), quantity);
}
