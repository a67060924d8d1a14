//! The sheet that one alternative is written on: lines, pieces, ends and the balance, each written once and multiplied
//! by the run's count here and nowhere else.

use super::findings;
use rustc_hash::FxHashMap;

use super::super::item::Sizes;
use super::super::joint_rows::JointRow;
use super::super::takeoff::{
    Balance, Because, EndLine, EndMet, JointKind, JointsMade, Line, Missing, Piece, Subject, Takeoff,
};
use super::findings::{Asking, not_made_for};
use super::tables::Tables;
use crate::estimate::{Color, Item, ItemId, Items, RunEnd, RunId};
use crate::ground::{Length, Notice, RowAt};
use crate::trade::Job;
use crate::trade::{Class, Fit, Part, PartId, Phase, Service, Sides, SystemId, UsedAs, Word};

/// Whose lines are being written.
#[derive(Debug, Clone, Copy)]
pub(super) struct Owner {
    pub(super) subject: Subject,
    pub(super) service: Option<Service>,
    pub(super) phase: Phase,
    pub(super) area: Word,
    pub(super) copies: i64,
}

impl Owner {
    /// The same in another phase.
    pub(super) fn in_phase(self, phase: Phase) -> Self {
        Self { phase, ..self }
    }
}

/// The sheet.
pub(super) struct Sheet<'j, 'i> {
    pub(super) job: &'j Job,
    pub(super) tables: &'j Tables,
    pub(super) takeoff: Takeoff,
    /// Runs that this alternative finds in error.
    pub(super) barred: Vec<RunId>,
    items: &'i mut Items,
    balance: FxHashMap<(SystemId, Word), usize>,
    made: FxHashMap<(JointKind, SystemId, Word, Phase, Word), usize>,
    silent_joints: Vec<(Word, Word)>,
    not_made_for: Vec<(RowAt, SystemId)>,
    consumed: FxHashMap<(JointRow, SystemId, Word), Option<ItemId>>,
}

impl<'j, 'i> Sheet<'j, 'i> {
    /// An empty sheet.
    pub(super) fn new(job: &'j Job, tables: &'j Tables, sides: Sides, items: &'i mut Items) -> Self {
        let takeoff = Takeoff {
            lines: Vec::with_capacity(job.runs.len() * 12),
            pieces: Vec::with_capacity(job.runs.len() * 2),
            ..Takeoff::empty(sides)
        };
        let (barred, silent_joints) = (Vec::new(), Vec::new());
        Self {
            job,
            tables,
            takeoff,
            barred,
            items,
            balance: FxHashMap::default(),
            made: FxHashMap::default(),
            silent_joints,
            not_made_for: Vec::new(),
            consumed: FxHashMap::default(),
        }
    }

    /// Takes a doubt down.
    pub(super) fn warn(&mut self, notice: Notice) {
        self.takeoff.notices.push(notice);
    }

    /// Takes a doubt down that many runs share: the first of them speaks for all.
    pub(super) fn warn_once(&mut self, notice: Notice) {
        let said = |other: &Notice| other.kind == notice.kind && other.found == notice.found;
        if !self.takeoff.notices.iter().any(said) {
            self.takeoff.notices.push(notice);
        }
    }

    /// Leaves a pattern row out alone: the run stays, and the estimate is incomplete.
    pub(super) fn leave_out_rule(&mut self, subject: impl Into<Subject>, notice: Notice, system: SystemId) {
        self.warn(notice);
        self.miss_rule(subject, system);
    }

    /// The same where what it hangs on is left out, and that is told.
    pub(super) fn miss_rule(&mut self, subject: impl Into<Subject>, system: SystemId) {
        let (subject, what) = (subject.into(), "a rule that is in error".to_owned());
        self.takeoff.missing.push(Missing { subject, what, system });
    }

    /// Leaves a run out of all alternatives.
    pub(super) fn bar(&mut self, run: RunId, notice: Notice) {
        self.takeoff.notices.push(notice);
        self.barred.push(run);
    }

    fn line(&mut self, owner: Owner, item: ItemId, count: i64, joint: Option<u32>, because: Because) {
        let Some(count) = count.checked_mul(owner.copies).filter(|n| n.checked_mul(1_000).is_some()) else {
            if let Subject::Run(run) = owner.subject {
                self.bar(run, findings::too_many(self.job, self.job.runs[run.index()].row));
            }
            return;
        };
        if count != 0 {
            let Owner { subject, service, phase, area, .. } = owner;
            self.takeoff.lines.push(Line { item, count, joint, subject, because, service, phase, area });
        }
    }

