//! How much of a job is read, what is told where a limit is reached, and what is no file at all.

use std::fs;
use std::path::{Path, PathBuf};

use coilstick::ground::{LengthUnit, Notice, Sources};
use coilstick::table::{Column, Further, Holds, Limits, Shape, TableFile, read};
use coilstick::trade::Job;

const RUNS: &str = "run,service,size,length\nA,cold,1/2,10\nB,cold,1/2,10\nC,cold,1/2,10\n";

/// A fresh folder of a job with these files.
fn job(name: &str, files: &[(&str, &str)]) -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("trade-limits").join(name);
    let _ = fs::remove_dir_all(&folder);
    fs::create_dir_all(&folder).unwrap();
    for (file, text) in files {
        let path = folder.join(file);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, text).unwrap();
    }
    folder
}

fn notices(read: Result<Job, Notice>) -> Vec<Notice> {
    match read {
        Ok(job) => job.notices,
        Err(notice) => vec![notice],
    }
}

/// Kind and place of all notices.
fn told(notices: &[Notice]) -> Vec<String> {
    let place = |notice: &Notice| notice.spots.first().map(ToString::to_string).unwrap_or_default();
    notices.iter().map(|notice| format!("{} {}", notice.kind, place(notice))).collect()
}

#[test]
fn a_limit_that_is_reached_is_told_with_its_cell_and_how_to_raise_it() {
    let long = format!("{RUNS}D,cold,1/2,10,{}\n", "n".repeat(30)).replacen("length", "length,note", 1);
    let named = long.replacen("note", "area", 1);
    let two = [("runs.csv", RUNS), ("prices.csv", "supplier,part,size,price\n")];
    for (limit, files, place, remedy) in [
        ("rows=3", &[("runs.csv", RUNS)][..], "large-table runs.csv:row 4", "--limit rows=6"),
        ("cells=9", &[("runs.csv", RUNS)], "large-table runs.csv:row 3", "--limit cells=18"),
        ("columns=3", &[("runs.csv", RUNS)], "large-table runs.csv:D1", "--limit columns=6"),
        ("letters=20", &[("runs.csv", long.as_str())], "long-cell runs.csv:E5", "--limit letters=32767"),
        ("name=20", &[("runs.csv", named.as_str())], "long-name runs.csv:E5", "--limit name=30"),
        ("tables=1", &two, "large-table runs.csv", "--limit tables=2"),
        ("files=1", &two, "large-table files=1", "--limit files=2"),
    ] {
        let path = job(limit, files);
        let limits = Limits::default().with(limit).unwrap();
        let lowered = notices(Job::read_within(&path, &limits));
        let found = lowered.iter().find(|notice| told(std::slice::from_ref(notice)) == [place]);
        let found = found.unwrap_or_else(|| panic!("{limit}: {:?}", told(&lowered)));
        assert!(found.is_error() && found.remedy.contains(remedy), "{limit}: {}", found.remedy);
        let usual = notices(Job::read(&path));
        assert!(!usual.iter().any(|notice| notice.kind == found.kind), "{limit}: {:?}", told(&usual));
    }
}

#[test]
fn text_and_files_are_limited_by_the_megabyte() {
    let note = "n".repeat(3_000);
    let rows: String = (0..400).map(|row| format!("R{row},cold,1/2,10,{note}\n")).collect();
    let path = job("text", &[("runs.csv", &format!("run,service,size,length,note\n{rows}"))]);
    let within = |limit: &str| notices(Job::read_within(&path, &Limits::default().with(limit).unwrap()));
    assert_eq!(told(&within("text=1"))[0], "large-table runs.csv:row 350");
    assert_eq!(told(&within("file=1"))[0], "large-table runs.csv");
    assert!(!told(&within("text=2")).iter().any(|told| told.starts_with("large-table")));
}

#[test]
fn what_is_no_file_is_told_and_not_waited_for() {
    let list = "item,value\nprice list,list.csv\ntables,shared\n";
    let path =
        job("folders", &[("runs.csv", RUNS), ("job.csv", list), ("places.csv/x", ""), ("list.csv/x", "")]);
    let found = told(&notices(Job::read(&path)));
    for expected in ["no-plain-file places.csv", "no-plain-file list.csv", "no-such-path job.csv:B3"] {
        assert!(found.iter().any(|told| told == expected), "{expected}: {found:?}");
    }
    // A run list that is none says what it is, and not that there is none.
    let path = job("folder-for-runs", &[("runs.csv/x", "")]);
    assert_eq!(told(&notices(Job::read(&path))), ["no-plain-file runs.csv"]);
}

