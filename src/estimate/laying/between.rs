//! What a plumber puts between two things that do not mate: an adapter, a transition, a reducer, a short piece of tube
//! (rules 13, 17 and 18 of counting). It reaches from what stands open on a [`Chain`] to a port; which port, others say.

use super::super::takeoff::Because;
use super::chain::{Chain, Offer, Open, mates};
use super::sheet::Sheet;
use crate::trade::{Fit, PartId, Phase, Port, Sex, SystemId, UsedAs, Word};

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
        let mut bridge = Bridge { chain: self, sheet, phase };
        let mut open = from;
        // Tube, adapter, tube, transition, tube, reducer, tube: seven steps are more than any two things need.
        for _ in 0..8 {
            if mates(&bridge.sheet.job.catalog, open, to) {
                return Some(open);
            }
            open = bridge.step(open, to, because)?;
            bridge.chain.is_built_on = true;
        }
        None
    }
}

/// A chain while what stands open on it is led on to a port, in one phase.
struct Bridge<'b, 'j, 'i> {
    chain: &'b mut Chain,
    sheet: &'b mut Sheet<'j, 'i>,
    phase: Phase,
}

impl Bridge<'_, '_, '_> {
    /// One thing more between what stands open and a port, and what stands open then.
    fn step(&mut self, open: Open, to: Offer, because: Because) -> Option<Open> {
        match (open, to) {
            (Open::Male(system, size), Offer::Thread(sex, thread)) => {
                // Rule 17: the system's adapter where a tube is left facing a thread, at rough-in.
                let sex = sex.opposite();
                self.adapter(system, size, sex, thread)?;
                self.join(open, Offer::Socket(system, size), Because::Adapter);
                Some(Open::Thread(sex, thread))
            }
            (
                Open::Male(system, size),
                Offer::Socket(_, wanted) | Offer::Nut(wanted) | Offer::Male(_, wanted),
            ) if wanted != size => {
                if let Some(bushed) = self.bushing(system, (size, wanted), to) {
                    return Some(bushed);
                }
                let sizes = larger_first(self.sheet, system, size, wanted);
                let of_run = !self.chain.is_built_on && self.chain.end.piece.is_some();
                let widens = sizes[0] == wanted && to == Offer::Socket(system, wanted);
                let open = self.fitting(
                    UsedAs::ReducingCoupling,
                    "reducing coupling",
                    system,
                    sizes,
                    (size, wanted),
                )?;
                if of_run && widens {
                    // Rule D9 of drains: the piece in the larger size is a part of the run.
                    self.chain.cut_off = self.sheet.job.catalog.system(system).least_piece;
                    return Some(self.short_piece(system, wanted));
                }
                Some(open)
            }
            (Open::Male(system, size), Offer::Socket(other, _)) if other != system => {
                self.transition(system, other, size)
            }
            (Open::Male(system, size), Offer::Male(other, _)) => {
                match self.sheet.job.catalog.shares_fittings(other, system) {
                    true => self.fitting(UsedAs::Coupling, "coupling", system, [size; 2], (size, size)),
                    false => self.transition(system, other, size),
                }
            }
            (Open::Socket(system, size), _) => Some(self.short_piece(system, size)),
            (Open::Nut(size), _) => Some(self.short_piece(self.chain.end.system, size)),
            (Open::Thread(sex, thread), _) => {
                // The adapter is of the size that comes next; between two threads of that of the run.
                let system = self.chain.end.system;
                let size = match to {
                    Offer::Socket(_, size) | Offer::Male(_, size) | Offer::Nut(size) => size,
                    Offer::Thread(..) | Offer::Shut(..) => self.chain.end.size,
                };
                self.adapter(system, size, sex.opposite(), thread)?;
                self.join(open, Offer::Thread(sex.opposite(), thread), because);
                Some(Open::Socket(system, size))
            }
            (Open::Male(..), Offer::Socket(..) | Offer::Nut(_) | Offer::Shut(..)) => None,
        }
    }

    /// Rule D9 of drains: a bushing where a smaller tube enters a larger socket, in a system that has one: a spigot of the
    /// larger size.
    fn bushing(&mut self, system: SystemId, (size, wanted): (Word, Word), to: Offer) -> Option<Open> {
        let part = self.sheet.tables.used(system, UsedAs::Bushing)?;
        let sizes = larger_first(self.sheet, system, size, wanted);
        if !matches!(to, Offer::Socket(..)) || sizes[0] != wanted {
            return None;
        }
        self.part(part, system, &sizes, Because::Between);
        self.join(Open::Male(system, size), Offer::Socket(system, size), Because::Between);
        self.sheet.male_ends(system, wanted, self.chain.end.owner.copies);
        Some(Open::Male(system, wanted))
    }

    /// A part between. The first of them is what the run's own end stands in.
    fn part(&mut self, part: PartId, system: SystemId, sizes: &[Word], because: Because) {
        let own = Offer::Socket(system, self.chain.end.size);
        self.chain.stand_in(&self.sheet.job.catalog, (part, 0), (own, system), sizes);
        self.sheet.part(self.chain.end.owner.in_phase(self.phase), part, system, sizes, 1, because);
    }

    fn join(&mut self, open: Open, to: Offer, because: Because) {
        self.chain.join(self.sheet, open, to, self.phase, because);
    }

    /// An adapter of a system with a thread of this sex; joined to nothing yet.
    fn adapter(&mut self, system: SystemId, size: Word, sex: Sex, thread: Word) -> Option<()> {
        let Some(part) = self.sheet.tables.adapter(system, sex) else {
            self.sheet.missing(self.chain.end.run, system, format!("{} adapter", sex.word()));
            return None;
        };
        let ports = &self.sheet.job.catalog.part(part).ports;
        let of = |port: &Port| if matches!(port.fit, Fit::Thread(_)) { thread } else { size };
        let sizes: Vec<Word> = ports.iter().map(of).collect();
        self.part(part, system, &sizes, Because::Adapter);
        Some(())
    }

    fn transition(&mut self, from: SystemId, to: SystemId, size: Word) -> Option<Open> {
        let Some(fitting) = self.sheet.tables.transition(from, to) else {
            self.sheet.missing(self.chain.end.run, from, transition_words(self.sheet, from, to));
            return None;
        };
        self.part(fitting.part, from, &[size; 2], Because::Between);
        if fitting.clamped {
            self.join(Open::Male(from, size), Offer::Nut(size), Because::Between);
            return Some(Open::Nut(size));
        }
        self.join(Open::Male(from, size), Offer::Socket(fitting.near, size), Because::Between);
        Some(Open::Socket(fitting.far, size))
    }

    /// A fitting of the system itself, joined by one size and open in the other.
    fn fitting(
        &mut self,
        use_: UsedAs,
        what: &str,
        system: SystemId,
        sizes: [Word; 2],
        (joined, open): (Word, Word),
    ) -> Option<Open> {
        let part = self.sheet.used(self.chain.end.run, system, use_, what)?;
        self.part(part, system, &sizes, Because::Between);
        self.join(Open::Male(system, joined), Offer::Socket(system, joined), Because::Between);
        Some(Open::Socket(system, open))
    }

    /// A least piece of tube out of a socket.
    fn short_piece(&mut self, system: SystemId, size: Word) -> Open {
        let least = self.sheet.job.catalog.system(system).least_piece;
        self.join(Open::Socket(system, size), Offer::Male(system, size), Because::Between);
        self.chain.piece(self.sheet, system, size, least, self.phase, Because::Between);
        Open::Male(system, size)
    }
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
