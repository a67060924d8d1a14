//! The real program is killed at random moments; each time the next run finds or makes one whole set. 20 kills, or as many
//! as `KILLS` says.
#![cfg(unix)]

use std::fs;
use std::thread::sleep;
use std::time::{Duration, Instant};

use crate::desk::{Desk, assert_one_whole_set, files};

/// Numbers that look like chance, the same each time.
struct Chance(u64);

impl Chance {
    fn below(&mut self, end: u64) -> u64 {
        // Knuth's multiplier for 64 bits (MMIX).
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) % end.max(1)
    }
}

#[test]
fn a_starter_job_is_there_whole_after_the_next_run_too() {
    let desk = Desk::new("kills-new");
    desk.done(&["new", "whole"]);
    let whole = files(&desk.path("whole"));
    let mut chance = Chance(5);
    for kill in 0..12 {
        let _ = fs::remove_dir_all(desk.path("house"));
        let mut child = desk.command(&["new", "house", "-q"]).spawn().unwrap();
        sleep(Duration::from_micros(chance.below(12_000)));
        child.kill().unwrap();
        child.wait().unwrap();
        let (status, said) = desk.run(&["new", "house"]);
        assert!(status == 0 || said.contains("is there already"), "kill {kill}: {said}");
        assert!(files(&desk.path("house")) == whole, "kill {kill}: {:?}", desk.names("house"));
    }
}

#[test]
fn killed_at_any_moment_the_next_run_leaves_one_whole_set() {
    let kills: u32 = std::env::var("KILLS").map_or(20, |words| words.parse().unwrap());
    let desk = Desk::new("kills");
    desk.job("a", 40, true);
    desk.job("b", 70, false);
    let whole = |job: &str| {
        desk.done(&["estimate", job, "-o", job.to_uppercase().as_str(), "-q"]);
        files(&desk.path(&job.to_uppercase()))
    };
    let sets = [whole("a"), whole("b")];
    let begun = Instant::now();
    desk.done(&["estimate", "a", "-o", "out", "-q"]);
    let micros = u64::try_from(begun.elapsed().as_micros()).unwrap();
    desk.write("out/letter.txt", "mine");
    let mut chance = Chance(17);
    let (mut broken, mut killed) = (0, 0);
    for kill in 0..kills {
        let edits = chance.below(4) == 0;
        if edits {
            desk.write("out/order.csv", &format!("by hand {kill}"));
        }
        let job = usize::try_from(chance.below(2)).unwrap();
        let mut child = desk.command(&["estimate", ["a", "b"][job], "-o", "out", "-q"]).spawn().unwrap();
        // Half of them at any moment, half while files are written and moved.
        let mut delay = chance.below(micros);
        if chance.below(2) == 0 {
            let until = Instant::now() + Duration::from_micros(4 * micros);
            while !desk.path("out/.coilstick-writing").exists() && Instant::now() < until {
                sleep(Duration::from_micros(50));
            }
            delay = chance.below(micros / 4);
        }
        sleep(Duration::from_micros(delay));
        child.kill().unwrap();
        killed += u32::from(child.wait().unwrap().code().is_none());
        let left = files(&desk.path("out"));
        broken += u32::from(left.keys().any(|name| name.starts_with(".coilstick-writing/")));
        // Whoever only reads is told, or finds a set.
        let (status, said) = desk.run(&["check", "out", "-q"]);
        assert!(status <= 1 || said.contains("was broken off"), "kill {kill}: {said}");
        let job = usize::try_from(chance.below(2)).unwrap();
        desk.done(&["estimate", ["a", "b"][job], "-o", "out", "-q"]);
        let mut left = files(&desk.path("out"));
        assert_eq!(left.remove("letter.txt").as_deref(), Some(&b"mine"[..]), "kill {kill}");
        let kept: Vec<String> =
            left.keys().filter(|name| name.starts_with("order-edited")).cloned().collect();
        let mut by_hand = false;
        for name in kept {
            by_hand |= left.remove(&name).unwrap() == format!("by hand {kill}").as_bytes();
        }
        assert!(!edits || by_hand, "kill {kill}: what was written by hand is lost");
        let parted: Vec<&String> =
            left.keys().filter(|name| left.get(*name) != sets[job].get(*name)).collect();
        assert!(left == sets[job], "kill {kill}: {parted:?}");
    }
    println!("{killed} of {kills} runs were killed before their end, {broken} while files were written");
    fs::remove_file(desk.path("out/letter.txt")).unwrap();
    for entry in fs::read_dir(desk.path("out")).unwrap() {
        let path = entry.unwrap().path();
        if path.file_name().unwrap().to_string_lossy().starts_with("order-edited") {
            fs::remove_file(path).unwrap();
        }
    }
    assert_one_whole_set(&desk.path("out"), "estimate.json");
    assert!(killed > 0 && broken > 0, "{killed} killed, {broken} broken");
}
