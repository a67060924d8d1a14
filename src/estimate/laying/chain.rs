//! What is built outward from one open end: parts in the order written, each mated to what stands open, with what a
//! plumber puts between where two things do not mate (rules 13, 14 and 17 of counting).
//!
//! A chain knows nothing of patterns and places; [`super::ends`] tells it what comes in which phase.

use super::super::takeoff::{Because, PartOf, Piece};
use super::findings;
use super::openings::opening;
use super::sheet::{Owner, Sheet};
use crate::estimate::{CutLength, ItemId, PieceEnd, RunId};
use crate::ground::Length;
use crate::trade::{Catalog, Class, Fit, PartId, Phase, Port, Sex, SystemId, UsedAs, Word};

/// Something that stands open.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Open {
    /// A tube end or another male end.
    Male(SystemId, Word),
    /// A socket.
    Socket(SystemId, Word),
    /// A nut that takes a tube end of any system.
    Nut(Word),
    /// A thread.
    Thread(Sex, Word),
}

/// The state of an end: a later phase opens again what an earlier one has shut.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum State {
    /// It stands open.
    Open,
    /// Shut since a phase with a joint: capped, or a stub-out's shut end.
    Shut(Phase),
    /// Closed for the test of a phase by a plug that is a tool: no part, no joint.
    Plugged(Phase),
}

/// Something at an end.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Standing {
    pub(super) open: Open,
    pub(super) state: State,
}

impl Standing {
    /// Something that stands open.
    pub(super) const fn open(open: Open) -> Self {
        Self { open, state: State::Open }
    }

    /// Whether it stands open, closed by nothing.
    pub(super) fn is_open(&self) -> bool {
        self.state == State::Open
    }

    fn is_free_in(self, phase: Phase) -> bool {
        match self.state {
            State::Open => true,
            State::Shut(since) | State::Plugged(since) => since < phase,
        }
    }
}

/// What an end is: whose it is, and what is taken where a part does not say.
#[derive(Debug, Clone, Copy)]
pub(super) struct EndOf {
    pub(super) run: RunId,
    pub(super) owner: Owner,
    pub(super) system: SystemId,
    pub(super) size: Word,
    /// The run's own tube, for short pieces of its size.
    pub(super) variant: Word,
    pub(super) color: super::super::item::Color,
    /// The phase in which what stands open is capped, and adapters are set: rough-in, or the run's if it is later.
    pub(super) base: Phase,
    /// No joint of the chain is made before this phase: that of the run, whatever its parts say.
    pub(super) joins_from: Phase,
    /// The run's own piece of tube there, where more tube behind it makes it longer.
    pub(super) piece: Option<u32>,
}

/// A port that a part offers to what stands open: how it joins and its size.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Offer {
    Socket(SystemId, Word),
    Male(SystemId, Word),
    Nut(Word),
    Thread(Sex, Word),
    /// A male end that is shut in its phase: nothing joins it yet.
    Shut(SystemId, Word),
}

/// What stands at an end.
pub(super) struct Chain {
    pub(super) end: EndOf,
    pub(super) standing: Vec<Standing>,
    /// Whether more than a cap stands on the run's own end.
    pub(super) is_built_on: bool,
    /// How much of the run's own piece was cut off for a piece of another size (rule D9 of drains).
    pub(super) cut_off: Length,
    /// What the run's own end stands in, for good: what comes over a cap counts. Nothing while nothing stands on it.
    pub(super) own: Option<PieceEnd>,
    /// How many parts stand on it.
    pub(super) parts: u32,
}

impl Chain {
    /// An end of tube with nothing on it.
    pub(super) fn of_tube(end: EndOf) -> Self {
        Self::of_tube_in(end, end.system)
    }

    /// The same where the run begins or ends with a piece of another system's tube.
    pub(super) fn of_tube_in(end: EndOf, system: SystemId) -> Self {
        let standing = vec![Standing::open(Open::Male(system, end.size))];
        Self { end, standing, is_built_on: false, cut_off: Length::ZERO, own: None, parts: 0 }
    }

    /// Whether anything stands open.
    pub(super) fn stands_open(&self) -> bool {
        self.standing.iter().any(Standing::is_open)
    }

