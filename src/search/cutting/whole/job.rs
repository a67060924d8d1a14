//! An order in normal form and how it may be packed: the plain data that all searches of this folder share.

/// Equal pieces, in normal units with the kerf added.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Piece {
    pub(crate) len: u64,
    pub(crate) count: u64,
}

/// Sticks that are equal for the work at hand.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Kind {
    pub(crate) len: u64,
    /// In units of the common measure of all prices.
    pub(crate) price: u64,
    /// At most so many can be used: what is available, and never more than there are pieces.
    pub(crate) most: u64,
    /// Whether it may hold the fluid piece, if there is one.
    pub(crate) wet: bool,
}

/// An order in normal form: pieces longest first, kinds longest first and then cheapest.
#[derive(Debug, Clone)]
pub(crate) struct Job {
    pub(crate) pieces: Vec<Piece>,
    pub(crate) kinds: Vec<Kind>,
    /// What may be parted anywhere.
    pub(crate) fluid: Option<Fluid>,
}

/// Crumbs of what may be parted anywhere, which only wet kinds may hold.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Fluid {
    /// The piece that the crumbs are: the last.
    pub(crate) piece: usize,
    /// So many wet sticks there are at least.
    pub(crate) parts: u64,
}

impl Job {
    /// How many of each piece are wanted.
    pub(crate) fn counts(&self) -> Vec<u64> {
        self.pieces.iter().map(|piece| piece.count).collect()
    }

    /// How many of each kind there may be.
    pub(crate) fn most(&self) -> Vec<u64> {
        self.kinds.iter().map(|kind| kind.most).collect()
    }
}

/// Sticks of one kind that are cut alike: pieces of the job by index and count, longest first.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Load {
    pub(crate) kind: usize,
    pub(crate) times: u64,
    pub(crate) pieces: Vec<(usize, u64)>,
}

/// What a rule has packed, and the pieces and sticks that it has not used.
#[derive(Debug, Clone)]
pub(crate) struct Packed {
    pub(crate) loads: Vec<Load>,
    pub(crate) left: Vec<u64>,
    pub(crate) sticks: Vec<u64>,
}

impl Packed {
    /// Are all pieces in?
    pub(crate) fn is_whole(&self) -> bool {
        self.left.iter().all(|&n| n == 0)
    }
}

/// The price of all sticks of some loads.
pub(crate) fn price_of(job: &Job, loads: &[Load]) -> u128 {
    loads.iter().map(|load| u128::from(job.kinds[load.kind].price) * u128::from(load.times)).sum()
}

/// The best packing found, and the proven bound.
#[derive(Debug)]
pub(crate) struct Found {
    pub(crate) loads: Vec<Load>,
    pub(crate) cost: u128,
    pub(crate) bound: u128,
}

impl Found {
    /// Adds sticks that are in every plan.
    pub(crate) fn add(&mut self, job: &Job, settled: Vec<Load>) {
        let price = price_of(job, &settled);
        self.cost += price;
        self.bound += price;
        self.loads.extend(settled);
    }
}
