//! Names that people give to runs, places, parts and columns: how they match and how they are ordered.

use std::cmp::Ordering;

/// The form in which names of runs, places, parts and suppliers match: lower case, one space between words.
pub fn fold(name: &str) -> String {
    let mut folded = String::with_capacity(name.len());
    if name.is_ascii() {
        // Most names: no table of letters is asked.
        let mut words = name.split_ascii_whitespace();
        folded.push_str(words.next().unwrap_or(""));
        words.for_each(|word| folded.extend([" ", word]));
        folded.make_ascii_lowercase();
        return folded;
    }
    for word in name.split_whitespace() {
        if !folded.is_empty() {
            folded.push(' ');
        }
        folded.extend(word.chars().flat_map(char::to_lowercase));
    }
    folded
}

/// The form in which headings match: lower case, without spaces, `-` and `_`.
pub(crate) fn fold_heading(heading: &str) -> String {
    heading
        .chars()
        .filter(|c| !c.is_whitespace() && *c != '-' && *c != '_')
        .flat_map(char::to_lowercase)
        .collect()
}

/// The order of names: by their text, numbers in it by value (C2 before C10).
pub fn natural(a: &str, b: &str) -> Ordering {
    let (mut x, mut y) = (a, b);
    loop {
        match (x.chars().next(), y.chars().next()) {
            (None, None) => return a.cmp(b),
            (None, Some(_)) => return Ordering::Less,
            (Some(_), None) => return Ordering::Greater,
            (Some(p), Some(q)) if p.is_ascii_digit() && q.is_ascii_digit() => {
                let (m, after_m) = take_digits(x);
                let (n, after_n) = take_digits(y);
                // By value: the longer row of digits is larger once leading zeros are off.
                match m.len().cmp(&n.len()).then_with(|| m.cmp(n)) {
                    Ordering::Equal => (x, y) = (after_m, after_n),
                    unequal @ (Ordering::Less | Ordering::Greater) => return unequal,
                }
            }
            (Some(p), Some(q)) => match p.cmp(&q) {
                Ordering::Equal => (x, y) = (&x[p.len_utf8()..], &y[q.len_utf8()..]),
                unequal @ (Ordering::Less | Ordering::Greater) => return unequal,
            },
        }
    }
}

/// A key whose bytes are in the [`natural`] order of names; two names of one key differ in leading zeros alone.
pub(crate) fn natural_key(name: &str) -> Vec<u8> {
    let mut key = Vec::with_capacity(name.len() + 4);
    let mut rest = name;
    while let Some(first) = rest.chars().next() {
        if first.is_ascii_digit() {
            let (digits, after) = take_digits(rest);
            // A longer row of digits is a larger number. No name has 65,536 digits in a row that matter.
            let length = u16::try_from(digits.len()).unwrap_or(u16::MAX);
            key.push(b'0');
            key.extend(length.to_be_bytes());
            key.extend(digits.bytes());
            rest = after;
        } else {
            let (head, after) = rest.split_at(first.len_utf8());
            key.extend(head.bytes());
            rest = after;
        }
    }
    key
}

fn take_digits(text: &str) -> (&str, &str) {
    let end = text.find(|c: char| !c.is_ascii_digit()).unwrap_or(text.len());
    let (digits, rest) = text.split_at(end);
    (digits.trim_start_matches('0'), rest)
}

/// Names that one that nothing has is compared with; of more the first. Whoever has many keeps a
/// [`super::directory::Directory`] of them.
const COMPARED: usize = 4_000;
/// Letters that are compared with letters for one name that nothing has. What is left then is not looked at.
const LETTERS: usize = 200_000;
/// Names are told apart by so many of their first letters; what is longer is no name.
pub(crate) const TELLING: usize = 80;

