//! Needs: the lines of a takeoff added up, for the job by item and for `takeoff.csv` by phase, service and item.
//!
//! One pass over the lines that indexes arrays by item, whatever their number. What joints consume is counted in
//! joints by row of the joints table and turned into amounts once, at the end, so that nothing is rounded on the
//! way. Buying takes the needs of the job; the report writes the rows.

use rust_decimal::Decimal;

use super::joint_rows;
use super::ranking::ranks;
use super::takeoff::TakeoffRow;
use super::takeoff::{Line, Need};
use super::{Item, ItemId, Items};
use crate::ground::LengthUnit;
use crate::trade::{Catalog, Lexicon, Phase, Service, Word};

/// Services, and one more for what no run brought.
const SERVICES: usize = Service::ALL.len() + 1;
/// Cells of one item: a phase and a service each.
const CELLS: usize = Phase::ALL.len() * SERVICES;

/// What every item of the job needs, by item id, with the first phase that needs it. Items without a need are left out.
///
/// Tube is in `unit` (exact to 28 digits), what joints consume in the unit of its item.
pub(crate) fn needs(catalog: &Catalog, items: &Items, unit: LengthUnit, lines: &[Line]) -> Vec<Need> {
    let tally = Tally::of(items, lines);
    let mut needs = Vec::new();
    for id in tally.ids() {
        let cells = tally.cells(id);
        let Some(first) = cells.clone().find(|cell| tally.has(*cell)) else { continue };
        let quantity = tally.quantity(catalog, items.get(id), unit, cells);
        if !quantity.is_zero() {
            let phase = Phase::ALL[(first % CELLS) / SERVICES];
            needs.push(Need { item: id, quantity, phase });
        }
    }
    needs
}

/// The rows of `takeoff.csv`: phase, service and item, in the order shown.
///
/// The written rule: phase, service (what no run brought last), class, part name, system, sizes by the order of their
/// tube (then text), variant, color.
pub(crate) fn takeoff_rows(
    lexicon: &Lexicon,
    catalog: &Catalog,
    items: &Items,
    unit: LengthUnit,
    lines: &[Line],
) -> Vec<TakeoffRow> {
    let tally = Tally::of(items, lines);
    let mut rows: Vec<(usize, TakeoffRow)> = Vec::new();
    for id in tally.ids() {
        for cell in tally.cells(id).filter(|cell| tally.has(*cell)) {
            let need = tally.quantity(catalog, items.get(id), unit, cell..cell + 1);
            let (phase, service) = ((cell % CELLS) / SERVICES, cell % SERVICES);
            let row = TakeoffRow {
                phase: Phase::ALL[phase],
                service: Service::ALL.get(service).copied(),
                item: id,
                area: Word::EMPTY,
                need,
            };
            rows.push((cell % CELLS, row));
        }
    }
    let ranks = ranks(lexicon, catalog, items);
    rows.sort_by_key(|(cell, row)| (*cell, ranks[row.item.0 as usize]));
    rows.into_iter().map(|(_, row)| row).collect()
}

/// Sums by item, phase and service.
struct Tally {
    /// Pieces, or nanometres of tube.
    sums: Vec<i128>,
    /// Joints by row of the joints table, rows ascending: the few that consume this item.
    joints: Vec<Vec<(u32, i128)>>,
}

impl Tally {
    fn of(items: &Items, lines: &[Line]) -> Self {
        let cells = items.len() * CELLS;
        let mut tally = Self { sums: vec![0; cells], joints: vec![Vec::new(); cells] };
        for line in lines {
            let cell = cell_of(line);
            // An item of another estimate's list would be a mistake of the caller; it is not counted here.
            let (Some(sum), Some(joints)) = (tally.sums.get_mut(cell), tally.joints.get_mut(cell)) else {
                continue;
            };
            let count = i128::from(line.count);
            match line.joint {
                None => *sum = sum.saturating_add(count),
                Some(row) => match joints.binary_search_by_key(&row, |(row, _)| *row) {
                    Ok(at) => joints[at].1 = joints[at].1.saturating_add(count),
                    Err(at) => joints.insert(at, (row, count)),
                },
            }
        }
        tally
    }

    fn ids(&self) -> impl Iterator<Item = ItemId> + use<> {
        let count = u32::try_from(self.sums.len() / CELLS).unwrap_or(u32::MAX);
        (0..count).map(ItemId)
    }

    fn cells(&self, id: ItemId) -> std::ops::Range<usize> {
        let first = id.0 as usize * CELLS;
        first..first + CELLS
    }

    fn has(&self, cell: usize) -> bool {
        self.sums[cell] != 0 || self.joints[cell].iter().any(|(_, joints)| *joints != 0)
    }

