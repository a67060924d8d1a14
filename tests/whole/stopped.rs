//! The writer is stopped after each of its operations, as by a kill: from there on nothing works. Whoever comes next finds or
//! makes one whole set, all old or all new.

use std::fs;
use std::io::{self, Read};
use std::path::Path;
use std::sync::atomic::{AtomicUsize, Ordering};

use coilstick::estimate::revision::{Revision, Side, revise};
use coilstick::estimate::{Estimate, estimate};
use coilstick::report::{self, Disk, Lock, RealDisk, There, WriteError};
use coilstick::trade::Job;

use crate::desk::{Desk, Files, files, put_back};

/// A disk that works so many times. What changes nothing is not counted: stopped there is stopped before the next change.
struct Stops {
    left: AtomicUsize,
}

/// More than any run needs.
const NEVER: usize = 1_000_000;

impl Stops {
    fn after(operations: usize) -> Self {
        Self { left: AtomicUsize::new(operations) }
    }

    fn done(&self) -> usize {
        NEVER - self.left.load(Ordering::Relaxed)
    }

    fn works(&self) -> io::Result<()> {
        let left = self.left.fetch_update(Ordering::Relaxed, Ordering::Relaxed, |left| left.checked_sub(1));
        left.map(drop).map_err(|_| stopped())
    }

    fn still(&self) -> io::Result<()> {
        if self.left.load(Ordering::Relaxed) > 0 { Ok(()) } else { Err(stopped()) }
    }
}

fn stopped() -> io::Error {
    io::Error::other("stopped")
}

impl Disk for Stops {
    fn there(&self, path: &Path) -> io::Result<There> {
        self.still()?;
        RealDisk.there(path)
    }

    fn open(&self, path: &Path) -> io::Result<Box<dyn Read>> {
        self.still()?;
        RealDisk.open(path)
    }

    fn write(&self, path: &Path, bytes: &[u8]) -> io::Result<()> {
        if let Err(why) = self.works() {
            // A kill leaves a part.
            let _ = fs::write(path, &bytes[..bytes.len() / 2]);
            return Err(why);
        }
        fs::write(path, bytes)
    }

    fn create_dir(&self, path: &Path) -> io::Result<()> {
        self.works()?;
        RealDisk.create_dir(path)
    }

    fn rename(&self, from: &Path, to: &Path) -> io::Result<()> {
        self.works()?;
        RealDisk.rename(from, to)
    }

    fn remove_file(&self, path: &Path) -> io::Result<()> {
        self.works()?;
        RealDisk.remove_file(path)
    }

    fn remove_dir(&self, path: &Path) -> io::Result<()> {
        self.works()?;
        RealDisk.remove_dir(path)
    }

    fn sync_dir(&self, _: &Path) -> io::Result<()> {
        self.works()
    }

    fn is_held(&self, path: &Path) -> io::Result<bool> {
        self.still()?;
        RealDisk.is_held(path)
    }

    fn lock(&self, path: &Path) -> io::Result<Lock> {
        self.works()?;
        RealDisk.lock(path)
    }
}

/// A command that writes into a folder.
type Writes<'a> = &'a dyn Fn(&dyn Disk, &Path) -> Result<(), WriteError>;

/// Stops a command after each of its operations, over a folder as `prepare` makes it. Gives how many there are.
fn stop_everywhere(desk: &Desk, prepare: &dyn Fn(&Path), writes: Writes<'_>) -> usize {
    let out = desk.path("out");
    prepare(&out);
    let before = files(&out);
    let counting = Stops::after(NEVER);
    writes(&counting, &out).unwrap();
    let (operations, after) = (counting.done(), files(&out));
    let mut seen_old = 0;
    for stop in 0..operations {
        put_back(&before, &out);
        let told = writes(&Stops::after(stop), &out);
        let broken = files(&out);
        report::mend(&out).unwrap();
        let mended = files(&out);
        let is_new = mended == after;
        assert!(is_new || mended == before, "stopped after {stop}: {:?}", differences(&before, &mended));
        assert!(told.is_err() || is_new, "stopped after {stop}, the run said that all is well");
        seen_old += usize::from(!is_new);
        // Whoever comes next may as well write at once.
        put_back(&broken, &out);
        let next = writes(&Stops::after(NEVER), &out);
        assert!(next.is_ok(), "stopped after {stop}: {}", next.unwrap_err());
        let left = files(&out);
        assert!(left == after, "stopped after {stop}: {:?}", differences(&after, &left));
    }
    assert!(before == after || (1..operations).contains(&seen_old), "{seen_old} of {operations}");
    operations
}

/// The names of files that are not the same.
fn differences(of: &Files, and: &Files) -> Vec<String> {
    let names = of.keys().chain(and.keys());
    let mut other: Vec<String> = names.filter(|name| of.get(*name) != and.get(*name)).cloned().collect();
    other.sort();
    other.dedup();
    other
}

