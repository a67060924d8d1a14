//! Reads a sum of money as people write it into price lists and quotes: `$7.10`, `1,234.50`, `USD 7.10`, `350 per M`,
//! `7.10 each`, `no bid`. Only the writing: what a price is for and what has no price is for the floors above.

use rust_decimal::Decimal;

use super::figures::{decimal, with_points};

/// What stands in a cell that holds a price.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Quoted {
    /// Words that say there is no price: `n/a`, `no bid`, `call`.
    None,
    /// A sum.
    Sum(Money),
}

/// A sum of money as written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Money {
    /// How much.
    pub amount: Decimal,
    /// The sign or code of its currency, where one is written.
    pub currency: Option<&'static str>,
    /// What it is for, where that is written behind it: `each`, `C`, `100 ft`; else empty.
    pub per: String,
}

/// Words that say there is no price, parted by `|`.
const NO_PRICE: &str = "-|--|---|\u{2013}|\u{2014}|n/a|na|n.a.|n.a|not available|not offered|not sold|not quoted|\
     no bid|nobid|no quote|no price|none|nil|call|call us|call for price|on request|tbd|t.b.d.|tba|poa";

/// Signs of currencies, longer ones first, each with the codes that it may stand for.
const SIGNS: [(&str, &str); 11] = [
    ("US$", "USD"),
    ("CA$", "CAD"),
    ("AU$", "AUD"),
    ("NZ$", "NZD"),
    ("MX$", "MXN"),
    ("C$", "CAD"),
    ("A$", "AUD"),
    ("$", "USD CAD AUD NZD MXN"),
    ("€", "EUR"),
    ("£", "GBP"),
    ("¥", "JPY CNY"),
];

/// Codes of currencies.
const CODES: [&str; 12] =
    ["USD", "CAD", "AUD", "NZD", "MXN", "EUR", "GBP", "JPY", "CNY", "CHF", "SEK", "DKK"];

/// Signs and codes, each with the codes that it may stand for: a code for itself.
fn currencies() -> impl Iterator<Item = (&'static str, &'static str)> {
    SIGNS.into_iter().chain(CODES.into_iter().map(|code| (code, code)))
}

impl Quoted {
    /// Reads what a person wrote. Nothing where it is neither a sum nor words for none: a comma that does not part
    /// thousands is in doubt and refused.
    pub fn read(text: &str, decimal_commas: bool) -> Option<Self> {
        let text = text.trim();
        if NO_PRICE.split('|').any(|word| word.eq_ignore_ascii_case(text)) {
            return Some(Self::None);
        }
        let (minus, rest) = sign(text);
        let (currency, rest) = currency_first(rest);
        let (inner, rest) = if minus { (false, rest) } else { sign(rest) };
        let end = rest.find(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | ','))).unwrap_or(rest.len());
        let (number, rest) = rest.split_at(end);
        let amount = grouped(number, decimal_commas)?;
        if exponent(rest) {
            return None;
        }
        let (behind, rest) = currency_first(rest.trim());
        let per = for_what(rest)?;
        let amount = if minus || inner { -amount } else { amount };
        Some(Self::Sum(Money { amount, currency: currency.or(behind), per }))
    }
}

impl Money {
    /// Whether it may be in the currency that a job names; a name that nobody knows may be any.
    pub fn may_be_in(&self, named: &str) -> bool {
        let codes = |word: &str| currencies().find(|(sign, _)| sign.eq_ignore_ascii_case(word.trim()));
        match (self.currency.and_then(codes), codes(named)) {
            (Some((_, written)), Some((_, known))) => written.split(' ').any(|code| known.contains(code)),
            (Some(_) | None, Some(_) | None) => true,
        }
    }
}

fn sign(text: &str) -> (bool, &str) {
    match text.strip_prefix('-') {
        Some(rest) => (true, rest.trim_start()),
        None => (false, text.strip_prefix('+').unwrap_or(text)),
    }
}

/// The sign or code that a text begins with; a code is a word of its own.
fn currency_first(text: &str) -> (Option<&'static str>, &str) {
    for (written, _) in currencies() {
        let Some(head) = text.get(..written.len()).filter(|head| head.eq_ignore_ascii_case(written)) else {
            continue;
        };
        let rest = text.get(head.len()..).unwrap_or("");
        let word_goes_on = written.ends_with(char::is_alphabetic) && rest.starts_with(char::is_alphabetic);
        if !word_goes_on {
            return (Some(written), rest.trim_start());
        }
    }
    (None, text)
}

/// Whether a number goes on in powers of ten: `1e5`.
fn exponent(rest: &str) -> bool {
    let power = rest.strip_prefix(['e', 'E']).map(|rest| rest.trim_start_matches(['+', '-']));
    power.is_some_and(|power| power.starts_with(|c: char| c.is_ascii_digit()))
}