#[cfg(unix)]
#[test]
fn a_pipe_a_socket_or_a_device_is_told_and_not_waited_for() {
    use rustix::fs::{CWD, Mode, mkfifoat};
    use std::os::unix::fs::symlink;
    use std::os::unix::net::UnixListener;

    let list = "item,value\nprice list,lists/pipe.csv\nprice list,device.csv\nprice list,loop.csv\n";
    let path = job("pipes", &[("runs.csv", RUNS), ("job.csv", list), ("lists/x", "")]);
    mkfifoat(CWD, path.join("lists/pipe.csv"), Mode::RWXU).unwrap();
    mkfifoat(CWD, path.join("places.csv"), Mode::RWXU).unwrap();
    mkfifoat(CWD, path.join("book.xlsx"), Mode::RWXU).unwrap();
    symlink("/dev/zero", path.join("device.csv")).unwrap();
    symlink("loop.csv", path.join("loop.csv")).unwrap();
    let socket = path.join("held.csv");
    let _listening = UnixListener::bind(&socket).unwrap();
    let found = told(&notices(Job::read(&path)));
    for expected in [
        "no-plain-file places.csv",
        "no-plain-file held.csv",
        "no-plain-file book.xlsx",
        "no-plain-file device.csv",
        "unreadable-table loop.csv",
        "no-such-path job.csv:B2",
        "no-such-path job.csv:B3",
        "no-such-path job.csv:B4",
    ] {
        assert!(found.iter().any(|told| told == expected), "{expected}: {found:?}");
    }
    // The job itself.
    for pipe in ["places.csv", "book.xlsx", "lists/pipe.csv", "held.csv", "device.csv"] {
        let notice = Job::read(&path.join(pipe)).unwrap_err();
        assert_eq!(notice.kind, "no-plain-file", "{pipe}");
    }
}

#[test]
fn a_file_that_is_no_such_table_is_not_repeated() {
    let secrets = [
        "user,part,secret\nroot,hunter2,hunter3\n",
        "root:hunter2:0:0\nother:hunter3\n",
        "\"hunter2\nhunter3\n",
        "# 4,hunter2,hunter3\nhunter2,hunter3\n",
        "supplier (hunter2),prize hunter3,price (hunter2),length (hunter2)\n",
    ];
    for secret in secrets {
        let item = "item,value\nprice list,../elsewhere/secret.csv\ntables,../elsewhere/tables\n";
        let path = job("elsewhere-job", &[("runs.csv", RUNS), ("job.csv", item)]);
        job("elsewhere", &[("secret.csv", secret), ("tables/parts.csv", secret)]);
        let all = notices(Job::read(&path));
        let missing = all.iter().filter(|notice| notice.is_error()).collect::<Vec<_>>();
        assert_eq!(missing.len(), 2, "{:?}", told(&all));
        for notice in all {
            let said = format!("{notice:?}");
            assert!(!said.contains("hunter"), "{said}");
            // A row that is drawn under its notice would show its cells.
            let drawn = notice.spots.iter().filter(|spot| spot.row > 0 && spot.file.contains("elsewhere"));
            assert_eq!(drawn.count(), 0, "{said}");
        }
    }
}

#[test]
fn a_file_that_changes_while_it_is_read_is_told() {
    let path = job("changing", &[("runs.csv", RUNS)]).join("runs.csv");
    let column =
        |heading| Column { heading, also: &[], required: true, unless: None, holds: Holds::Text, help: "" };
    let columns: &'static [Column] = Box::leak(Box::new([column("run")]));
    let shape = Shape { name: "runs", columns, further: Further::Kept };
    let file =
        TableFile::File { path: path.clone(), shown: "runs.csv".into(), sheet: None, elsewhere: false };
    let (mut sources, mut found) = (Sources::default(), Vec::new());
    read(&file, &shape, LengthUnit::Foot, &mut sources, &mut found, &mut |_| {
        fs::write(&path, format!("{RUNS}D,cold,1/2,10\n")).unwrap();
    });
    assert_eq!(told(&found), ["changed-meanwhile runs.csv"]);
}