fn read(desk: &Desk, name: &str) -> (Job, Estimate) {
    let job = Job::read(&desk.path(name)).unwrap();
    let estimated = estimate(&job);
    (job, estimated)
}

/// Two jobs, the first with a table that the second has not, and their estimates.
fn two_jobs(desk: &Desk) -> [(Job, Estimate); 2] {
    desk.job("a", 40, true);
    desk.job("b", 70, false);
    ["a", "b"].map(|name| read(desk, name))
}

fn put((job, estimate): &(Job, Estimate), disk: &dyn Disk, out: &Path) -> Result<(), WriteError> {
    report::write_on(disk, job, estimate, out).map(drop)
}

#[test]
fn a_first_estimate_is_there_whole_or_not_at_all() {
    let desk = Desk::new("stopped-first");
    let [a, _] = two_jobs(&desk);
    let operations = stop_everywhere(&desk, &|_| (), &|disk, out| put(&a, disk, out));
    assert!(operations > 60, "{operations}");
}

#[test]
fn of_two_estimates_one_is_there_whole_and_other_peoples_files_stay() {
    let desk = Desk::new("stopped-second");
    let [a, b] = two_jobs(&desk);
    let prepare = |out: &Path| {
        put(&a, &Stops::after(NEVER), out).unwrap();
        fs::write(out.join("letter.txt"), "mine").unwrap();
        fs::write(out.join("inputs/notes.csv"), "mine too").unwrap();
    };
    let operations = stop_everywhere(&desk, &prepare, &|disk, out| put(&b, disk, out));
    assert!(operations > 90, "{operations}");
    let left = files(&desk.path("out"));
    assert!(left.contains_key("letter.txt") && left.contains_key("inputs/notes.csv"));
    assert!(!left.contains_key("inputs/suppliers.csv"), "the table of the job before is gone");
}

#[test]
fn the_same_estimate_again_is_there_whole() {
    let desk = Desk::new("stopped-same");
    let [a, _] = two_jobs(&desk);
    let prepare = |out: &Path| put(&a, &Stops::after(NEVER), out).unwrap();
    stop_everywhere(&desk, &prepare, &|disk, out| put(&a, disk, out));
}

#[test]
fn what_somebody_wrote_is_kept_wherever_the_run_is_stopped() {
    let desk = Desk::new("stopped-edited");
    let [a, b] = two_jobs(&desk);
    let edited = ["estimate.xlsx", "order.csv", "estimate.json", "inputs/runs.csv", "inputs/suppliers.csv"];
    let prepare = |out: &Path| {
        put(&a, &Stops::after(NEVER), out).unwrap();
        for name in edited {
            let bytes = [&fs::read(out.join(name)).unwrap()[..], b"\n"].concat();
            fs::write(out.join(name), bytes).unwrap();
        }
        fs::write(out.join("order-edited.csv"), "kept before").unwrap();
    };
    stop_everywhere(&desk, &prepare, &|disk, out| put(&b, disk, out));
    let left = files(&desk.path("out"));
    let kept = [
        "estimate-edited.xlsx",
        "order-edited-2.csv",
        "estimate-edited.json",
        "runs-edited.csv",
        "suppliers-edited.csv",
    ];
    for name in kept {
        assert!(left[name].ends_with(b"\n"), "{name}");
    }
    assert_eq!(left["order-edited.csv"], b"kept before");
}

#[test]
fn a_refused_estimate_leaves_all_as_it_was_wherever_it_is_stopped() {
    let desk = Desk::new("stopped-refused");
    let [a, _] = two_jobs(&desk);
    desk.write("out/order.csv", "mine");
    let before = files(&desk.path("out"));
    for stop in 0..20 {
        put(&a, &Stops::after(stop), &desk.path("out")).unwrap_err();
        let told = put(&a, &Stops::after(NEVER), &desk.path("out")).unwrap_err();
        assert!(told.to_string().contains("order.csv is there already"), "{told}");
        assert_eq!(files(&desk.path("out")), before, "stopped after {stop}");
    }
}

#[test]
fn of_two_revisions_one_is_there_whole() {
    let desk = Desk::new("stopped-revision");
    let jobs = two_jobs(&desk);
    let [a, b] = jobs.each_ref().map(|(job, estimate)| Side { job, estimate });
    let [one, other]: [Revision; 2] = [revise(a, a, b), revise(b, b, a)];
    let writes = |of: &Revision, disk: &dyn Disk, out: &Path| {
        report::write_revision_on(disk, (of, [a, b]), &[], out).map(drop)
    };
    let prepare = |out: &Path| {
        writes(&one, &Stops::after(NEVER), out).unwrap();
        fs::write(out.join("change-order.csv"), "edited").unwrap();
    };
    stop_everywhere(&desk, &prepare, &|disk, out| writes(&other, disk, out));
    assert_eq!(desk.read("out/change-order-edited.csv"), "edited");
}