    /// The quantity in some cells of one item. Joints of one row are added up over the cells before they are turned
    /// into an amount: joints x amount / per.
    fn quantity(
        &self,
        catalog: &Catalog,
        item: &Item,
        unit: LengthUnit,
        cells: std::ops::Range<usize>,
    ) -> Decimal {
        let sum: i128 = self.sums[cells.clone()].iter().fold(0, |sum, count| sum.saturating_add(*count));
        let mut quantity = match item.is_length() {
            true => whole(sum) / Decimal::from(unit.nanometres()),
            false => whole(sum),
        };
        let mut rows: Vec<(u32, i128)> = self.joints[cells].iter().flatten().copied().collect();
        rows.sort_unstable();
        for group in rows.chunk_by(|a, b| a.0 == b.0) {
            let joints = group.iter().fold(0_i128, |sum, (_, joints)| sum.saturating_add(*joints));
            // Beyond 28 digits it is the largest number there is, which nothing can price.
            let more = joint_rows::amount(catalog, group[0].0, whole(joints)).unwrap_or(Decimal::MAX);
            quantity = quantity.checked_add(more).unwrap_or(Decimal::MAX);
        }
        quantity.normalize()
    }
}

/// Where a line is added: the item's cells lie together, phase by phase, service by service.
fn cell_of(line: &Line) -> usize {
    let service = line.service.map_or(SERVICES - 1, |service| service as usize);
    line.item.0 as usize * CELLS + line.phase as usize * SERVICES + service
}

fn whole(number: i128) -> Decimal {
    Decimal::try_from_i128_with_scale(number, 0).unwrap_or(Decimal::MAX)
}

#[cfg(test)]
mod tests {
    use super::super::buying::tests::fixture::{House, d};
    use super::*;
    use crate::trade::Class;

    #[test]
    fn what_joints_consume_is_added_up_in_joints_and_turned_into_an_amount_once() {
        let mut house = House::new();
        // 0.1 oz for 3 joints: one third of a tenth three times over must be a tenth, not 0.0999...
        let row = house.joint_row("solder", "0.1", "oz", 3);
        let solder = house.item("solder", &[], Class::Consumable, "oz");
        for run in 0..3 {
            house.line(solder, 1, Some(row), run, Phase::RoughIn, Some(Service::Cold));
        }
        let needs = needs(&house.catalog, &house.items, LengthUnit::Foot, &house.lines);
        assert_eq!(needs, [Need { item: solder, quantity: d("0.1"), phase: Phase::RoughIn }]);
    }

    #[test]
    fn tube_is_added_up_in_nanometres_and_shown_in_feet() {
        let mut house = House::new();
        let tube = house.item("tube", &["3/4"], Class::Tube, "");
        // 4 in. three times is one foot.
        for run in 0..3 {
            house.line(tube, 4 * 25_400_000, None, run, Phase::Trim, Some(Service::Hot));
        }
        house.line(tube, 304_800_000, None, 3, Phase::Underground, None);
        let found = needs(&house.catalog, &house.items, LengthUnit::Foot, &house.lines);
        assert_eq!(found, [Need { item: tube, quantity: d("2"), phase: Phase::Underground }]);
    }

    #[test]
    fn rows_go_by_phase_service_class_name_and_size_of_the_tube() {
        let mut house = House::new();
        let one = house.item("elbow", &["1"], Class::Fitting, "");
        let half = house.item("elbow", &["1/2"], Class::Fitting, "");
        let tube = house.item("tube", &["1/2"], Class::Tube, "");
        house.line(one, 2, None, 0, Phase::RoughIn, Some(Service::Cold));
        house.line(half, 5, None, 0, Phase::RoughIn, Some(Service::Cold));
        house.line(half, 1, None, 0, Phase::RoughIn, None);
        house.line(tube, 304_800_000, None, 0, Phase::RoughIn, Some(Service::Hot));
        house.line(tube, 304_800_000, None, 0, Phase::RoughIn, Some(Service::Cold));
        house.line(one, 1, None, 0, Phase::Underground, Some(Service::Vent));
        let rows = takeoff_rows(&house.lexicon, &house.catalog, &house.items, LengthUnit::Foot, &house.lines);
        let shown: Vec<_> = rows
            .iter()
            .map(|row| (row.phase.word(), row.service.map_or("", Service::word), row.item))
            .collect();
        assert_eq!(
            shown,
            [
                ("underground", "vent", one),
                ("rough-in", "cold", tube),
                ("rough-in", "cold", half),
                ("rough-in", "cold", one),
                ("rough-in", "hot", tube),
                ("rough-in", "", half),
            ]
        );
    }

    #[test]
    fn a_need_beyond_all_numbers_does_not_panic() {
        let mut house = House::new();
        let row = house.joint_row("solder", "79228162514264337593543950335", "oz", 1);
        let solder = house.item("solder", &[], Class::Consumable, "oz");
        for run in 0..3 {
            house.line(solder, i64::MAX, Some(row), run, Phase::RoughIn, None);
        }
        assert_eq!(needs(&house.catalog, &house.items, LengthUnit::Foot, &house.lines).len(), 1);
    }
}