    /// So many of a part, its sizes in reading order.
    pub(super) fn part(
        &mut self,
        owner: Owner,
        part: PartId,
        system: SystemId,
        sizes: &[Word],
        n: i64,
        because: Because,
    ) {
        let item = self.item(part, system, sizes);
        self.line(owner, item, n, None, because);
    }

    fn item(&mut self, id: PartId, system: SystemId, sizes: &[Word]) -> ItemId {
        self.items.id(Item::of_part(&self.job.catalog, id, system, sizes))
    }

    /// The item of a tube.
    pub(super) fn tube(
        &mut self,
        system: SystemId,
        size: Word,
        variant: Word,
        color: Color,
    ) -> Option<ItemId> {
        let part = self.tables.used(system, UsedAs::Tube)?;
        Some(self.items.id(Item {
            part,
            system: Some(system),
            sizes: Sizes::of(&[size], false),
            variant,
            color,
            class: Class::Tube,
            unit: Word::EMPTY,
        }))
    }

    /// So much tube.
    pub(super) fn tube_length(&mut self, owner: Owner, tube: ItemId, length: Length, because: Because) {
        self.line(owner, tube, length.nanometres(), None, because);
    }

    /// The part the engine takes for a use; where there is none the alternative is incomplete.
    pub(super) fn used(
        &mut self,
        subject: impl Into<Subject>,
        system: SystemId,
        use_: UsedAs,
        what: &str,
    ) -> Option<PartId> {
        let found = self.tables.used(system, use_);
        if found.is_none() {
            self.missing(subject, system, what.to_owned());
        }
        found
    }

    /// Takes down that a part is in no table.
    pub(super) fn missing(&mut self, subject: impl Into<Subject>, system: SystemId, what: String) {
        let name = self.job.lexicon.text(self.job.catalog.system(system).name);
        let subject = subject.into();
        let row = match subject {
            Subject::Run(run) => self.job.runs[run.index()].row,
            Subject::Place(place) => self.job.places[place as usize].row,
        };
        self.warn_once(findings::no_equivalent(self.job, row, &what, name));
        self.takeoff.missing.push(Missing { subject, what, system });
    }

    /// Joints of one size: ends of a system's tube in sockets, and what they consume. The fitting may be of another system
    /// that shares the tube: whose joint it then is, the catalog says.
    pub(super) fn joints(
        &mut self,
        owner: Owner,
        tube: SystemId,
        fitting: SystemId,
        size: Word,
        n: i64,
        because: Because,
    ) {
        self.balance_of(tube, size).filled += n * owner.copies;
        self.takeoff.joints += n * owner.copies;
        let system = self.job.catalog.joint_of(tube, fitting);
        self.make(owner, JointKind::Tube, system, size, n);
        self.consume(owner, JointKind::Tube, system, size, n, because);
    }

    /// Joints of one size that couple two ends of tube without a part.
    pub(super) fn seams(&mut self, owner: Owner, system: SystemId, size: Word, n: i64, because: Because) {
        self.balance_of(system, size).coupled += n * owner.copies;
        self.joints(owner, system, system, size, n, because);
    }

    /// A compression joint: its nut and ferrule come with the part.
    pub(super) fn compression_joint(&mut self, owner: Owner, system: SystemId, size: Word) {
        self.balance_of(system, size).filled += owner.copies;
        self.make(owner, JointKind::Compression, system, size, 1);
    }

    /// Threaded joints of one size.
    pub(super) fn thread_joints(
        &mut self,
        owner: Owner,
        (system, size): (SystemId, Word),
        n: i64,
        because: Because,
    ) {
        self.make(owner, JointKind::Thread, system, size, n);
        self.consume(owner, JointKind::Thread, system, size, n, because);
    }

    /// Takes down that joints are made, with when and where.
    fn make(&mut self, owner: Owner, kind: JointKind, system: SystemId, size: Word, n: i64) {
        let Owner { phase, area, copies, .. } = owner;
        let list = &mut self.takeoff.made;
        let index = *self.made.entry((kind, system, size, phase, area)).or_insert_with(|| {
            list.push(JointsMade { kind, system, size, phase, area, count: 0 });
            list.len() - 1
        });
        list[index].count = list[index].count.saturating_add(n.saturating_mul(copies));
    }

