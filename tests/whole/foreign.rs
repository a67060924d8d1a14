//! What other people and other programs have in an output folder.

use std::fs::{self, File};

use crate::desk::{Desk, assert_one_whole_set, files};

#[test]
fn all_foreign_files_of_outputs_names_are_named_at_once_and_nothing_is_moved() {
    let desk = Desk::new("foreign-all");
    desk.job("a", 40, false);
    desk.write("out/order.csv", "mine");
    desk.write("out/held.csv/letter.txt", "a folder");
    desk.write("out/inputs", "a file");
    let before = files(&desk.path("out"));
    let (status, said) = desk.run(&["estimate", "a", "-o", "out"]);
    assert_eq!(status, 2, "{said}");
    for name in ["out/order.csv", "out/held.csv", "out/inputs"] {
        assert!(said.contains(&format!("{name} is there already and is no output")), "{name}: {said}");
    }
    assert_eq!(files(&desk.path("out")), before);
    // The same where the mark is gone and a broken run has left nothing to know ours by.
    desk.done(&["estimate", "a", "-o", "other"]);
    fs::remove_file(desk.path("other/estimate.json")).unwrap();
    let before = files(&desk.path("other"));
    let (status, said) = desk.run(&["estimate", "a", "-o", "other"]);
    assert!(status == 2 && said.contains("bid.csv") && said.contains("takeoff.csv"), "{said}");
    assert_eq!(files(&desk.path("other")), before);
}

#[cfg(unix)]
#[test]
fn a_link_or_a_pipe_of_an_outputs_name_is_foreign() {
    use std::os::unix::fs::symlink;
    let desk = Desk::new("foreign-links");
    desk.job("a", 40, false);
    desk.write("letter.txt", "mine");
    desk.write("elsewhere/runs.csv", "mine too");
    fs::create_dir(desk.path("out")).unwrap();
    symlink(desk.path("letter.txt"), desk.path("out/order.csv")).unwrap();
    symlink(desk.path("elsewhere"), desk.path("out/inputs")).unwrap();
    let pipe = std::process::Command::new("mkfifo").arg(desk.path("out/estimate.json")).status();
    assert!(pipe.unwrap().success());
    let (status, said) = desk.run(&["estimate", "a", "-o", "out"]);
    assert_eq!(status, 2, "{said}");
    for name in ["out/order.csv", "out/inputs", "out/estimate.json"] {
        assert!(said.contains(&format!("{name} is there already")), "{name}: {said}");
    }
    assert_eq!(
        (desk.read("letter.txt"), desk.read("elsewhere/runs.csv")),
        ("mine".into(), "mine too".into())
    );
    // A folder for outputs may be a link, a pipe may not.
    fs::create_dir(desk.path("real")).unwrap();
    symlink(desk.path("real"), desk.path("link")).unwrap();
    desk.done(&["estimate", "a", "-o", "link"]);
    assert_one_whole_set(&desk.path("real"), "estimate.json");
    let (status, said) = desk.run(&["estimate", "a", "-o", "out/estimate.json"]);
    assert!(status == 2 && said.contains("is there already"), "{said}");
}

#[test]
fn a_file_that_another_program_has_open_is_named_and_nothing_is_moved() {
    let desk = Desk::new("open");
    desk.job("a", 40, false);
    desk.job("b", 70, false);
    desk.done(&["estimate", "a", "-o", "out"]);
    desk.write("out/.~lock.estimate.xlsx#", "somebody");
    desk.write("out/~$order.csv", "somebody");
    let held = File::open(desk.path("out/bid.csv")).unwrap();
    held.lock().unwrap();
    let before = files(&desk.path("out"));
    let (status, said) = desk.run(&["estimate", "b", "-o", "out"]);
    assert_eq!(status, 2, "{said}");
    for name in ["out/estimate.xlsx", "out/order.csv", "out/bid.csv"] {
        assert!(said.contains(&format!("{name} is open in another program")), "{name}: {said}");
    }
    assert_eq!(files(&desk.path("out")), before);
    drop(held);
    fs::remove_file(desk.path("out/.~lock.estimate.xlsx#")).unwrap();
    fs::remove_file(desk.path("out/~$order.csv")).unwrap();
    desk.done(&["estimate", "b", "-o", "out"]);
    assert_one_whole_set(&desk.path("out"), "estimate.json");
}

