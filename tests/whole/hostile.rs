//! Journals and lists that this program did not write move nothing outside the folder and nothing of somebody else's.

use std::fs;

use crate::desk::{Desk, assert_one_whole_set, files};

const JOURNAL: &str = "out/.coilstick-writing/journal.json";

/// The fingerprint of `mine`, by `printf mine | sha256sum`.
const MINE: &str = "3fd30542fe3f61b14bd4a4b2dc0b6fb30fa6f63ebce52dd1778aaa8c4dc02cff";

#[test]
fn a_journal_that_names_what_is_no_output_moves_nothing() {
    let desk = Desk::new("hostile-journal");
    desk.job("a", 40, false);
    desk.write("letter.txt", "mine");
    desk.write("out/letter.txt", "mine");
    desk.write("out/.coilstick-writing/old/letter.txt", "planted");
    let absolute = desk.path("letter.txt").to_string_lossy().into_owned();
    let mut journals: Vec<String> = ["../letter.txt", "letter.txt", "inputs/../../letter.txt", &absolute, "inputs//letter.txt"]
        .iter()
        .map(|name| {
            format!("{{\"program\":\"coilstick\",\"moves\":[{{\"name\":\"{name}\",\"new\":\"{MINE}\",\"old\":null}}]}}")
        })
        .collect();
    journals.push(String::new());
    journals.push("[".repeat(100_000));
    journals.push("{\"program\":\"coilstick\",\"moves\":[".to_owned() + &" ".repeat(17 << 20) + "]}");
    journals.push(format!(
        "{{\"program\":\"coilstick\",\"moves\":[{{\"name\":\"order.csv\",\"new\":null,\"old\":{{\"sha256\":\"{MINE}\",\
         \"kept\":\"letter.txt\"}}}}]}}"
    ));
    for journal in journals {
        desk.write(JOURNAL, &journal);
        let before = files(&desk.folder);
        let (status, said) = desk.run(&["estimate", "a", "-o", "out"]);
        let head = &journal[..journal.len().min(200)];
        assert!(status == 2 && said.contains("journal.json is damaged"), "{head}: {said}");
        assert!(files(&desk.folder) == before, "{head}");
        // Who reads the folder is told too.
        let (status, said) = desk.run(&["check", "out"]);
        assert!(status == 2 && said.contains("broken-off"), "{said}");
    }
}

#[cfg(unix)]
#[test]
fn a_journal_over_links_moves_nothing_outside_the_folder() {
    use std::os::unix::fs::symlink;
    let desk = Desk::new("hostile-links");
    desk.job("a", 40, false);
    desk.write("elsewhere/order.csv", "mine");
    let moves =
        format!("[{{\"name\":\"order.csv\",\"new\":null,\"old\":{{\"sha256\":\"{MINE}\",\"kept\":null}}}}]");
    for link in ["out/.coilstick-writing/old", "out/.coilstick-writing/new", "out/.coilstick-writing"] {
        let _ = fs::remove_dir_all(desk.path("out"));
        if link.ends_with("writing") {
            fs::create_dir(desk.path("out")).unwrap();
        } else {
            desk.write(JOURNAL, &format!("{{\"program\":\"coilstick\",\"moves\":{moves}}}"));
        }
        symlink(desk.path("elsewhere"), desk.path(link)).unwrap();
        let (status, said) = desk.run(&["estimate", "a", "-o", "out"]);
        assert!(status == 2 && said.contains("is there already"), "{link}: {said}");
        assert_eq!(desk.names("elsewhere"), ["order.csv"], "{link}");
        assert!(!desk.path("out/order.csv").exists(), "{link}");
    }
}

#[test]
fn what_somebody_put_into_the_folder_of_work_stays() {
    let desk = Desk::new("hostile-work");
    desk.job("a", 40, false);
    desk.write("out/.coilstick-writing/new/letter.txt", "mine");
    desk.done(&["estimate", "a", "-o", "out"]);
    assert_eq!(desk.read("out/.coilstick-writing/new/letter.txt"), "mine");
    fs::remove_dir_all(desk.path("out/.coilstick-writing")).unwrap();
    assert_one_whole_set(&desk.path("out"), "estimate.json");
}

