//! Sizes of tube and fittings as the trade writes them.
//!
//! A size is a name with an order that a table gives it, not a number: `3/4`, `1-1/4` and `15 mm` are all names. Here
//! is only how a written size becomes the one form of its name.

/// The one form of a written size: `3/4"`, `.75` and `0.75` are `3/4`; `1 1/4` and `1.25` are `1-1/4`; other names
/// (`15 mm`) keep their words. Nothing for an empty text.
pub(crate) fn canonical(text: &str) -> Option<String> {
    let text = super::length::plain_fractions(text);
    let mut plain = text.trim();
    // Until nothing is left to take off: what is one form of a size reads as itself.
    loop {
        let shorter = without_inches(plain.trim_end_matches('.')).trim();
        if shorter == plain {
            break;
        }
        plain = shorter;
    }
    if plain.is_empty() {
        return None;
    }
    Some(inches(plain).unwrap_or_else(|| super::name::fold(plain)))
}

fn without_inches(text: &str) -> &str {
    text.strip_suffix(['"', '″', '”'])
        .or_else(|| text.strip_suffix("''"))
        .or_else(|| strip_word(text, "inches"))
        .or_else(|| strip_word(text, "inch"))
        .or_else(|| strip_word(text, "in"))
        .unwrap_or(text)
}

fn strip_word<'a>(text: &'a str, word: &str) -> Option<&'a str> {
    let cut = text.len().checked_sub(word.len())?;
    let (front, back) = (text.get(..cut)?, text.get(cut..)?);
    (back.eq_ignore_ascii_case(word) && front.ends_with(|c: char| c.is_ascii_digit() || c.is_whitespace()))
        .then_some(front)
}

/// A number of inches in sixteenths or coarser, written as the trade writes it; nothing where the text is no such number.
fn inches(text: &str) -> Option<String> {
    sixteenths(text).map(written)
}

/// The names of sizes nearest to one that no table has: of a number of inches the next smaller and the next larger, of
/// any other name those that are written nearly so.
pub(crate) fn nearest_sizes<'a>(wanted: &str, names: impl Iterator<Item = &'a str>) -> Vec<&'a str> {
    let Some(size) = canonical(wanted).as_deref().and_then(sixteenths) else {
        return super::name::nearest(wanted, names);
    };
    let mut sized: Vec<(u32, &str)> = names.filter_map(|name| Some((sixteenths(name)?, name))).collect();
    sized.sort_unstable();
    sized.dedup();
    let smaller = sized.iter().rev().find(|(other, _)| *other < size);
    let larger = sized.iter().find(|(other, _)| *other > size);
    smaller.into_iter().chain(larger).map(|(_, name)| *name).collect()
}

/// How many sixteenths of an inch a text says.
pub(crate) fn sixteenths(text: &str) -> Option<u32> {
    let sixteenths = if let Some((whole, fraction)) = text.split_once(|c: char| c == '-' || c.is_whitespace())
    {
        let whole: u32 = digits(whole.trim())?;
        let part = fraction_of(fraction.trim())?;
        (whole > 0 && part < 16).then_some(whole.checked_mul(16)? + part)?
    } else if text.contains('/') {
        fraction_of(text).filter(|_| run_together(text).is_none())?
    } else if let Some((whole, decimals)) = text.split_once('.') {
        let whole: u32 = if whole.is_empty() { 0 } else { digits(whole)? };
        let scale = 10_u32.checked_pow(u32::try_from(decimals.len()).ok()?)?;
        let decimals: u32 = if decimals.is_empty() { 0 } else { digits(decimals)? };
        let part = decimals.checked_mul(16)?;
        (part % scale == 0).then_some(whole.checked_mul(16)?.checked_add(part / scale)?)?
    } else {
        digits(text)?.checked_mul(16)?
    };
    (sixteenths > 0).then_some(sixteenths)
}

