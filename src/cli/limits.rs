//! What ends a run from outside or from a fault of ours, made a sentence and an exit status: a limit of file size or memory,
//! and a panic. Outputs appear whole or not at all in any case.

use std::panic::{AssertUnwindSafe, catch_unwind};

use super::{CouldNot, Outcome, Refusal};

/// Has the system say its limits instead of ending the program: a file beyond the limit of size is then an error of the disk
/// like any other; where memory is refused, the standard library says so and aborts, which is exit status 2 here.
#[cfg(unix)]
pub(super) fn tell() {
    use std::sync::Arc;
    use std::sync::atomic::AtomicBool;

    use rustix::process::Signal;
    use signal_hook::flag;

    // Where a handler is refused, all is as it was without.
    let _ = flag::register(Signal::XFSZ.as_raw(), Arc::new(AtomicBool::new(false)));
    let _ = flag::register_conditional_shutdown(Signal::ABORT.as_raw(), 2, Arc::new(AtomicBool::new(true)));
}

/// Other systems have no such signals.
#[cfg(not(unix))]
pub(super) fn tell() {}

/// Does the work; a panic in it is a sentence.
pub(super) fn caught(work: impl FnOnce() -> Result<Outcome, CouldNot>) -> Result<Outcome, CouldNot> {
    catch_unwind(AssertUnwindSafe(work)).unwrap_or_else(|_| {
        let why = "the program has a fault: please report what stands above, with the job";
        Err(Refusal::new("fault", why).into())
    })
}
