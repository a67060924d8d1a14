//! Paths and arguments that are no text, and a place to print to that takes nothing.

#[cfg(unix)]
mod unix {
    use std::ffi::OsStr;
    use std::fs::{self, OpenOptions};
    use std::os::unix::ffi::OsStrExt;

    use crate::bench::Bench;

    #[test]
    fn a_path_that_is_no_text_is_read_and_shown_by_its_bytes() {
        let bench = Bench::new("no-text");
        bench.clean(&["new", "job"]);
        let odd = bench.path(".").join(OsStr::from_bytes(b"job-\xff\xfe"));
        // Not every disk takes such a name.
        if fs::rename(bench.path("job"), &odd).is_err() {
            return;
        }
        let run = |word: &str| bench.command(&[word]).arg(&odd).output().unwrap();
        let checked = run("check");
        assert_eq!(checked.status.code(), Some(0), "{checked:?}");
        let estimated = run("estimate");
        let out = String::from_utf8(estimated.stdout).unwrap();
        assert_eq!(estimated.status.code(), Some(0), "{out}");
        assert!(out.contains("job-<FF><FE>-estimate"), "{out}");
        let written = bench.path(".").join(OsStr::from_bytes(b"job-\xff\xfe-estimate"));
        assert!(written.join("estimate.json").exists());
        // What is not there is named in the same way, and a word that is no text is refused.
        let gone = bench.command(&["check"]).arg(OsStr::from_bytes(b"gone-\xff")).output().unwrap();
        let err = String::from_utf8(gone.stderr).unwrap();
        assert!(gone.status.code() == Some(2) && err.contains("gone-<FF>"), "{err}");
        let word = bench.command(&["explain", "x"]).arg(OsStr::from_bytes(b"\xff")).output().unwrap();
        assert_eq!(word.status.code(), Some(2));
        assert!(String::from_utf8(word.stderr).is_ok());
    }

    #[test]
    fn a_result_that_no_disk_takes_is_no_success() {
        let bench = Bench::new("full");
        // A device that is always full, where the system has one.
        let Ok(full) = OpenOptions::new().write(true).open("/dev/full") else { return };
        let output = bench.command(&["new", "--table", "parts"]).stdout(full).output().unwrap();
        let err = String::from_utf8(output.stderr).unwrap();
        assert_eq!(output.status.code(), Some(2), "{err}");
        assert!(err.contains("could be printed"), "{err}");
    }
}
