//! The bar of long work on a terminal: it appears after a second, counts real units of work, and is gone before anything
//! else is printed. Where no thread can be started there is none.

use std::sync::mpsc::{RecvTimeoutError, Sender, channel};
use std::thread::{Builder, JoinHandle};
use std::time::Duration;

use crate::ground::progress::{Work, now};

/// Work that takes less is not told of.
const PATIENCE: Duration = Duration::from_secs(1);

/// How often it is drawn.
const PACE: Duration = Duration::from_millis(120);

/// The columns of the bar itself.
const COLUMNS: u64 = 20;

/// A bar that is drawn until it is dropped.
pub(super) struct Bar {
    stop: Option<Sender<()>>,
    drawing: Option<JoinHandle<()>>,
}

impl Bar {
    /// Starts to wait for long work; `print` draws over the line that the cursor is in.
    pub(super) fn start(print: fn(&str)) -> Option<Self> {
        let (stop, stopped) = channel::<()>();
        let draw = move || {
            let mut wait = PATIENCE;
            // Dropping the other end wakes it at once.
            while stopped.recv_timeout(wait) == Err(RecvTimeoutError::Timeout) {
                wait = PACE;
                if let Some(told) = now() {
                    print(&format!("\r\u{1b}[2K{}", drawn(told)));
                }
            }
            if wait == PACE {
                print("\r\u{1b}[2K");
            }
        };
        let drawing = Builder::new().spawn(draw).ok()?;
        Some(Self { stop: Some(stop), drawing: Some(drawing) })
    }
}

impl Drop for Bar {
    fn drop(&mut self) {
        self.stop = None;
        if let Some(drawing) = self.drawing.take() {
            let _ = drawing.join();
        }
    }
}

/// `[#####---------------] 1200 of 4800 runs laid`; without a bar where nobody knows how many there are.
fn drawn((work, done, all): (Work, u64, Option<u64>)) -> String {
    match all {
        Some(all) => {
            let full = (u128::from(done) * u128::from(COLUMNS)).checked_div(u128::from(all)).unwrap_or(0);
            let full = usize::try_from(full.min(u128::from(COLUMNS))).unwrap_or(0);
            let rest = usize::try_from(COLUMNS).unwrap_or(0).saturating_sub(full);
            format!("[{}{}] {done} of {all} {}", "#".repeat(full), "-".repeat(rest), work.words())
        }
        None => format!("{done} {}", work.words()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_bar_is_as_full_as_the_work_is_done() {
        assert_eq!(drawn((Work::Runs, 1200, Some(4800))), "[#####---------------] 1200 of 4800 runs laid");
        assert_eq!(
            drawn((Work::Files, 9, Some(9))),
            "[####################] 9 of 9 files and sheets written"
        );
        assert_eq!(drawn((Work::Rows, 300_000, None)), "300000 rows read");
    }

    #[test]
    fn a_bar_that_is_not_waited_for_ends_at_once() {
        let begun = std::time::Instant::now();
        drop(Bar::start(|_| ()));
        assert!(begun.elapsed() < PATIENCE / 2);
    }
}