    /// Whether the bare tube end stands open, nothing on it.
    pub(super) fn is_bare(&self) -> bool {
        self.standing == [Standing::open(Open::Male(self.end.system, self.end.size))]
    }

    /// The tube that a part of a phase finds open before anything else, if it is one.
    pub(super) fn tube_open(&self, phase: Phase) -> Option<(SystemId, Word)> {
        match self.standing.iter().find(|one| one.is_free_in(phase))?.open {
            Open::Male(system, size) => Some((system, size)),
            Open::Socket(..) | Open::Nut(_) | Open::Thread(..) => None,
        }
    }

    /// Puts a part of one's own on the end, in a system: records it, joins it, and leaves its other ports open. Where
    /// nothing stands open for it (the answer is no) it is counted all the same, and joins nothing.
    pub(super) fn put(
        &mut self,
        sheet: &mut Sheet<'_, '_>,
        (id, system): (PartId, SystemId),
        sizes: &[Word],
        phase: Phase,
        because: Because,
    ) -> bool {
        let job = sheet.job;
        let part = job.catalog.part(id);
        let offers = offers(sheet, &part.ports, sizes, system);
        let owner = self.end.owner.in_phase(phase);
        if !part.is_site() {
            sheet.part(owner, id, system, sizes, 1, because);
            sheet.supports(
                owner,
                self.end.system,
                self.end.size,
                i64::from(part.supports),
                Because::PartSupport,
            );
        }
        let Some((from, to)) = self.choose(&job.catalog, &offers, phase) else { return false };
        let before = self.standing[from];
        let offer = offers[to];
        let open = self.take(sheet, from);
        let joined = phase.max(self.end.joins_from);
        let Some(open) = self.reach(sheet, open, offer, joined, because) else { return false };
        self.join(sheet, open, offer, joined, because);
        self.stand_in(&job.catalog, (id, to), (offer, system), sizes);
        for (index, offer) in offers.iter().enumerate() {
            // A spigot is a male end of the part's own, whether it is joined now or stands open.
            if let Offer::Male(system, size) = *offer {
                sheet.male_ends(system, size, owner.copies);
            }
            if index != to {
                self.standing.insert(index.min(self.standing.len()), opened_by(*offer, phase));
            }
        }
        if part.class == Class::Cap && offers.len() == 1 {
            self.standing.push(Standing { open: before.open, state: State::Shut(phase) });
        } else {
            self.is_built_on = true;
        }
        true
    }

    /// Takes down that a part was joined: it is what the run's own end stands in, unless others stand on that. A cap is
    /// nothing that the end stands in: what comes later takes its place.
    pub(super) fn stand_in(
        &mut self,
        catalog: &Catalog,
        (id, at): (PartId, usize),
        (offer, system): (Offer, SystemId),
        sizes: &[Word],
    ) {
        let is_cap = catalog.part(id).class == Class::Cap && sizes.len() == 1;
        self.parts += u32::from(!is_cap);
        if self.is_built_on || is_cap {
            return;
        }
        let of = match offer {
            Offer::Socket(system, size) | Offer::Male(system, size) => (system, size),
            Offer::Nut(size) | Offer::Thread(_, size) | Offer::Shut(_, size) => (system, size),
        };
        self.own = Some(opening(catalog, (id, at), of, sizes));
    }

    /// Takes what stands open at an index; what was shut is opened, and is a male end once more.
    pub(super) fn take(&mut self, sheet: &mut Sheet<'_, '_>, index: usize) -> Open {
        let Standing { open, state } = self.standing.remove(index);
        if let (Open::Male(system, size), State::Shut(_)) = (open, state) {
            sheet.male_ends(system, size, self.end.owner.copies);
        }
        open
    }

    /// Which of what stands open meets which port: what mates at once, else the first of both.
    pub(super) fn choose(&self, catalog: &Catalog, offers: &[Offer], phase: Phase) -> Option<(usize, usize)> {
        let free = || self.standing.iter().enumerate().filter(|(_, one)| one.is_free_in(phase));
        for (i, one) in free() {
            if let Some(j) = offers.iter().position(|offer| mates(catalog, one.open, *offer)) {
                return Some((i, j));
            }
        }
        let (open, _) = free().next()?;
        Some((open, offers.iter().position(|offer| !matches!(offer, Offer::Shut(..)))?))
    }