/// A number with or without marks between its thousands; nothing where such a mark stands anywhere else.
fn grouped(text: &str, decimal_commas: bool) -> Option<Decimal> {
    let plain = if decimal_commas { with_points(text) } else { Some(text.into()) };
    if let Some(number) = plain.and_then(|plain| decimal(&plain)) {
        return Some(number);
    }
    let (mark, point) = if decimal_commas { ('.', ',') } else { (',', '.') };
    let (whole, places) = match text.split_once(point) {
        Some((whole, places)) => (whole, Some(places)),
        None => (text, None),
    };
    let groups: Vec<&str> = whole.split(mark).collect();
    let (first, others) = groups.split_first()?;
    let digits = |part: &str| part.bytes().all(|b| b.is_ascii_digit());
    let first_is = (1..=3).contains(&first.len()) && digits(first) && !first.starts_with('0');
    let others_are = !others.is_empty() && others.iter().all(|group| group.len() == 3 && digits(group));
    // One point alone may be the decimal mark after all: 1.234 is in doubt where commas are decimal marks.
    let sure = !decimal_commas || places.is_some() || others.len() > 1;
    let places_are = places.is_none_or(|places| !places.is_empty() && digits(places));
    if !(first_is && others_are && sure && places_are) {
        return None;
    }
    let plain = match places {
        Some(places) => format!("{}.{places}", groups.concat()),
        None => groups.concat(),
    };
    decimal(&plain)
}

/// What a sum is for, without the word before it: `/C`, `per C`, `a foot`.
fn for_what(text: &str) -> Option<String> {
    let text = text.trim();
    let word = |word: &str| {
        let head = text.get(..word.len()).filter(|head| head.eq_ignore_ascii_case(word))?;
        text.get(head.len()..).filter(|rest| rest.starts_with(char::is_whitespace))
    };
    let rest = text.strip_prefix('/').or_else(|| word("per")).or_else(|| word("a"));
    match rest.map(str::trim) {
        Some("") => None,
        Some(rest) => Some(rest.to_owned()),
        // A second number without a word between: spaces part thousands there, or a fraction follows.
        None if text.eq_ignore_ascii_case("per") || text.starts_with(|c: char| c.is_ascii_digit()) => None,
        None => Some(text.to_owned()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sum(text: &str, decimal_commas: bool) -> Option<(String, Option<&'static str>, String)> {
        match Quoted::read(text, decimal_commas)? {
            Quoted::None => None,
            Quoted::Sum(money) => Some((money.amount.to_string(), money.currency, money.per)),
        }
    }

    #[test]
    fn a_price_reads_as_people_write_it() {
        for (text, amount, currency, per) in [
            ("7.10", "7.10", None, ""),
            ("$7.10", "7.10", Some("$"), ""),
            ("1,234.50", "1234.50", None, ""),
            ("$ 1,234,567", "1234567", Some("$"), ""),
            ("USD 7.10", "7.10", Some("USD"), ""),
            ("7.10 usd", "7.10", Some("USD"), ""),
            ("US$7.10/ft", "7.10", Some("US$"), "ft"),
            ("7.10 each", "7.10", None, "each"),
            ("41.30/C", "41.30", None, "C"),
            ("350 per M", "350", None, "M"),
            ("350 Per 100 ft", "350", None, "100 ft"),
            ("0.42 a foot", "0.42", None, "foot"),
            ("-$7.10", "-7.10", Some("$"), ""),
            ("$-7.10", "-7.10", Some("$"), ""),
        ] {
            let expected = Some((amount.to_owned(), currency, per.to_owned()));
            assert_eq!(sum(text, false), expected, "{text}");
        }
        for text in [
            "1,23", "12,5", "1,2345", "0,285", "1,234,5", "12,34.5", "ask", "", "7.10 per", "1 234.50", "1e5",
        ] {
            assert_eq!(sum(text, false), None, "{text}");
        }
    }

    #[test]
    fn where_commas_are_decimal_marks_points_part_thousands() {
        for (text, amount) in [
            ("1.234,50", "1234.50"),
            ("12,5", "12.5"),
            ("1.234.567", "1234567"),
            ("7.10", "7.10"),
            ("7", "7"),
        ] {
            assert_eq!(sum(text, true).map(|(amount, ..)| amount).as_deref(), Some(amount), "{text}");
        }
        for text in ["1.234", "1,234.50", "1.23,5"] {
            assert_eq!(sum(text, true), None, "{text}");
        }
    }

    #[test]
    fn words_for_no_price_are_no_price() {
        for text in ["n/a", "N/A", "no bid", "No Bid", "-", "call", "TBD"] {
            assert_eq!(Quoted::read(text, false), Some(Quoted::None), "{text}");
        }
    }

    #[test]
    fn a_dollar_is_of_every_land_that_has_one() {
        let money = |currency| Money { amount: Decimal::ONE, currency, per: String::new() };
        assert!(money(Some("$")).may_be_in("USD"));
        assert!(money(Some("$")).may_be_in("CAD"));
        assert!(!money(Some("€")).may_be_in("USD"));
        assert!(money(Some("€")).may_be_in("florins"));
        assert!(money(None).may_be_in("USD"));
        assert!(!money(Some("CAD")).may_be_in("USD"));
    }
}