#[test]
fn a_file_that_somebody_wrote_in_after_a_broken_run_is_kept() {
    let desk = Desk::new("edited-between");
    desk.job("a", 40, false);
    desk.done(&["estimate", "a", "-o", "out"]);
    // As a kill leaves it after the first moves: the mark and the order are aside, a new order is in, and then edited.
    let sum = |name: &str| {
        use sha2::{Digest, Sha256};
        let bytes = fs::read(desk.path("out").join(name)).unwrap();
        Sha256::digest(bytes).iter().map(|byte| format!("{byte:02x}")).collect::<String>()
    };
    let one = |name: &str| {
        format!(
            "{{\"name\":\"{name}\",\"new\":\"{MINE}\",\"old\":{{\"sha256\":\"{}\",\"kept\":null}}}}",
            sum(name)
        )
    };
    let moves = [one("order.csv"), one("estimate.json")].join(",");
    let before = files(&desk.path("out"));
    desk.write(JOURNAL, &format!("{{\"program\":\"coilstick\",\"moves\":[{moves}]}}"));
    fs::create_dir(desk.path("out/.coilstick-writing/old")).unwrap();
    for name in ["order.csv", "estimate.json"] {
        fs::rename(desk.path("out").join(name), desk.path("out/.coilstick-writing/old").join(name)).unwrap();
    }
    desk.write("out/order.csv", "written by hand");
    desk.done(&["estimate", "a", "-o", "out"]);
    let mut after = files(&desk.path("out"));
    assert_eq!(after.remove("order-edited.csv").as_deref(), Some(&b"written by hand"[..]));
    assert_eq!(after, before);
}

#[test]
fn what_lies_aside_is_removed_only_if_it_is_what_the_journal_says() {
    let desk = Desk::new("aside");
    desk.job("a", 40, false);
    desk.done(&["estimate", "a", "-o", "out"]);
    let before = files(&desk.path("out"));
    let one =
        format!("{{\"name\":\"order.csv\",\"new\":null,\"old\":{{\"sha256\":\"{MINE}\",\"kept\":null}}}}");
    let journal = format!("{{\"program\":\"coilstick\",\"moves\":[{one}]}}");
    // All moves were made, and the folder of work was not cleared; then both journals at once, which no run leaves.
    for (text, both) in [("mine", false), ("not the same", false), ("not the same", true)] {
        desk.write("out/.coilstick-writing/journal.done", &journal);
        if both {
            desk.write(JOURNAL, &journal);
        }
        desk.write("out/.coilstick-writing/old/order.csv", text);
        desk.done(&["estimate", "a", "-o", "out"]);
        let mut after = files(&desk.path("out"));
        let kept = after.remove("order-edited.csv");
        assert_eq!(kept.as_deref(), Some(text.as_bytes()).filter(|_| text != "mine"), "{text}");
        assert_eq!(after, before);
        let _ = fs::remove_file(desk.path("out/order-edited.csv"));
    }
    // A table that the new set has no more, whose name somebody took after the run was broken off.
    desk.write(JOURNAL, &journal.replace("order.csv", "inputs/labor.csv"));
    desk.write("out/.coilstick-writing/old/inputs/labor.csv", "mine");
    desk.write("out/inputs/labor.csv", "another");
    desk.done(&["estimate", "a", "-o", "out"]);
    let mut after = files(&desk.path("out"));
    assert_eq!(after.remove("inputs/labor.csv").as_deref(), Some(&b"another"[..]));
    assert_eq!(after, before);
}

#[test]
fn a_list_of_kept_tables_that_leads_elsewhere_is_not_followed() {
    let desk = Desk::new("hostile-list");
    desk.job("a", 40, false);
    desk.done(&["estimate", "a", "-o", "out"]);
    let list = desk.read("out/inputs/inputs.json");
    for kept in ["../../lists", "/etc", "shared-1/../../../lists"] {
        desk.write("out/inputs/inputs.json", &list.replace("\"shared-1\"", &format!("\"{kept}\"")));
        let (status, said) = desk.run(&["check", "out"]);
        assert!(status == 2 && said.contains("damaged-inputs"), "{kept}: {said}");
    }
    desk.write("out/inputs/inputs.json", "{");
    let (status, said) = desk.run(&["check", "out"]);
    assert!(status == 2 && said.contains("damaged-inputs"), "{said}");
}