/// The names nearest to one that nothing has: at most three, at most a third of its letters wrong, never the name itself.
/// The work is bounded, whatever the names are.
pub(crate) fn nearest<'a>(wanted: &str, names: impl Iterator<Item = &'a str>) -> Vec<&'a str> {
    let wanted = fold(beginning(wanted, 2 * TELLING));
    let letters = wanted.chars().count();
    let most = (letters / 3).max(1);
    let mut left = LETTERS;
    let mut found: Vec<(usize, &str)> = Vec::new();
    for name in names.take(COMPARED) {
        let folded = fold(beginning(name, 2 * TELLING));
        let others = folded.chars().count();
        if letters.abs_diff(others) > most {
            continue;
        }
        let Some(enough) = left.checked_sub(letters.min(TELLING) * others.min(TELLING)) else { break };
        left = enough;
        found.extend(distance(&wanted, &folded, most).filter(|far| *far > 0).map(|far| (far, name)));
    }
    found.sort_by(|a, b| a.0.cmp(&b.0).then_with(|| natural(a.1, b.1)));
    found.dedup_by(|a, b| a.1 == b.1);
    found.into_iter().take(3).map(|(_, name)| name).collect()
}

/// Names in a sentence, of more than nine the first: `A, B, C`.
pub(crate) fn in_a_row<'a>(names: impl ExactSizeIterator<Item = &'a str>) -> String {
    let more = if names.len() > IN_A_ROW { ", ..." } else { "" };
    names.take(IN_A_ROW).collect::<Vec<_>>().join(", ") + more
}

/// So many names stand in a sentence.
pub(crate) const IN_A_ROW: usize = 9;

/// At most so many letters of a name, from its beginning.
pub(crate) fn beginning(name: &str, letters: usize) -> &str {
    name.char_indices().nth(letters).map_or(name, |(end, _)| &name[..end])
}

/// Whether one name is probably the other, misspelled: the same words but for a letter or two, or for a space. Names that
/// differ in a number, in a letter that stands alone or in a word that means something else are two things.
pub(crate) fn look_alike(a: &str, b: &str) -> bool {
    let (a, b) = (fold(a), fold(b));
    if a == b {
        return false;
    }
    let (first, second): (Vec<&str>, Vec<&str>) = (words_of(&a), words_of(&b));
    if first.concat() == second.concat() {
        return first.concat().chars().count() >= 4;
    }
    let mut differing = first.iter().zip(&second).filter(|(one, other)| one != other);
    let (Some((one, other)), None) = (differing.next(), differing.next()) else { return false };
    first.len() == second.len() && is_slip(one, other)
}

/// The words of a folded name, parted at what is neither letter nor digit.
fn words_of(name: &str) -> Vec<&str> {
    name.split(|c: char| !c.is_alphanumeric()).filter(|word| !word.is_empty()).collect()
}

/// Whether one word is the other with a slip in its letters.
fn is_slip(one: &str, other: &str) -> bool {
    let parted = |word: &str| word.find(|c: char| c.is_numeric()).unwrap_or(word.len());
    let ((one, number), (other, other_number)) = (one.split_at(parted(one)), other.split_at(parted(other)));
    let is_word = |word: &str| OTHER_THINGS.contains(&word);
    if number != other_number || is_word(one) && is_word(other) {
        return false;
    }
    let longest = one.chars().count().max(other.chars().count());
    let most = match longest {
        0..=3 => return false,
        4..=7 => 1,
        _ => 2,
    };
    // Nobody misses the first letter of a short word; mill and hill are two things.
    let begins_alike = longest > 5 || one.chars().next() == other.chars().next();
    begins_alike && distance(one, other, most).is_some() || exchanged(one, other)
}

/// Words of houses that stand near to each other in their letters and mean different things.
const OTHER_THINGS: [&str; 43] = [
    "back", "bar", "bath", "bay", "bed", "cold", "cool", "deck", "desk", "dock", "east", "first", "floor",
    "front", "hall", "heat", "left", "lift", "loft", "lower", "mail", "main", "male", "master", "north",
    "outer", "path", "pool", "powder", "red", "shed", "shower", "south", "stair", "tower", "tub", "upper",
    "wall", "well", "west", "wet", "inner", "female",
];