    fn consume(
        &mut self,
        owner: Owner,
        kind: JointKind,
        system: SystemId,
        size: Word,
        n: i64,
        because: Because,
    ) {
        let (tables, catalog) = (self.tables, &self.job.catalog);
        let rows = tables.joints.rows(catalog, kind, system, size);
        let joint = catalog.system(system).joint;
        if rows.is_empty()
            && kind == JointKind::Tube
            && tables.joints.speaks_of(joint)
            && !self.silent_joints.contains(&(joint, size))
        {
            self.silent_joints.push((joint, size));
            if let Subject::Run(run) = owner.subject {
                let row = self.job.runs[run.index()].row;
                let (joint, size) = (self.job.lexicon.text(joint), self.job.lexicon.text(size));
                self.warn(findings::nothing_consumed(self.job, row, joint, size));
            }
        }
        for row in rows {
            match self.consumed_item(*row, system, size) {
                Some(id) => self.line(owner, id, n, Some(row.0), because),
                None if n != 0 => {
                    self.not_made_for(owner, Asking::Joints, tables.joints.asked_for(catalog, *row), system)
                }
                None => {}
            }
        }
    }

    /// The item that a row of the joints table consumes; asked for at every joint, so it is remembered.
    fn consumed_item(&mut self, row: JointRow, system: SystemId, size: Word) -> Option<ItemId> {
        if let Some(known) = self.consumed.get(&(row, system, size)) {
            return *known;
        }
        let item = self.tables.joints.item(&self.job.catalog, row, system, size);
        let id = item.map(|item| self.items.id(item));
        self.consumed.insert((row, system, size), id);
        id
    }

    /// A table asks for a part that is not made for the system: nothing of it is counted, and the alternative is
    /// incomplete. Told once for each row and system.
    fn not_made_for(&mut self, owner: Owner, asking: Asking, (row, part): (RowAt, Word), system: SystemId) {
        if self.not_made_for.contains(&(row, system)) {
            return;
        }
        self.not_made_for.push((row, system));
        self.takeoff.notices.push(not_made_for(self.job, asking, (row, part), system));
        let what = self.job.lexicon.text(part).to_owned();
        self.takeoff.missing.push(Missing { subject: owner.subject, what, system });
    }

    /// So many tube ends (or other male ends) of one size.
    pub(super) fn male_ends(&mut self, system: SystemId, size: Word, n: i64) {
        self.balance_of(system, size).male += n;
    }

    /// Joints of parts counted by eye: each opening is one, whatever it meets. Two of them close the ends of the cut
    /// that the part makes; the others are declared, and stand on no end of the network.
    pub(super) fn declared_joints(
        &mut self,
        owner: Owner,
        system: SystemId,
        size: Word,
        parts: i64,
        ports: i64,
        because: Because,
    ) {
        let balance = self.balance_of(system, size);
        balance.filled += 2 * parts * owner.copies;
        balance.declared += (ports - 2) * parts * owner.copies;
        self.takeoff.joints += ports * parts * owner.copies;
        self.make(owner, JointKind::Tube, system, size, ports * parts);
        self.consume(owner, JointKind::Tube, system, size, ports * parts, because);
    }

    /// The item of an id.
    pub(super) fn item_of(&self, id: ItemId) -> &Item {
        self.items.get(id)
    }

    /// An end that no part fills.
    pub(super) fn end(
        &mut self,
        owner: Owner,
        run: RunId,
        end: RunEnd,
        met: EndMet,
        system: SystemId,
        size: Word,
    ) {
        let copies = owner.copies;
        let balance = self.balance_of(system, size);
        match met {
            EndMet::OnSite => balance.on_site += copies,
            EndMet::Elsewhere => balance.elsewhere += copies,
            EndMet::Capped | EndMet::Plugged => {}
        }
        let service = self.job.runs[run.index()].service;
        let copies = u32::try_from(copies).unwrap_or(u32::MAX);
        self.takeoff.ends.push(EndLine { run, end, met, size, service, phase: owner.phase, copies });
    }