/// The size that was probably meant where a space or a hyphen is forgotten: `1-1/2` of `11/2`. Nobody writes eleven halves;
/// `12/8` and `5/4` are read as what they are.
pub(crate) fn run_together(text: &str) -> Option<String> {
    let (above, of) = text.trim().split_once('/')?;
    let (number, of) = (digits(above)?, digits(of.trim())?);
    let (whole, part) = (number / 10, number % 10);
    let is_fraction = matches!(of, 2 | 4 | 8 | 16) && !part.is_multiple_of(2) && part < of;
    (above.len() == 2 && whole > 0 && number > of && is_fraction).then(|| format!("{whole}-{part}/{of}"))
}

fn digits(text: &str) -> Option<u32> {
    let plain = !text.is_empty() && text.len() <= 4 && text.bytes().all(|b| b.is_ascii_digit());
    if plain { text.parse().ok() } else { None }
}

/// A fraction as sixteenths of an inch.
fn fraction_of(text: &str) -> Option<u32> {
    let (above, below) = text.split_once('/')?;
    let (above, below) = (digits(above.trim())?, digits(below.trim())?);
    (below > 0 && (above * 16).is_multiple_of(below)).then(|| above * 16 / below)
}

fn written(sixteenths: u32) -> String {
    let (whole, mut part) = (sixteenths / 16, sixteenths % 16);
    let mut below = 16;
    while part > 0 && part.is_multiple_of(2) {
        (part, below) = (part / 2, below / 2);
    }
    match (whole, part) {
        (_, 0) => whole.to_string(),
        (0, _) => format!("{part}/{below}"),
        _ => format!("{whole}-{part}/{below}"),
    }
}

/// The sizes of a fitting as written: parted by `x`, `X` or `×` between spaces or digits (`1 x 3/4 x 1/2`, `3/4x1/2`).
/// Nothing where one of them is empty.
pub(crate) fn canonical_list(text: &str) -> Option<Vec<String>> {
    let text = &*super::length::plain_fractions(text);
    let spaced: String =
        text.chars().map(|c| if matches!(c, 'x' | 'X' | '×') { '\u{1}' } else { c }).collect();
    // `x` inside a word (a size named "box") is no separator: it must touch a digit, a quote or a space on both sides.
    let original: Vec<char> = text.chars().collect();
    let marked: Vec<char> = spaced.chars().collect();
    let around = |c: &char| c.is_numeric() || c.is_whitespace() || c.is_ascii_punctuation();
    let open = |c: Option<&char>| {
        c.is_none_or(|c| around(c) || matches!(c, '″' | '′' | '”' | '’' | 'm' | 'n' | 'M' | 'N'))
    };
    let mut sizes = Vec::new();
    let mut current = String::new();
    for (i, mark) in marked.iter().enumerate() {
        let before = i.checked_sub(1).and_then(|j| original.get(j));
        if *mark == '\u{1}' && open(before) && open(original.get(i + 1)) {
            sizes.push(canonical(&current)?);
            current.clear();
        } else {
            current.push(original[i]);
        }
    }
    sizes.push(canonical(&current)?);
    Some(sizes)
}