/// Whether two words differ in two neighboring letters that are exchanged.
fn exchanged(a: &str, b: &str) -> bool {
    let (a, b): (Vec<char>, Vec<char>) = (a.chars().collect(), b.chars().collect());
    let Some(at) = a.iter().zip(&b).position(|(x, y)| x != y) else { return false };
    a.len() == b.len()
        && at + 1 < a.len()
        && (a[at], a[at + 1]) == (b[at + 1], b[at])
        && a[at + 2..] == b[at + 2..]
}

/// Letters to change, add or drop between two names, of long ones between their first [`TELLING`]; nothing above `most`.
fn distance(a: &str, b: &str, most: usize) -> Option<usize> {
    let [a, b] = [a, b].map(|name| beginning(name, TELLING));
    let lengths = a.chars().count().abs_diff(b.chars().count());
    (lengths <= most).then(|| strsim::levenshtein(a, b)).filter(|distance| *distance <= most)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_in_names_go_by_value() {
        let mut names = vec!["C10", "C2", "B", "C02", "C"];
        names.sort_by(|a, b| natural(a, b));
        assert_eq!(names, ["B", "C", "C02", "C2", "C10"]);
    }

    #[test]
    fn keys_are_in_the_order_of_names() {
        let names = [
            "", "-", "0", "7", "07", "10", "C", "C 1", "C1", "C2", "C02", "C2b", "C10", "C10a", "c1", "é",
            "Z9", "~",
        ];
        for a in names {
            for b in names {
                let by_key = natural_key(a).cmp(&natural_key(b)).then_with(|| a.cmp(b));
                assert_eq!(by_key, natural(a, b), "{a} {b}");
            }
        }
    }

    #[test]
    fn the_nearest_names_come_first() {
        assert_eq!(nearest("heatr", ["heater", "hall bath", "main"].into_iter()), ["heater"]);
        assert!(nearest("xyz", ["heater"].into_iter()).is_empty());
        assert_eq!(nearest("Heater", ["heater", "header"].into_iter()), ["header"], "never the name itself");
    }

    /// Letter by letter this would be ten million million steps.
    #[test]
    fn a_million_long_names_are_not_compared_letter_by_letter() {
        let long = "n".repeat(3_000_000);
        let all = std::iter::repeat_n(long.as_str(), 1_000_000).chain(["heater"]);
        assert!(nearest(&long[1..], all).is_empty());
    }

    #[test]
    fn a_slip_of_the_pen_looks_alike_and_another_thing_does_not() {
        for (a, b) in [
            ("kitchen", "kichen"),
            ("hall bath", "hal bath"),
            ("water softener", "water softner"),
            ("main", "mian"),
            ("hallbath", "hall bath"),
            ("bath 2", "baht 2"),
            ("powder room", "powder rom"),
        ] {
            assert!(look_alike(a, b), "{a} {b}");
            assert!(look_alike(b, a), "{b} {a}");
        }
        for (a, b) in [
            ("bath 1", "bath 2"),
            ("B1", "B2"),
            ("kitchen", "kitchen 2"),
            ("north bath", "south bath"),
            ("bath a", "bath b"),
            ("loft", "left"),
            ("hall", "wall"),
            ("Mill Supply", "Hill Supply"),
            ("upper", "lower"),
            ("bath", "hall bath"),
            ("kitchen", "Kitchen"),
            ("tub", "sub"),
            ("unit 1a", "unit 1b"),
            ("bath12", "bath13"),
        ] {
            assert!(!look_alike(a, b), "{a} {b}");
        }
    }

    #[test]
    fn case_and_extra_spaces_do_not_part_names() {
        assert_eq!(fold("  Hall   BATH "), "hall bath");
        assert_eq!(fold_heading("Turns with-Elbow"), "turnswithelbow");
    }
}
