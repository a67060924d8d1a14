//! Supports by spacing along a run, across and up, and along its tail (rule 19 of counting).

use super::super::takeoff::Because;
use super::super::words::Trouble;
use super::Laying;
use super::dress::Dress;
use super::sheet::Who;
use crate::ground::Length;
use crate::trade::{Lie, Run, Word};

impl Laying<'_, '_> {
    /// Rule 19: supports by spacing, across and up, and of the tail.
    pub(super) fn supports_of(&mut self, run: &Run, dress: &Dress, who: Who) {
        if run.lie != Lie::Framing {
            return;
        }
        let (along, up) = (run.length.checked_sub(run.rise.abs()).unwrap_or(Length::ZERO), run.rise.abs());
        self.spacing(run, dress, dress.size, along, up, who, Because::Spacing);
        if let Some(tail) = run.tail {
            self.spacing(run, dress, dress.end_size, tail, Length::ZERO, who, Because::TailSpacing);
        }
    }

    #[allow(clippy::too_many_arguments)]
    fn spacing(
        &mut self,
        run: &Run,
        dress: &Dress,
        size: Word,
        along: Length,
        up: Length,
        who: Who,
        because: Because,
    ) {
        let Some(rule) = self.sheet.tables.support(&self.job.catalog, dress.system, size) else {
            let tube = self.job.lexicon.text(self.job.catalog.system(dress.system).tube);
            let size = self.job.lexicon.text(size);
            self.sheet.warn_once(Trouble::NoSupportRule { run: run.row, tube, size });
            return;
        };
        let rule = &self.job.catalog.supports[rule];
        let n = spaced(along, rule.across) + spaced(up, rule.up);
        self.sheet.supports(who, dress.system, size, n, because);
    }
}

/// How many spacings begun are in a length; none where there is no spacing.
pub(super) fn spaced(length: Length, spacing: Option<Length>) -> i64 {
    match spacing.map(Length::nanometres) {
        Some(spacing) if spacing > 0 && length > Length::ZERO => (length.nanometres() - 1) / spacing + 1,
        Some(_) | None => 0,
    }
}