    /// Adds a piece of tube outward.
    pub(super) fn put_tube(
        &mut self,
        sheet: &mut Sheet<'_, '_>,
        length: Length,
        phase: Phase,
        because: Because,
    ) -> bool {
        let Some(index) = self.standing.iter().position(|one| one.is_free_in(phase)) else { return false };
        let open = self.take(sheet, index);
        let (system, size) = match open {
            Open::Male(system, size) | Open::Socket(system, size) => (system, size),
            Open::Nut(size) => (self.end.system, size),
            Open::Thread(..) => (self.end.system, self.end.size),
        };
        let tube = Offer::Male(system, size);
        let joined = phase.max(self.end.joins_from);
        let Some(open) = self.reach(sheet, open, tube, joined, because) else { return false };
        self.join(sheet, open, tube, joined, because);
        self.piece(sheet, system, size, length, phase, because);
        self.standing.insert(0, Standing::open(Open::Male(system, size)));
        self.is_built_on = true;
        true
    }

    pub(super) fn piece(
        &self,
        sheet: &mut Sheet<'_, '_>,
        system: SystemId,
        size: Word,
        length: Length,
        phase: Phase,
        because: Because,
    ) {
        let own = system == self.end.system;
        let variant = if own { self.end.variant } else { sheet.job.catalog.system(system).variant };
        let color = if own {
            self.end.color
        } else {
            super::resolve::color_of(sheet.job, system, self.end.owner.service)
        };
        let tube: Option<ItemId> = sheet.tube(system, size, variant, color);
        if let Some(item) = tube {
            sheet.tube_length(self.end.owner.in_phase(phase), item, length, because);
            let copies = u32::try_from(self.end.owner.copies).unwrap_or(u32::MAX);
            super::pieces::split(
                sheet,
                Piece {
                    item,
                    length,
                    run: self.end.run,
                    copies,
                    no_joint: false,
                    part: PartOf::Itself,
                    // It is cut as it is said, or as short as tube is cut.
                    cut: CutLength::default(),
                },
                self.end.owner.in_phase(phase),
            );
        } else {
            sheet.missing(self.end.run, system, "tube".to_owned());
        }
    }

    /// Makes one joint between what stands open and a port that it mates with.
    pub(super) fn join(
        &self,
        sheet: &mut Sheet<'_, '_>,
        open: Open,
        offer: Offer,
        phase: Phase,
        because: Because,
    ) {
        let owner = self.end.owner.in_phase(phase);
        match (open, offer) {
            // A crimp ring on tube of a crimp system, whoever made the fitting; solder where it sits in a cup.
            (Open::Male(tube, size), Offer::Socket(fitting, _))
            | (Open::Socket(fitting, _), Offer::Male(tube, size)) => {
                sheet.joints(owner, tube, fitting, size, 1, because);
            }
            (Open::Male(system, size), Offer::Nut(_)) => sheet.compression_joint(owner, system, size),
            (Open::Nut(size), Offer::Male(system, _)) => sheet.compression_joint(owner, system, size),
            (Open::Thread(_, size), Offer::Thread(..)) => {
                sheet.thread_joints(owner, (self.end.system, size), 1, because);
            }
            _ => {}
        }
    }

    /// Rule 16: caps and plugs on all that stands open, in this phase.
    pub(super) fn cap(&mut self, sheet: &mut Sheet<'_, '_>, phase: Phase) {
        let owner = self.end.owner.in_phase(phase);
        for index in 0..self.standing.len() {
            let Standing { open, state: State::Open } = self.standing[index] else { continue };
            match open {
                Open::Male(system, size) => {
                    if let Some(part) = sheet.used(self.end.run, system, UsedAs::Cap, "cap") {
                        sheet.part(owner, part, system, &[size], 1, Because::OpenEnd);
                        self.join(sheet, open, Offer::Socket(system, size), phase, Because::OpenEnd);
                    }
                }
                Open::Socket(system, size) => plug(sheet, owner, system, size, Because::OpenEnd),
                Open::Thread(sex, size) => {
                    thread_cap(sheet, owner, self.end.system, sex, size, Because::OpenEnd);
                }
                // A nut is closed without a tube in it.
                Open::Nut(_) => {}
            }
            self.standing[index].state = State::Shut(phase);
        }
    }
}

