//! The same work for several things at once. The only place that starts threads, but for the one that watches the
//! child that reads workbooks. Called by the walk of the estimate, by the weighing of doubts and by the writing of files.

/// The same work for each of some things, each in a thread of its own where one can be started, else one after the other;
/// results in the order of the things, so that threads change nothing.
pub(crate) fn in_threads<T: Sync, R: Send>(things: &[T], work: impl Fn(&T) -> R + Sync) -> Vec<R> {
    std::thread::scope(|scope| {
        let work = &work;
        let start = |thing| std::thread::Builder::new().spawn_scoped(scope, move || work(thing));
        let started: Vec<_> = things.iter().map(|thing| (thing, start(thing))).collect();
        let done = started.into_iter().map(|(thing, thread)| match thread {
            Ok(thread) => thread.join().unwrap_or_else(|panic| std::panic::resume_unwind(panic)),
            Err(_) => work(thing),
        });
        done.collect()
    })
}
