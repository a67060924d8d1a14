//! The links of the pages lead to files and headings that are there, and every picture is small and stands on a page.

use std::fs;
use std::path::Path;

use super::{PAGES, page, root};

/// What stands in brackets behind `](`.
fn addresses(text: &str) -> Vec<&str> {
    let mut inside = false;
    let mut all = Vec::new();
    for line in text.lines() {
        inside ^= line.starts_with("```");
        if !inside {
            all.extend(line.split("](").skip(1).filter_map(|rest| rest.split(')').next()));
        }
    }
    all
}

/// A heading as links name it.
fn anchor(heading: &str) -> String {
    let kept = heading.chars().filter(|c| c.is_alphanumeric() || [' ', '-'].contains(c));
    kept.collect::<String>().to_lowercase().replace(' ', "-")
}

#[test]
fn every_link_leads_to_a_file_or_a_heading() {
    let mut followed = 0;
    for path in PAGES {
        let text = page(path);
        let folder = root().join(path).parent().unwrap().to_path_buf();
        for address in addresses(&text) {
            assert!(!address.contains("://"), "{path}: {address}: what is told stands here");
            let (file, heading) = address.split_once('#').unwrap_or((address, ""));
            let file = if file.is_empty() { root().join(path) } else { folder.join(file) };
            assert!(file.is_file(), "{path}: {address}");
            if !heading.is_empty() {
                let there = fs::read_to_string(&file).unwrap();
                let mut headings = there.lines().filter_map(|line| line.strip_prefix('#'));
                assert!(
                    headings.any(|line| anchor(line.trim_start_matches(['#', ' '])) == heading),
                    "{path}: {address}"
                );
            }
            followed += 1;
        }
    }
    assert!(followed > 8, "{followed}");
}

/// The pictures of the examples.
fn pictures(folder: &Path, all: &mut Vec<String>) {
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            pictures(&path, all);
        } else if path.extension().is_some_and(|ending| ending == "png") {
            all.push(path.strip_prefix(root()).unwrap().to_str().unwrap().replace('\\', "/"));
            let long = fs::metadata(&path).unwrap().len();
            assert!(long <= 110_000, "{}: {long} bytes; tests/looks/pictures makes it anew", path.display());
        }
    }
}

#[test]
fn every_picture_is_small_and_stands_on_the_first_page() {
    let mut all = Vec::new();
    pictures(&root().join("examples"), &mut all);
    assert!(all.len() >= 3, "{all:?}");
    let readme = page("README.md");
    for picture in all {
        assert!(readme.contains(&format!("]({picture})")), "{picture} is on no page");
    }
}
