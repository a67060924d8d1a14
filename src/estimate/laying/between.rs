//! What a plumber puts between two things that do not mate: an adapter, a transition, a reducer, a short piece of tube
//! (rules 13, 17 and 18 of counting). It reaches from what stands open on a [`Chain`] to a port; which port, others say.

use super::super::takeoff::Because;
use super::chain::{Chain, Offer, Open, mates};
use super::sheet::Sheet;
use crate::trade::{Fit, Phase, Port, Sex, SystemId, UsedAs, Word};

impl Chain {
    /// Puts between what stands open and a port what a plumber would, and gives what mates with the port.
    pub(super) fn reach(
        &mut self,
        sheet: &mut Sheet<'_, '_>,
        from: Open,
        to: Offer,
        phase: Phase,
        because: Because,
    ) -> Option<Open> {
        let mut open = from;
        // Tube, adapter, tube, transition, tube, reducer, tube: seven steps are more than any two things need.
        for _ in 0..8 {
            if mates(&sheet.job.catalog, open, to) {
                return Some(open);
            }
            open = match (open, to) {
                (Open::Male(system, size), Offer::Thread(sex, thread)) => {
                    self.adapter(sheet, system, size, sex.opposite(), thread, open, phase)?
                }
                (
                    Open::Male(system, size),
                    Offer::Socket(_, wanted) | Offer::Nut(wanted) | Offer::Male(_, wanted),
                ) if wanted != size => self.reducer(sheet, system, size, wanted, phase)?,
                (Open::Male(system, size), Offer::Socket(other, _)) if other != system => {
                    self.transition(sheet, system, other, size, phase)?
                }
                (Open::Male(system, size), Offer::Male(other, _)) => {
                    if sheet.job.catalog.shares_fittings(other, system) {
                        self.between(sheet, UsedAs::Coupling, system, &[size, size], "coupling", phase)?
                    } else {
                        self.transition(sheet, system, other, size, phase)?
                    }
                }
                (Open::Socket(system, size), _) => self.short_piece(sheet, system, size, phase),
                (Open::Nut(size), _) => self.short_piece(sheet, self.end.system, size, phase),
                (Open::Thread(sex, thread), _) => {
                    // The adapter is of the size that comes next; between two threads of that of the run.
                    let system = self.end.system;
                    let size = match to {
                        Offer::Socket(_, size) | Offer::Male(_, size) | Offer::Nut(size) => size,
                        Offer::Thread(..) | Offer::Shut(..) => self.end.size,
                    };
                    self.adapter_on_thread(sheet, system, size, sex, thread, phase, because)?
                }
                (Open::Male(..), Offer::Socket(..) | Offer::Nut(_) | Offer::Shut(..)) => return None,
            };
        }
        None
    }

    /// Rule 17: the system's adapter where a tube is left facing a thread, at rough-in.
    #[allow(clippy::too_many_arguments)]
    fn adapter(
        &mut self,
        sheet: &mut Sheet<'_, '_>,
        system: SystemId,
        size: Word,
        sex: Sex,
        thread: Word,
        open: Open,
        phase: Phase,
    ) -> Option<Open> {
        let Some(part) = sheet.tables.adapter(system, sex) else {
            sheet.missing(self.end.run, system, format!("{} adapter", sex.word()));
            return None;
        };
        let owner = self.end.owner.in_phase(phase);
        let sizes = adapter_sizes(&sheet.job.catalog.part(part).ports, size, thread);
        sheet.part(owner, part, system, &sizes, 1, Because::Adapter);
        self.join(sheet, open, Offer::Socket(system, size), phase, Because::Adapter);
        Some(Open::Thread(sex, thread))
    }