/// A plug in an open socket, with its joint.
pub(super) fn plug(sheet: &mut Sheet<'_, '_>, owner: Owner, system: SystemId, size: Word, because: Because) {
    let use_ = if sheet.tables.used(system, UsedAs::Plug).is_some() { UsedAs::Plug } else { UsedAs::Cap };
    stop_up(sheet, owner, system, size, use_, because);
}

/// The system's plug or cap in a socket, with its joint: a male end of its own.
pub(super) fn stop_up(
    sheet: &mut Sheet<'_, '_>,
    owner: Owner,
    system: SystemId,
    size: Word,
    use_: UsedAs,
    because: Because,
) {
    if let Some(part) = sheet.used(owner.subject, system, use_, "plug") {
        sheet.part(owner, part, system, &[size], 1, because);
        sheet.male_ends(system, size, owner.copies);
        sheet.joints(owner, system, system, size, 1, because);
    }
}

/// A threaded cap or plug on an open thread.
pub(super) fn thread_cap(
    sheet: &mut Sheet<'_, '_>,
    owner: Owner,
    system: SystemId,
    sex: Sex,
    size: Word,
    because: Because,
) {
    match sheet.tables.thread_cap(system, sex.opposite()) {
        Some(part) => {
            sheet.part(owner, part, system, &[size], 1, because);
            sheet.thread_joints(owner, (system, size), 1, because);
        }
        None => sheet.missing(
            owner.subject,
            system,
            format!("{} thread to close a {} one", sex.opposite().word(), sex.word()),
        ),
    }
}

/// What the openings of a part offer, in port order; those that are closed for good offer nothing. Sizes come in the
/// same order.
pub(super) fn offers(sheet: &Sheet<'_, '_>, ports: &[Port], sizes: &[Word], system: SystemId) -> Vec<Offer> {
    let catalog = &sheet.job.catalog;
    let named =
        |name: Option<Word>| name.and_then(|name| catalog.system_meant(name, system)).unwrap_or(system);
    let open = ports.iter().filter(|port| port.fit != Fit::Closed);
    open.zip(sizes)
        .filter_map(|(port, size)| {
            Some(match port.fit {
                Fit::Joint(name) => Offer::Socket(named(name), *size),
                Fit::TubeEnd(name) => Offer::Male(named(name), *size),
                Fit::Thread(sex) => Offer::Thread(sex, *size),
                Fit::Compression => Offer::Nut(*size),
                Fit::ClosedTubeEnd => Offer::Shut(system, *size),
                Fit::Closed => return None,
            })
        })
        .collect()
}

/// What an opening leaves where nothing fills it.
fn opened_by(offer: Offer, phase: Phase) -> Standing {
    match offer {
        Offer::Socket(system, size) => Standing::open(Open::Socket(system, size)),
        Offer::Male(system, size) => Standing::open(Open::Male(system, size)),
        Offer::Nut(size) => Standing::open(Open::Nut(size)),
        Offer::Thread(sex, size) => Standing::open(Open::Thread(sex, size)),
        Offer::Shut(system, size) => Standing { open: Open::Male(system, size), state: State::Shut(phase) },
    }
}

/// Whether what stands open sits in a port as it is.
pub(super) fn mates(catalog: &Catalog, open: Open, offer: Offer) -> bool {
    match (open, offer) {
        (Open::Male(a, x), Offer::Socket(b, y)) | (Open::Socket(a, x), Offer::Male(b, y)) => {
            catalog.shares_fittings(a, b) && x == y
        }
        (Open::Male(_, x), Offer::Nut(y)) | (Open::Nut(x), Offer::Male(_, y)) => x == y,
        (Open::Thread(a, x), Offer::Thread(b, y)) => a == b.opposite() && x == y,
        _ => false,
    }
}

/// A doubt about a part that nothing can take.
pub(super) fn nothing_to_fill(
    sheet: &mut Sheet<'_, '_>,
    run: RunId,
    rule: crate::ground::RowAt,
    part: PartId,
) {
    let job = sheet.job;
    let name = &*job.catalog.part(part).name;
    sheet.warn(findings::nothing_to_fill(job, job.runs[run.index()].row, rule, name));
}
