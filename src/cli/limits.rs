//! What ends a run from outside or from a fault of ours, made a sentence and an exit status: a limit of file size, of memory
//! or of threads, and a panic. Outputs appear whole or not at all in any case.

use std::panic::{AssertUnwindSafe, PanicHookInfo, catch_unwind, set_hook};
use std::sync::{Mutex, PoisonError};

use super::{CouldNot, Outcome, Refusal};

/// What the first panic said.
static FAULT: Mutex<Option<String>> = Mutex::new(None);

/// Has the system say its limits instead of ending the program: a file beyond the limit of size is then an error of the disk
/// like any other; where memory is refused, the standard library says so and aborts, which is exit status 2 here.
pub(super) fn tell() {
    set_hook(Box::new(|panic| {
        FAULT.lock().unwrap_or_else(PoisonError::into_inner).get_or_insert_with(|| said(panic));
    }));
    #[cfg(unix)]
    handle_signals();
}

#[cfg(unix)]
fn handle_signals() {
    use std::sync::Arc;
    use std::sync::atomic::AtomicBool;

    use rustix::process::Signal;
    use signal_hook::flag;

    // Where a handler is refused, all is as it was without.
    let _ = flag::register(Signal::XFSZ.as_raw(), Arc::new(AtomicBool::new(false)));
    let _ = flag::register_conditional_shutdown(Signal::ABORT.as_raw(), 2, Arc::new(AtomicBool::new(true)));
}

/// Does the work; a panic in it is a sentence.
pub(super) fn caught(work: impl FnOnce() -> Result<Outcome, CouldNot>) -> Result<Outcome, CouldNot> {
    catch_unwind(AssertUnwindSafe(work)).unwrap_or_else(|_| {
        let fault = FAULT.lock().unwrap_or_else(PoisonError::into_inner).take();
        Err(Refusal::new("fault", sentence(fault.as_deref().unwrap_or("no word"))).into())
    })
}

/// What a panic says, and where in the sources.
fn said(panic: &PanicHookInfo<'_>) -> String {
    let place = panic.location().map(|at| format!(" ({at})")).unwrap_or_default();
    let payload = panic.payload();
    let text = payload.downcast_ref::<&str>().copied();
    let text = text.or_else(|| payload.downcast_ref::<String>().map(String::as_str));
    format!("{}{place}", text.unwrap_or("no word"))
}

fn sentence(fault: &str) -> String {
    // The libraries that write workbooks start threads of their own, and panic so where they cannot.
    if fault.contains("failed to spawn thread") {
        return "the system starts no more threads for this program; end others or raise the limit, and run again"
            .to_owned();
    }
    format!("the program has a fault; please report it with the job: {fault}")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cli::told::Told;
    use crate::ground::threads::in_threads;

    #[test]
    fn a_panic_of_whatever_thread_is_a_sentence() {
        let done = caught(|| {
            let never: Vec<u8> = in_threads(&[(); 3], |()| panic!("a fault made for this test"));
            Ok(Outcome { whole: never.is_empty(), ..Outcome::of(Told::default()) })
        });
        assert!(matches!(done, Err(CouldNot::Refused(of)) if of.why.contains("has a fault")));
        let no_thread = "failed to spawn thread: Os { code: 11, kind: WouldBlock }";
        assert!(sentence(no_thread).contains("no more threads"));
    }
}