    /// An adapter screwed onto an open thread: what stands open then is its socket.
    #[allow(clippy::too_many_arguments)]
    fn adapter_on_thread(
        &mut self,
        sheet: &mut Sheet<'_, '_>,
        system: SystemId,
        size: Word,
        sex: Sex,
        thread: Word,
        phase: Phase,
        because: Because,
    ) -> Option<Open> {
        let Some(part) = sheet.tables.adapter(system, sex.opposite()) else {
            sheet.missing(self.end.run, system, format!("{} adapter", sex.opposite().word()));
            return None;
        };
        let owner = self.end.owner.in_phase(phase);
        let sizes = adapter_sizes(&sheet.job.catalog.part(part).ports, size, thread);
        sheet.part(owner, part, system, &sizes, 1, Because::Adapter);
        self.join(sheet, Open::Thread(sex, thread), Offer::Thread(sex.opposite(), thread), phase, because);
        Some(Open::Socket(system, size))
    }

    fn transition(
        &mut self,
        sheet: &mut Sheet<'_, '_>,
        from: SystemId,
        to: SystemId,
        size: Word,
        phase: Phase,
    ) -> Option<Open> {
        let Some(fitting) = sheet.tables.transition(from, to) else {
            sheet.missing(self.end.run, from, transition_words(sheet, from, to));
            return None;
        };
        sheet.part(self.end.owner.in_phase(phase), fitting.part, from, &[size, size], 1, Because::Between);
        self.join(sheet, Open::Male(from, size), Offer::Socket(fitting.near, size), phase, Because::Between);
        Some(Open::Socket(fitting.far, size))
    }

    fn reducer(
        &mut self,
        sheet: &mut Sheet<'_, '_>,
        system: SystemId,
        size: Word,
        wanted: Word,
        phase: Phase,
    ) -> Option<Open> {
        let sizes = larger_first(sheet, system, size, wanted);
        let part = sheet.used(self.end.run, system, UsedAs::ReducingCoupling, "reducing coupling")?;
        sheet.part(self.end.owner.in_phase(phase), part, system, &sizes, 1, Because::Between);
        self.join(sheet, Open::Male(system, size), Offer::Socket(system, size), phase, Because::Between);
        Some(Open::Socket(system, wanted))
    }

    fn between(
        &mut self,
        sheet: &mut Sheet<'_, '_>,
        use_: UsedAs,
        system: SystemId,
        sizes: &[Word; 2],
        what: &str,
        phase: Phase,
    ) -> Option<Open> {
        let part = sheet.used(self.end.run, system, use_, what)?;
        sheet.part(self.end.owner.in_phase(phase), part, system, sizes, 1, Because::Between);
        self.join(
            sheet,
            Open::Male(system, sizes[0]),
            Offer::Socket(system, sizes[0]),
            phase,
            Because::Between,
        );
        Some(Open::Socket(system, sizes[1]))
    }

    /// A least piece of tube out of a socket.
    fn short_piece(&mut self, sheet: &mut Sheet<'_, '_>, system: SystemId, size: Word, phase: Phase) -> Open {
        let least = sheet.job.catalog.system(system).least_piece;
        self.join(sheet, Open::Socket(system, size), Offer::Male(system, size), phase, Because::Between);
        self.piece(sheet, system, size, least, phase, Because::Between);
        Open::Male(system, size)
    }
}

/// The sizes of an adapter in the order of its ports.
fn adapter_sizes(ports: &[Port], tube: Word, thread: Word) -> Vec<Word> {
    ports.iter().map(|port| if matches!(port.fit, Fit::Thread(_)) { thread } else { tube }).collect()
}

/// Two sizes, the larger first.
pub(super) fn larger_first(sheet: &Sheet<'_, '_>, system: SystemId, a: Word, b: Word) -> [Word; 2] {
    let tube = sheet.job.catalog.system(system).tube;
    let order = |size| sheet.job.catalog.order(tube, size);
    if order(b) > order(a) { [b, a] } else { [a, b] }
}

/// A transition in words.
pub(super) fn transition_words(sheet: &Sheet<'_, '_>, from: SystemId, to: SystemId) -> String {
    let name = |system: SystemId| sheet.job.lexicon.text(sheet.job.catalog.system(system).name);
    format!("transition from {} to {}", name(from), name(to))
}