    fn balance_of(&mut self, system: SystemId, size: Word) -> &mut Balance {
        let list = &mut self.takeoff.balance;
        let index = *self.balance.entry((system, size)).or_insert_with(|| {
            let (male, filled, coupled) = (0, 0, 0);
            list.push(Balance { system, size, male, filled, coupled, on_site: 0, elsewhere: 0, declared: 0 });
            list.len() - 1
        });
        &mut list[index]
    }

    /// A whole piece of tube; each has two ends.
    pub(super) fn piece(&mut self, piece: Piece) {
        let item = *self.items.get(piece.item);
        if let (Some(system), [size]) = (item.system, item.sizes.as_slice()) {
            self.male_ends(system, *size, 2 * i64::from(piece.copies));
        }
        if piece.copies > 0 {
            self.takeoff.pieces.push(piece);
        }
    }

    /// Takes up a coupling of each tube, and what its joints consume, as items: a cut plan may ask for them where the
    /// takeoff does not.
    fn name_couplings(&mut self) {
        let tubes: Vec<Item> =
            self.items.ids().map(|id| *self.items.get(id)).filter(Item::is_length).collect();
        for tube in tubes {
            let (Some(system), [size]) = (tube.system, tube.sizes.as_slice()) else { continue };
            if let Some(part) = self.tables.used(system, UsedAs::Coupling) {
                self.item(part, system, &[*size, *size]);
                let tables = self.tables;
                for row in tables.joints.rows(&self.job.catalog, JointKind::Tube, system, *size) {
                    self.consumed_item(*row, system, *size);
                }
            }
        }
    }

    /// The takeoff as it stands, and the runs that are barred, each once.
    pub(super) fn done(mut self) -> (Takeoff, Vec<RunId>) {
        self.name_couplings();
        self.takeoff.balance.sort_by_key(|balance| (balance.system, balance.size));
        self.takeoff.made.retain(|made| made.count != 0);
        self.takeoff.made.sort_by_key(|made| (made.phase, made.area, made.kind, made.system, made.size));
        self.takeoff.missing.dedup();
        self.barred.sort_unstable();
        self.barred.dedup();
        (self.takeoff, self.barred)
    }

    /// Takes down that the supports table does not speak of a tube.
    pub(super) fn no_support_rule(&mut self, run: RunId, system: SystemId, size: Word) {
        let (catalog, lexicon) = (&self.job.catalog, &self.job.lexicon);
        let (tube, size) = (lexicon.text(catalog.system(system).tube), lexicon.text(size));
        self.warn_once(findings::no_support_rule(self.job, self.job.runs[run.index()].row, tube, size));
    }

    /// Supports of so many points of one tube, by the supports table.
    pub(super) fn supports(&mut self, owner: Owner, system: SystemId, size: Word, n: i64, because: Because) {
        if n == 0 {
            return;
        }
        let Some(rule) = self.tables.support(&self.job.catalog, system, size) else {
            if let Subject::Run(run) = owner.subject {
                self.no_support_rule(run, system, size);
            }
            return;
        };
        let rule = &self.job.catalog.supports[rule];
        match self.job.catalog.part_called(rule.part, Word::EMPTY, system) {
            Some(part) => self.part(owner, part, system, &[size], n, because),
            None => self.not_made_for(owner, Asking::Supports, (rule.row, rule.part), system),
        }
    }
}

/// The sizes of a part's openings in reading order: an opening's own size, else the row's, else the size of the tube it
/// stands on. Shut openings have none; a part without openings has the row's sizes, or what holds tube or joins it that of
/// the tube.
pub(super) fn port_sizes(part: &Part, given: &[Word], tube: Word) -> Vec<Word> {
    if part.ports.is_empty() {
        let is_of_tube = matches!(part.class, Class::Support | Class::Ring | Class::Tube);
        return if is_of_tube && given.is_empty() { vec![tube] } else { given.to_vec() };
    }
    let open = || part.ports.iter().filter(|port| port.fit != Fit::Closed);
    let own = open().filter(|port| port.size.is_none()).count();
    let mut next = given.iter();
    open()
        .map(|port| match (port.size, given) {
            (Some(size), _) => size,
            (None, []) => tube,
            (None, [one]) => *one,
            (None, [first, ..]) if given.len() < own => *next.next().unwrap_or(first),
            (None, [.., last]) => *next.next().unwrap_or(last),
        })
        .collect()
}
