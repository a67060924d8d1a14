//! Look-ups into the catalog that every alternative shares: which part the engine takes, what a joint consumes, what
//! supports a tube.

use rustc_hash::FxHashMap;

use crate::trade::job::Job;
use crate::trade::{Catalog, Fit, PartId, Port, Sex, SystemId, UsedAs, Word};

/// Look-ups into one job's catalog.
pub(in crate::estimate) struct Tables {
    used: FxHashMap<(SystemId, UsedAs), PartId>,
    consumption: FxHashMap<(Word, Word), Vec<u32>>,
    supports: FxHashMap<(Word, Word), usize>,
    adapters: FxHashMap<(SystemId, Sex), PartId>,
    transitions: FxHashMap<(SystemId, SystemId), PartId>,
    thread_caps: FxHashMap<(SystemId, Sex), PartId>,
    /// The joint of threads in the joints table.
    pub(in crate::estimate) thread: Word,
    /// The unit of pieces.
    pub(in crate::estimate) each: Word,
}

impl Tables {
    /// Gathers them.
    pub(in crate::estimate) fn of(job: &Job) -> Self {
        let catalog = &job.catalog;
        let systems = || (0_u32..).zip(&catalog.systems).map(|(i, _)| SystemId(i));
        let mut tables = Self {
            used: FxHashMap::default(),
            consumption: FxHashMap::default(),
            supports: FxHashMap::default(),
            adapters: FxHashMap::default(),
            transitions: FxHashMap::default(),
            thread_caps: FxHashMap::default(),
            thread: job.lexicon.find("thread").unwrap_or(Word(u32::MAX)),
            each: job.lexicon.find("each").unwrap_or(Word::EMPTY),
        };
        for system in systems() {
            tables.parts_of(catalog, system);
            for other in systems().filter(|other| !catalog.shares_fittings(system, *other)) {
                if let Some(part) = transition(catalog, system, other) {
                    tables.transitions.insert((system, other), part);
                }
            }
        }
        for (index, row) in (0_u32..).zip(&catalog.joints) {
            tables.consumption.entry((row.joint, row.size)).or_default().push(index);
        }
        // Rows without a size are for every size: they stand behind the rows of each size.
        let general: Vec<(Word, Vec<u32>)> = catalog
            .joints
            .iter()
            .map(|row| row.joint)
            .map(|joint| (joint, tables.consumption.get(&(joint, Word::EMPTY)).cloned().unwrap_or_default()))
            .collect();
        for (joint, rows) in general {
            for row in &catalog.joints {
                if row.joint == joint && !row.size.is_empty() {
                    let list = tables.consumption.entry((joint, row.size)).or_default();
                    // A row for the size stands before the row for all sizes of the same part.
                    let parts: Vec<Word> = list.iter().map(|r| catalog.joints[*r as usize].part).collect();
                    list.extend(rows.iter().filter(|r| !parts.contains(&catalog.joints[**r as usize].part)));
                }
            }
        }
        for (index, row) in catalog.supports.iter().enumerate() {
            tables.supports.entry((row.tube, row.size)).or_insert(index);
        }
        tables
    }

    fn parts_of(&mut self, catalog: &Catalog, system: SystemId) {
        for (use_, _) in UsedAs::ALL {
            let joints =
                |id: &PartId| !catalog.part(*id).ports.iter().any(|port| matches!(port.fit, Fit::Thread(_)));
            // A cap of threads is no cap of tube.
            let found =
                catalog.parts_used_as(use_, system).find(|id| matches!(use_, UsedAs::Adapter) || joints(id));
            if let Some(part) = found {
                self.used.insert((system, use_), part);
            }
        }
        for sex in [Sex::Male, Sex::Female] {
            let adapts = |id: &PartId| {
                let ports = &catalog.part(*id).ports;
                let own_joint = |p: &Port| match p.fit {
                    Fit::Joint(None) => true,
                    Fit::Joint(Some(named)) => catalog.takes_in(&[named], system),
                    _ => false,
                };
                ports.len() == 2
                    && ports.iter().any(own_joint)
                    && ports.iter().any(|p| p.fit == Fit::Thread(sex))
            };
            if let Some(part) = catalog.parts_used_as(UsedAs::Adapter, system).find(adapts) {
                self.adapters.insert((system, sex), part);
            }
            let closes =
                |id: &PartId| matches!(&*catalog.part(*id).ports, [one] if one.fit == Fit::Thread(sex));
            let use_ = if sex == Sex::Female { UsedAs::Cap } else { UsedAs::Plug };
            if let Some(part) = catalog.parts_used_as(use_, system).find(closes) {
                self.thread_caps.insert((system, sex), part);
            }
        }
    }

    /// The part the engine takes for a use.
    pub(super) fn used(&self, system: SystemId, use_: UsedAs) -> Option<PartId> {
        self.used.get(&(system, use_)).copied()
    }

    /// The adapter from a system's tube to a thread of this sex.
    pub(super) fn adapter(&self, system: SystemId, sex: Sex) -> Option<PartId> {
        self.adapters.get(&(system, sex)).copied()
    }

    /// The fitting between two systems, of the first one.
    pub(super) fn transition(&self, from: SystemId, to: SystemId) -> Option<PartId> {
        self.transitions.get(&(from, to)).copied()
    }

    /// What closes an open thread: a cap with a female thread, a plug with a male one.
    pub(super) fn thread_cap(&self, system: SystemId, sex: Sex) -> Option<PartId> {
        self.thread_caps.get(&(system, sex)).copied()
    }

    /// Rows of the joints table for a joint of a size.
    pub(super) fn consumption(&self, joint: Word, size: Word) -> &[u32] {
        let found =
            self.consumption.get(&(joint, size)).or_else(|| self.consumption.get(&(joint, Word::EMPTY)));
        found.map_or(&[], |rows| rows)
    }

    /// Whether any row of the joints table says what a joint consumes.
    pub(super) fn consumes(&self, catalog: &Catalog, joint: Word) -> bool {
        catalog.joints.iter().any(|row| row.joint == joint)
    }

    /// The row of the supports table for a tube.
    pub(super) fn support(&self, catalog: &Catalog, system: SystemId, size: Word) -> Option<usize> {
        let tube = catalog.system(system).tube;
        self.supports.get(&(tube, size)).or_else(|| self.supports.get(&(tube, Word::EMPTY))).copied()
    }
}

/// The fitting from one system to another: of the first system, else one of the second that joins both.
fn transition(catalog: &Catalog, from: SystemId, to: SystemId) -> Option<PartId> {
    let joins = |id: &PartId, own: SystemId, other: SystemId| {
        let ports = &catalog.part(*id).ports;
        let is = |fit: Fit, system: SystemId, unnamed: bool| match fit {
            Fit::Joint(None) => unnamed,
            Fit::Joint(Some(name)) => {
                catalog.system_meant(name, system).is_some_and(|meant| catalog.shares_fittings(meant, system))
            }
            _ => false,
        };
        ports.len() == 2
            && ((is(ports[0].fit, own, true) && is(ports[1].fit, other, false))
                || (is(ports[1].fit, own, true) && is(ports[0].fit, other, false)))
    };
    let of = |own: SystemId, other: SystemId| {
        catalog.parts_used_as(UsedAs::Transition, own).find(|id| joins(id, own, other))
    };
    of(from, to).or_else(|| of(to, from))
}
