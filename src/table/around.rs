//! What a number format of a workbook writes around a number: a unit, a currency, or a scale that hides part of it. It
//! knows format codes (ECMA-376, part 1, 18.8.31) and no cells.

use super::caps;

/// What a format shows beside the digits of a number.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(super) struct Around {
    /// What stands before the number: `$`.
    pub(super) before: String,
    /// What stands behind it: ` in`, `/C`.
    pub(super) behind: String,
    /// Whether it shows other digits than those of the number: in thousands, or parted by words.
    pub(super) otherwise: bool,
}

impl Around {
    /// Whether a number is shown as it is.
    pub(super) fn is_nothing(&self) -> bool {
        self.before.is_empty() && self.behind.is_empty() && !self.otherwise
    }

    /// What the first section of a format code writes: the others are for negative numbers, zero and text.
    pub(super) fn of_code(code: &str) -> Self {
        let mut around = Self::default();
        let (mut begun, mut commas) = (false, 0_u32);
        let mut rest = code;
        while let Some(character) = rest.chars().next() {
            let after = rest.get(character.len_utf8()..).unwrap_or("");
            let general = rest.get(..7).is_some_and(|word| word.eq_ignore_ascii_case("general"));
            let is_part = general || matches!(character, '0'..='9' | '#' | '?' | '@');
            rest = match character {
                ';' => break,
                _ if is_part => {
                    // Words between digits part the number; marks such as / and - are of fractions.
                    around.otherwise |=
                        begun && around.behind.contains(|c: char| c.is_alphabetic() || c == '"');
                    around.behind.clear();
                    (begun, commas) = (true, 0);
                    if general { rest.get(7..).unwrap_or("") } else { after }
                }
                ',' if begun => {
                    commas += 1;
                    after
                }
                '.' if begun => {
                    // Commas right of the last whole digit divide by a thousand each.
                    around.otherwise |= commas > 0;
                    after
                }
                'E' | 'e' if begun && after.starts_with(['+', '-']) => after.get(1..).unwrap_or(""),
                '.' | ',' => after,
                '"' => {
                    let (inside, behind) = after.split_once('"').unwrap_or((after, ""));
                    around.write(begun, inside);
                    behind
                }
                '\\' => skip(after, |one| around.write(begun, one)),
                '_' | '*' => skip(after, |_| around.write(begun, " ")),
                '[' => {
                    let (inside, behind) = after.split_once(']').unwrap_or((after, ""));
                    if let Some(currency) = inside.strip_prefix('$') {
                        around.write(begun, currency.split('-').next().unwrap_or(""));
                    }
                    behind
                }
                other => {
                    around.write(begun, other.encode_utf8(&mut [0; 4]));
                    after
                }
            };
        }
        around.otherwise |= commas > 0;
        let marks = |c: char| c.is_whitespace() || matches!(c, '(' | ')' | '+' | '-' | ':');
        around.before = around.before.trim_matches(marks).to_owned();
        around.behind = around.behind.trim_end_matches(marks).to_owned();
        if around.before.len().max(around.behind.len()) > caps::AROUND_BYTES {
            around = Self { otherwise: true, ..Self::default() };
        }
        around
    }

    fn write(&mut self, begun: bool, text: &str) {
        if begun { self.behind.push_str(text) } else { self.before.push_str(text) }
    }
}

/// Hands the first character over and gives the rest.
fn skip(text: &str, mut take: impl FnMut(&str)) -> &str {
    let end = text.chars().next().map_or(0, char::len_utf8);
    let (one, rest) = text.split_at(end);
    take(one);
    rest
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_format_says_what_stands_around_a_number() {
        for (code, before, behind) in [
            ("0\" in\"", "", " in"),
            ("0.0\\ \\f\\t", "", " ft"),
            ("General\" mm\"", "", " mm"),
            ("0.00\"/C\"", "", "/C"),
            ("$#,##0.00_);[Red]($#,##0.00)", "$", ""),
            ("_(\"$\"* #,##0.00_);_(\"$\"* (#,##0.00)", "$", ""),
            ("[$€-407] #,##0.00", "€", ""),
            ("#,##0.00\\ [$€-1]", "", " €"),
        ] {
            let around = Around::of_code(code);
            assert_eq!((&*around.before, &*around.behind), (before, behind), "{code}");
            assert!(!around.otherwise && !around.is_nothing(), "{code}");
        }
        for code in [
            "0",
            "#,##0.00",
            "General",
            "@",
            "# ?/?",
            "# ??/16",
            "0.00E+00",
            "#,##0_);(#,##0)",
            "00000",
            "[Red]0.0",
        ] {
            assert!(Around::of_code(code).is_nothing(), "{code}");
        }
        for code in ["#,##0,", "0.0,,\"M\"", "0,.0", "0\" ft \"0\" in\""] {
            assert!(Around::of_code(code).otherwise, "{code}");
        }
    }
}