#[test]
fn what_somebody_wrote_is_kept_and_named() {
    let desk = Desk::new("edited");
    desk.job("a", 40, false);
    desk.done(&["estimate", "a", "-o", "out"]);
    let names = desk.names("out");
    for name in &names {
        let bytes = [&fs::read(desk.path("out").join(name)).unwrap()[..], b"\n"].concat();
        fs::write(desk.path("out").join(name), bytes).unwrap();
    }
    let edited = files(&desk.path("out"));
    let said = desk.done(&["estimate", "a", "-o", "out"]);
    assert_eq!(said.matches("kept-output").count(), names.len(), "{said}");
    let all = files(&desk.path("out"));
    for (name, bytes) in edited {
        let file = name.rsplit('/').next().unwrap();
        let (stem, ending) = file.rsplit_once('.').unwrap();
        let kept = format!("{stem}-edited.{ending}");
        assert_eq!(all[&kept], bytes, "{kept}");
        assert!(said.replace("\n  ", " ").contains(&kept), "{kept}: {said}");
    }
    // The next run keeps nothing more, and another edit has a number.
    desk.done(&["estimate", "a", "-o", "out"]);
    assert_eq!(files(&desk.path("out")), all);
    desk.write("out/order.csv", "mine");
    desk.done(&["estimate", "a", "-o", "out"]);
    assert_eq!(desk.read("out/order-edited-2.csv"), "mine");
}

#[test]
fn a_file_that_stands_for_itself_is_not_lost_either() {
    let desk = Desk::new("alone");
    desk.job("a", 40, false);
    desk.job("b", 70, false);
    desk.done(&["compare", "a", "-o", "out"]);
    let first = desk.read("out/comparison.csv");
    desk.done(&["compare", "a", "-o", "out"]);
    assert_eq!(desk.names("out"), ["comparison.csv"]);
    let said = desk.done(&["compare", "b", "-o", "out"]);
    assert!(said.contains("comparison-before.csv"), "{said}");
    assert_eq!(desk.read("out/comparison-before.csv"), first);
    assert_ne!(desk.read("out/comparison.csv"), first);
    // One that is of an estimate is not replaced alone.
    desk.done(&["estimate", "a", "-o", "whole"]);
    let before = files(&desk.path("whole"));
    desk.done(&["compare", "a", "-o", "whole"]);
    let (status, said) = desk.run(&["compare", "b", "-o", "whole"]);
    assert!(status == 2 && said.contains("belongs to the estimate"), "{said}");
    assert_eq!(files(&desk.path("whole")), before);
    desk.write("mine/layouts.csv", "apples,pears\n");
    assert_eq!(desk.run(&["compare", "a", "b", "-o", "mine"]).0, 2);
    assert_eq!(desk.read("mine/layouts.csv"), "apples,pears\n");
}

#[test]
fn a_mark_of_an_earlier_version_says_no_fingerprints_and_nothing_is_lost() {
    let desk = Desk::new("earlier");
    desk.job("a", 40, false);
    desk.write("out/order.csv", "an order");
    desk.write("out/estimate.json", "{\"format\":2,\"program\":\"coilstick\",\"job\":\"a\"}\n");
    desk.done(&["estimate", "a", "-o", "out"]);
    assert_eq!(desk.read("out/order-before.csv"), "an order");
    assert!(desk.read("out/estimate-edited.json").contains("\"job\":\"a\"}"));
}

#[test]
fn of_two_runs_into_one_folder_the_second_does_nothing() {
    let desk = Desk::new("two-runs");
    desk.job("a", 40, false);
    desk.job("b", 70, false);
    desk.done(&["estimate", "a", "-o", "out"]);
    let before = files(&desk.path("out"));
    // A run that is at it holds this lock.
    desk.write("out/.coilstick-writing/lock", "");
    let lock = File::options().write(true).open(desk.path("out/.coilstick-writing/lock")).unwrap();
    lock.lock().unwrap();
    for words in [
        &["estimate", "b", "-o", "out"][..],
        &["compare", "b", "-o", "out"],
        &["revise", "a", "b", "-o", "out"],
    ] {
        let (status, said) = desk.run(words);
        assert!(status == 2 && said.contains("another run is writing into out"), "{said}");
    }
    drop(lock);
    fs::remove_dir_all(desk.path("out/.coilstick-writing")).unwrap();
    assert_eq!(files(&desk.path("out")), before);
    // Many at once: each does it or says so, and one whole set is there.
    let runs: Vec<_> = (0..6)
        .map(|run| desk.command(&["estimate", ["a", "b"][run % 2], "-o", "out", "-q"]).spawn().unwrap())
        .collect();
    for mut run in runs {
        assert!(matches!(run.wait().unwrap().code(), Some(0..=2)));
    }
    assert_one_whole_set(&desk.path("out"), "estimate.json");
}
