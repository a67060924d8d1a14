//! Nothing is written twice: no six lines of the sources stand in two places to the letter. Imports, comments and the head
//! of unit tests are not looked at, nor lines that only open and close.

use std::collections::BTreeMap;

use super::sources;

const LINES: usize = 6;

#[test]
fn no_six_lines_stand_twice_to_the_letter() {
    let mut seen: BTreeMap<Vec<String>, String> = BTreeMap::new();
    let mut twice = Vec::new();
    for source in sources("src") {
        let is_code = |line: &str| !line.is_empty() && !line.starts_with("//") && !line.starts_with("use ");
        let lines = source.text.lines().map(str::trim).enumerate().filter(|(_, line)| is_code(line));
        let lines: Vec<(usize, &str)> = lines.collect();
        for window in lines.windows(LINES) {
            let texts: Vec<String> = window.iter().map(|(_, line)| (*line).to_owned()).collect();
            let says = texts.iter().filter(|line| line.len() > 4).count();
            if says < 4 || texts.iter().any(|line| line == "#[cfg(test)]") {
                continue;
            }
            let place = format!("{}:{}", source.path, window[0].0 + 1);
            match seen.get(&texts) {
                Some(first) => twice.push(format!("{place} is {first}")),
                None => drop(seen.insert(texts, place)),
            }
        }
    }
    assert!(seen.len() > 20_000, "lines are found at all");
    assert!(twice.is_empty(), "{twice:#?}");
}
