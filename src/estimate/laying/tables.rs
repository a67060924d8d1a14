//! Look-ups into the catalog that every alternative shares: which part the engine takes, what supports a tube, and the
//! table of joints.

use rustc_hash::FxHashMap;

use super::super::joint_rows::JointRows;
use crate::trade::Job;
use crate::trade::{Catalog, Fit, PartId, Port, Sex, SystemId, UsedAs, Word};

/// Look-ups into one job's catalog.
pub(in crate::estimate) struct Tables {
    used: FxHashMap<(SystemId, UsedAs), PartId>,
    supports: FxHashMap<(Word, Word), usize>,
    adapters: FxHashMap<(SystemId, Sex), PartId>,
    transitions: FxHashMap<(SystemId, SystemId), Transition>,
    thread_caps: FxHashMap<(SystemId, Sex), PartId>,
    /// What joints consume.
    pub(super) joints: JointRows,
}

impl Tables {
    /// Gathers them.
    pub(in crate::estimate) fn of(job: &Job) -> Self {
        let catalog = &job.catalog;
        let systems = || (0_u32..).zip(&catalog.systems).map(|(i, _)| SystemId(i));
        let mut tables = Self {
            used: FxHashMap::default(),
            supports: FxHashMap::default(),
            adapters: FxHashMap::default(),
            transitions: FxHashMap::default(),
            thread_caps: FxHashMap::default(),
            joints: JointRows::of(catalog, &job.lexicon),
        };
        for system in systems() {
            tables.parts_of(catalog, system);
            for other in systems().filter(|other| !catalog.shares_fittings(system, *other)) {
                if let Some(part) = transition(catalog, system, other) {
                    tables.transitions.insert((system, other), part);
                }
            }
        }
        for (index, row) in catalog.supports.iter().enumerate() {
            tables.supports.entry((row.tube, row.size)).or_insert(index);
        }
        tables
    }

    fn parts_of(&mut self, catalog: &Catalog, system: SystemId) {
        for use_ in UsedAs::ALL {
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
                let own_joint = |p: &Port| {
                    matches!(p.fit, Fit::Joint(named)
                        if named.is_none_or(|named| catalog.takes_in(&[named], system)))
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
    pub(super) fn transition(&self, from: SystemId, to: SystemId) -> Option<Transition> {
        self.transitions.get(&(from, to)).copied()
    }

    /// What closes an open thread: a cap with a female thread, a plug with a male one.
    pub(super) fn thread_cap(&self, system: SystemId, sex: Sex) -> Option<PartId> {
        self.thread_caps.get(&(system, sex)).copied()
    }

    /// The row of the supports table for a tube.
    pub(super) fn support(&self, catalog: &Catalog, system: SystemId, size: Word) -> Option<usize> {
        let tube = catalog.system(system).tube;
        self.supports.get(&(tube, size)).or_else(|| self.supports.get(&(tube, Word::EMPTY))).copied()
    }
}

/// A fitting between two systems, and whose sockets its openings are for the tube of each: mostly their own.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Transition {
    pub(super) part: PartId,
    /// Whether it is clamped on the tube of both, without a joint of either.
    pub(super) clamped: bool,
    pub(super) near: SystemId,
    pub(super) far: SystemId,
}

/// The fitting that is clamped on the tube of both systems, where one is made for each.
fn clamped(catalog: &Catalog, from: SystemId, to: SystemId) -> Option<Transition> {
    let is_clamped = |id: &PartId| matches!(&*catalog.part(*id).ports, [one, two] if one.fit == Fit::Compression && two.fit == Fit::Compression);
    let made_for_both = |id: &PartId| catalog.takes_in(&catalog.part(*id).systems, to);
    let part =
        catalog.parts_used_as(UsedAs::Transition, from).find(|id| is_clamped(id) && made_for_both(id))?;
    Some(Transition { part, clamped: true, near: from, far: to })
}

/// The fitting from one system to another: of the first system, else one of the second that joins both. One whose named
/// opening is for the very system or fit comes before one that its tube only sits in.
fn transition(catalog: &Catalog, from: SystemId, to: SystemId) -> Option<Transition> {
    let socket = |fit: Fit, own: SystemId, tube: SystemId| match fit {
        Fit::Joint(None) => Some(own),
        Fit::Joint(Some(word)) => catalog.system_meant(word, tube),
        Fit::TubeEnd(_) | Fit::Thread(_) | Fit::Compression | Fit::Closed | Fit::ClosedTubeEnd => None,
    };
    // The part's own opening takes the system that it is of, the named one the other.
    let joins = |id: PartId, own: SystemId, other: SystemId, exactly: bool| {
        let [one, two] = &*catalog.part(id).ports else { return None };
        [(one, two), (two, one)].into_iter().find_map(|(near, far)| {
            let (near, far) = (socket(near.fit, own, own)?, socket(far.fit, own, other)?);
            let takes = |socket: SystemId, tube: SystemId| {
                socket == tube || !exactly && catalog.shares_fittings(socket, tube)
            };
            (takes(near, own) && takes(far, other)).then_some((near, far))
        })
    };
    [true, false]
        .into_iter()
        .find_map(|exactly| {
            let of = |own: SystemId, other: SystemId| {
                let mut parts = catalog.parts_used_as(UsedAs::Transition, own);
                parts.find_map(|part| joins(part, own, other, exactly).map(|(near, far)| (part, near, far)))
            };
            let clamped = false;
            let ahead = of(from, to).map(|(part, near, far)| Transition { part, clamped, near, far });
            ahead.or_else(|| {
                of(to, from).map(|(part, near, far)| Transition { part, clamped, near: far, far: near })
            })
        })
        .or_else(|| clamped(catalog, from, to))
}
