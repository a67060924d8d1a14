//! What a joint asks for by the table `joints`: a ring; solder and flux; cement and primer; tape on a thread. The one
//! reading of that table: the takeoff, the buying plan, unit prices and papers ask here, and nothing else in the
//! estimate, its papers or the command line touches the rows. Which joints are made is not known here.
//!
//! A row for the size of the joint stands before the row for all sizes of the same part; other rows for all sizes count
//! beside it.

use rust_decimal::Decimal;
use rustc_hash::FxHashMap;

use super::Item;
use super::takeoff::JointKind;
use crate::ground::RowAt;
use crate::trade::{Catalog, Lexicon, PartId, SystemId, Word};

/// A row of the table `joints`, by its place in the catalog.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(crate) struct JointRow(pub(crate) u32);

/// The table `joints` of a job, read once.
#[derive(Debug)]
pub(crate) struct JointRows {
    /// By joint and size, in the order of the table; the empty size: those of a size without a row of its own.
    rows: FxHashMap<(Word, Word), Vec<JointRow>>,
    /// What joints of threads are called there.
    thread: Option<Word>,
    /// The unit of pieces.
    each: Option<Word>,
}

impl JointRows {
    /// Reads the table.
    pub(crate) fn of(catalog: &Catalog, lexicon: &Lexicon) -> Self {
        let mut rows: FxHashMap<(Word, Word), Vec<JointRow>> = FxHashMap::default();
        let mut sizes: Vec<(Word, Word)> = Vec::new();
        for (index, row) in (0_u32..).zip(&catalog.joints) {
            let list = rows.entry((row.joint, row.size)).or_default();
            if list.is_empty() && !row.size.is_empty() {
                sizes.push((row.joint, row.size));
            }
            list.push(JointRow(index));
        }
        for (joint, size) in sizes {
            let general = rows.get(&(joint, Word::EMPTY)).cloned().unwrap_or_default();
            let own = rows.entry((joint, size)).or_default();
            let parts: Vec<Word> = own.iter().map(|row| catalog.joints[row.0 as usize].part).collect();
            let beside = |row: &JointRow| !parts.contains(&catalog.joints[row.0 as usize].part);
            own.extend(general.into_iter().filter(beside));
        }
        Self { rows, thread: lexicon.find("thread"), each: lexicon.find("each") }
    }

    /// The rows that a joint of a kind and size asks for, the joint being that of a system. A compression joint brings
    /// its nut and ferrule with its part.
    pub(crate) fn rows(
        &self,
        catalog: &Catalog,
        kind: JointKind,
        system: SystemId,
        size: Word,
    ) -> &[JointRow] {
        let joint = match kind {
            JointKind::Tube => Some(catalog.system(system).joint),
            JointKind::Thread => self.thread,
            JointKind::Compression => None,
        };
        let own =
            |joint: Word| self.rows.get(&(joint, size)).or_else(|| self.rows.get(&(joint, Word::EMPTY)));
        joint.and_then(own).map_or(&[], |rows| rows)
    }

    /// Whether any row says what a joint consumes.
    pub(crate) fn speaks_of(&self, joint: Word) -> bool {
        self.rows.keys().any(|(known, _)| *known == joint)
    }

    /// What a row consumes at a joint, as an item; nothing where no part of the name is made for the system.
    pub(crate) fn item(
        &self,
        catalog: &Catalog,
        row: JointRow,
        system: SystemId,
        size: Word,
    ) -> Option<Item> {
        let row = catalog.joints.get(row.0 as usize)?;
        let part = catalog.part_called(row.part, Word::EMPTY, system)?;
        let unit = if Some(row.unit) == self.each { Word::EMPTY } else { row.unit };
        Some(Item { unit, ..Item::of_part(catalog, part, system, &[size]) })
    }

    /// What so many joints ask for: each item with how much of it, in the order of the table.
    pub(crate) fn asks(
        &self,
        catalog: &Catalog,
        kind: JointKind,
        (system, size): (SystemId, Word),
        joints: u32,
    ) -> Vec<(Item, Decimal)> {
        let rows = self.rows(catalog, kind, system, size).iter();
        rows.filter_map(|row| {
            let item = self.item(catalog, *row, system, size)?;
            Some((item, amount(catalog, row.0, Decimal::from(joints))?))
        })
        .collect()
    }

    /// Where a row stands, and the part that it asks for.
    pub(crate) fn asked_for(&self, catalog: &Catalog, row: JointRow) -> (RowAt, Word) {
        let row = &catalog.joints[row.0 as usize];
        (row.row, row.part)
    }
}

/// What so many joints consume by a row of the table; nothing where it is beyond counting, or where there is no such row.
pub(crate) fn amount(catalog: &Catalog, row: u32, joints: Decimal) -> Option<Decimal> {
    let row = catalog.joints.get(row as usize)?;
    joints.checked_mul(row.amount)?.checked_div(Decimal::from(row.per.max(1)))
}

/// Where a row of the table stands.
pub(crate) fn row_at(catalog: &Catalog, row: u32) -> Option<RowAt> {
    catalog.joints.get(row as usize).map(|row| row.row)
}

/// The unit in which joints consume any of some parts (`lb`, `oz`); nothing where none does.
pub(crate) fn unit_of(catalog: &Catalog, parts: &[PartId]) -> Option<Word> {
    let consumes = |row: &&crate::trade::Consumption| {
        catalog.parts_called(row.part).iter().any(|part| parts.contains(part))
    };
    catalog.joints.iter().find(consumes).map(|row| row.unit)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::trade::Job;

    fn job() -> Job {
        Job::from_texts(&[
            ("runs", "run,service,size,length\nC1,cold,1/2,4\n"),
            (
                "joints",
                "joint,size,part,amount,unit,per\nthread,,flux,1,oz,10\nthread,3/4,thread tape,1,roll,20\n",
            ),
        ])
    }

    fn asked(kind: JointKind, size: &str) -> Vec<(String, String)> {
        let job = job();
        let rows = JointRows::of(&job.catalog, &job.lexicon);
        let system = job.catalog.system_named(job.lexicon.find("copper-solder").unwrap()).unwrap();
        let size = job.lexicon.find(size).unwrap();
        let name = |item: &Item| job.catalog.part(item.part).name.to_string();
        let asks = rows.asks(&job.catalog, kind, (system, size), 2);
        asks.iter().map(|(item, amount)| (name(item), amount.normalize().to_string())).collect()
    }

    fn pair(part: &str, amount: &str) -> (String, String) {
        (part.to_owned(), amount.to_owned())
    }

    #[test]
    fn a_row_for_the_size_stands_before_that_for_all_sizes_of_its_part_and_beside_those_of_others() {
        assert_eq!(asked(JointKind::Thread, "3/4"), [pair("thread tape", "0.1"), pair("flux", "0.2")]);
        assert_eq!(asked(JointKind::Thread, "1/2"), [pair("thread tape", "0.05"), pair("flux", "0.2")]);
    }

    #[test]
    fn a_compression_joint_asks_for_nothing() {
        assert!(asked(JointKind::Compression, "3/4").is_empty());
        assert_eq!(asked(JointKind::Tube, "3/4").len(), 2);
    }
}
