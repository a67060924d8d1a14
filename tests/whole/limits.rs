//! Limits of the machine: a notice and exit status 2, and all as it was.
#![cfg(unix)]

use std::fs;
use std::process::{Command, Stdio};

use crate::desk::{Desk, assert_one_whole_set, files, said};

/// The program with some words in a shell that limits it first.
fn limited(desk: &Desk, limit: &str, words: &str) -> (i32, String) {
    let program = env!("CARGO_BIN_EXE_coilstick");
    let line = format!("{limit}; exec '{program}' {words}");
    let output =
        Command::new("bash").args(["-c", &line]).current_dir(&desk.folder).stdin(Stdio::null()).output();
    said(&output.unwrap())
}

#[test]
fn a_limit_of_file_size_is_told_and_all_is_as_it_was() {
    let desk = Desk::new("file-size");
    desk.job("a", 40, false);
    desk.job("b", 70, false);
    for kilobytes in [0, 1, 8, 30] {
        let (status, told) = limited(&desk, &format!("ulimit -f {kilobytes}"), "estimate b -o none");
        assert!(status == 2 && told.contains("could not be written"), "{kilobytes}: {status} {told}");
        assert!(!desk.path("none").exists(), "{kilobytes}");
    }
    desk.done(&["estimate", "a", "-o", "out"]);
    let before = files(&desk.path("out"));
    let (status, told) = limited(&desk, "ulimit -f 8", "estimate b -o out");
    assert!(status == 2 && told.contains("could not be written"), "{status} {told}");
    assert_eq!(files(&desk.path("out")), before);
}

#[test]
fn memory_and_threads_that_are_refused_lose_nothing() {
    let desk = Desk::new("memory");
    desk.job("a", 40, false);
    desk.job("b", 70, false);
    desk.done(&["estimate", "a", "-o", "out"]);
    let before = files(&desk.path("out"));
    let mut refused = 0;
    for megabytes in [8, 12, 16, 20, 24, 32, 48, 64, 4_000] {
        let (status, told) = limited(&desk, &format!("ulimit -v {}", megabytes * 1024), "estimate b -o out");
        // Below that the system does not even load the program.
        if status == 127 || told.contains("error while loading") || told.is_empty() {
            continue;
        }
        assert!((0..=2).contains(&status), "{megabytes} MB: {status} {told}");
        if status == 2 {
            refused += 1;
            desk.done(&["estimate", "a", "-o", "out"]);
            assert_eq!(files(&desk.path("out")), before, "{megabytes} MB");
        }
    }
    assert!(refused > 0, "no limit was too small");
    assert_one_whole_set(&desk.path("out"), "estimate.json");
}

#[test]
fn outputs_are_written_where_nobody_listens() {
    let desk = Desk::new("nobody");
    desk.job("a", 40, false);
    let mut child = desk.command(&["estimate", "a", "-o", "out"]);
    let mut child = child.stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap();
    drop((child.stdout.take(), child.stderr.take()));
    assert!(child.wait().unwrap().code().is_some_and(|status| status <= 1));
    assert_one_whole_set(&desk.path("out"), "estimate.json");
    for (closed, most) in
        [("exec >&-", 1), ("exec 2>&-", 1), ("exec >&- 2>&-", 1), ("exec >/dev/full 2>/dev/full", 2)]
    {
        // What could not be printed is said by the status; what was to be written is there in any case.
        fs::remove_dir_all(desk.path("out")).unwrap();
        let (status, _) = limited(&desk, closed, "estimate a -o out");
        assert!((0..=most).contains(&status), "{closed}: {status}");
        assert_one_whole_set(&desk.path("out"), "estimate.json");
    }
}

#[test]
fn a_folder_that_cannot_be_written_into_is_named() {
    let desk = Desk::new("no-folder");
    desk.job("a", 40, false);
    desk.write("wall", "mine");
    for out in ["wall", "wall/out", "/proc/out", "/dev/null"] {
        let (status, told) = desk.run(&["estimate", "a", "-o", out]);
        assert!(
            status == 2 && told.contains(out.split('/').find(|part| !part.is_empty()).unwrap()),
            "{out}: {told}"
        );
    }
    assert_eq!(desk.read("wall"), "mine");
    assert_eq!(desk.names(".").len(), 4, "{:?}", desk.names("."));
}
