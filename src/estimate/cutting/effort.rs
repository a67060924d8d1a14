//! Effort: how many steps of work are left. Not a clock: a step is about one turn of an innermost loop, so
//! that the same order stops at the same place on every machine. Every searching file of this module spends it.

/// What is left to spend.
#[derive(Debug)]
pub(super) struct Effort {
    left: u64,
}

impl Effort {
    /// So many steps.
    pub(super) fn new(steps: u64) -> Self {
        Effort { left: steps }
    }

    /// Takes steps away; false if there were not enough, and then none are left.
    pub(super) fn spend(&mut self, steps: u64) -> bool {
        let enough = self.left >= steps;
        self.left = self.left.saturating_sub(steps);
        enough
    }

    /// Whether nothing is left.
    pub(super) fn is_spent(&self) -> bool {
        self.left == 0
    }

    /// Steps left.
    pub(super) fn left(&self) -> u64 {
        self.left
    }

    /// Does some work with at most so many of the steps.
    pub(super) fn within<T>(&mut self, most: u64, work: impl FnOnce(&mut Effort) -> T) -> T {
        let given = most.min(self.left);
        let mut part = Effort { left: given };
        let done = work(&mut part);
        self.left -= given - part.left;
        done
    }
}