/// The fraction that was probably typed where a spreadsheet saved a day as words: `1/2` of `2-Jan`, `Jan-02`, `1/2/2026`
/// or `2026-01-02`; the smaller number above. Nothing for other words.
pub(crate) fn fraction_of_day(words: &str) -> Option<String> {
    const MONTHS: [&str; 12] =
        ["jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec"];
    let number = |part: &str| part.parse::<u32>().ok().filter(|number| (1..=31).contains(number));
    let month = |part: &str| {
        let found = MONTHS.iter().position(|month| part.eq_ignore_ascii_case(month))?;
        u32::try_from(found).ok().map(|at| at + 1)
    };
    let year = |part: &str| part.len() == 4 && part.bytes().all(|b| b.is_ascii_digit());
    let parts: Vec<&str> = words.trim().split(['-', '/']).collect();
    let (a, b) = match parts[..] {
        [day, name] if month(name).is_some() => (number(day)?, month(name)?),
        [name, day] if month(name).is_some() => (month(name)?, number(day)?),
        [first, second, last] if year(last) => (number(first)?, number(second)?),
        [first, second, third] if year(first) => (number(second)?, number(third)?),
        _ => return None,
    };
    (a != b).then(|| format!("{}/{}", a.min(b), a.max(b)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_fraction_slash_parts_the_sizes_of_a_fitting_as_a_slash_does() {
        for text in ["1/2x/9", "1⁄2x⁄9", "3⁄4x1⁄2"] {
            let first = canonical_list(text).unwrap_or_default();
            assert_eq!(canonical_list(&first.join(" x ")), Some(first.clone()), "{text}");
            assert_eq!(first.len(), 2, "{text}");
        }
    }

    #[test]
    fn near_sizes_are_the_next_smaller_and_the_next_larger() {
        let near = |size: &str| nearest_sizes(size, ["1/2", "3/8", "1", "3/4", "15 mm", "2"].into_iter());
        assert_eq!(near("5/8"), ["1/2", "3/4"]);
        assert_eq!(near("7/8\""), ["3/4", "1"]);
        assert_eq!((near("3"), near("1/4")), (vec!["2"], vec!["3/8"]));
        assert_eq!(near("16 mm"), ["15 mm"]);
    }

    #[test]
    fn one_size_has_one_name() {
        for text in [
            "3/4",
            "¾",
            "3/4 inches",
            "3/4\"",
            "0.75",
            ".75",
            "6/8",
            "3/4 in",
            "3/4 in.",
            "3/4in",
            "3/4\".",
            "3/4 in in",
        ] {
            assert_eq!(canonical(text).as_deref(), Some("3/4"), "{text}");
        }
        for text in ["1 1/4", "1¼\"", "1-¼", "1-1/4", "1.25", "1-1/4\"", "1.250"] {
            assert_eq!(canonical(text).as_deref(), Some("1-1/4"), "{text}");
        }
        assert_eq!(canonical("2.0").as_deref(), Some("2"));
        assert_eq!(canonical("15  MM").as_deref(), Some("15 mm"));
        assert_eq!(canonical("  "), None);
        // A European inch and a quarter, and twelve eighths.
        assert_eq!(
            (canonical("5/4").as_deref(), canonical("12/8").as_deref()),
            (Some("1-1/4"), Some("1-1/2"))
        );
    }

    #[test]
    fn a_forgotten_space_makes_no_other_size() {
        for (text, meant) in [("11/2", "1-1/2"), ("21/2\"", "2-1/2"), ("11/4", "1-1/4"), ("13/8", "1-3/8")] {
            let name = canonical(text).unwrap_or_default();
            assert_eq!((run_together(&name).as_deref(), sixteenths(&name)), (Some(meant), None), "{text}");
        }
        for text in ["11/16", "5/4", "12/8", "1/2", "1-1/2", "10/2", "3/4"] {
            assert_eq!(run_together(text), None, "{text}");
        }
    }

    #[test]
    fn sizes_of_a_fitting_are_read_one_by_one() {
        assert_eq!(canonical_list("1 x 3/4 X 1/2").unwrap(), ["1", "3/4", "1/2"]);
        assert_eq!(canonical_list("3/4x1/2").unwrap(), ["3/4", "1/2"]);
        assert_eq!(canonical_list("15 mm x 22 mm").unwrap(), ["15 mm", "22 mm"]);
        assert_eq!(canonical_list("15MMX22MM").unwrap(), ["15mm", "22mm"]);
        assert_eq!(canonical_list("1″x3/4″").unwrap(), ["1", "3/4"]);
        for one in ["box", "1i\u{307}x"] {
            assert_eq!(canonical_list(one).unwrap(), [one]);
        }
        assert_eq!(canonical_list("1 x "), None);
    }

    #[test]
    fn a_day_saved_as_words_gives_back_the_fraction() {
        for words in ["2-Jan", "02-Jan", "Jan-02", "1/2/2026", "2/1/2026", "2026-01-02"] {
            assert_eq!(fraction_of_day(words).as_deref(), Some("1/2"), "{words}");
        }
        assert_eq!(fraction_of_day("4-Mar").as_deref(), Some("3/4"));
        for words in ["1/2", "1-1/4", "jan", "2-2026", "15 mm", "1/1/2026"] {
            assert_eq!(fraction_of_day(words), None, "{words}");
        }
    }
}
