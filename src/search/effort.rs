//! Effort: how many steps of work are left. Not a clock: a step is about one turn of an innermost loop, so
//! that the same order stops at the same place on every machine. Every searching file of this floor spends it.

/// What is left to spend.
#[derive(Debug)]
pub(crate) struct Effort {
    left: u64,
}

impl Effort {
    /// So many steps.
    pub(crate) fn new(steps: u64) -> Self {
        Effort { left: steps }
    }

    /// Takes steps away; false if there were not enough, and then none are left.
    pub(crate) fn spend(&mut self, steps: u64) -> bool {
        let enough = self.left >= steps;
        self.left = self.left.saturating_sub(steps);
        enough
    }

    /// Whether nothing is left.
    pub(crate) fn is_spent(&self) -> bool {
        self.left == 0
    }

    /// Steps left.
    pub(crate) fn left(&self) -> u64 {
        self.left
    }

    /// Does some work with at most so many of the steps.
    pub(crate) fn within<T>(&mut self, most: u64, work: impl FnOnce(&mut Effort) -> T) -> T {
        let given = most.min(self.left);
        let mut part = Effort { left: given };
        let done = work(&mut part);
        self.left -= given - part.left;
        done
    }
}

/// Numbers that look random and are the same always (splitmix64).
pub(crate) struct Dice(u64);

impl Dice {
    pub(crate) fn new(turn: u64) -> Self {
        Dice(turn)
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// A number below `end`.
    pub(crate) fn below(&mut self, end: usize) -> usize {
        (self.next() % end.max(1) as u64) as usize
    }
}
