//! Calendar days of price lists and jobs: ISO text in, ISO text out. The engine reads no clock.

use std::fmt;

/// A day, as `2026-03-01`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Date {
    year: u16,
    month: u8,
    day: u8,
}

impl Date {
    /// The day, where there is such a day.
    pub fn new(year: u16, month: u8, day: u8) -> Option<Self> {
        (year >= 1 && (1..=12).contains(&month) && day >= 1 && day <= days_in(year, month)).then_some(Self {
            year,
            month,
            day,
        })
    }

    /// Reads `2026-03-01`; nothing else is a date.
    pub fn read(text: &str) -> Option<Self> {
        let mut parts = text.trim().split('-');
        let (year, month, day) = (parts.next()?, parts.next()?, parts.next()?);
        let plain = |t: &str, n: usize| t.len() == n && t.bytes().all(|b| b.is_ascii_digit());
        if parts.next().is_some() || !plain(year, 4) || !plain(month, 2) || !plain(day, 2) {
            return None;
        }
        Self::new(year.parse().ok()?, month.parse().ok()?, day.parse().ok()?)
    }

    /// The day a spreadsheet's serial number stands for (1900 system, 1 = 1900-01-01, with its day that never was).
    pub fn from_serial(serial: i64) -> Option<Self> {
        // Days from 0000-03-01; serial 61 is 1900-03-01, and the serials below it are one day off the other way.
        if !(1..=2_958_465).contains(&serial) || serial == 60 {
            return None;
        }
        let days = serial + if serial < 60 { 1 } else { 0 } + 693_899;
        let era = days.div_euclid(146_097);
        let day_of_era = days.rem_euclid(146_097);
        let year_of_era =
            (day_of_era - day_of_era / 1_460 + day_of_era / 36_524 - day_of_era / 146_096) / 365;
        let day_of_year = day_of_era - (365 * year_of_era + year_of_era / 4 - year_of_era / 100);
        let shifted = (5 * day_of_year + 2) / 153;
        let day = day_of_year - (153 * shifted + 2) / 5 + 1;
        let month = if shifted < 10 { shifted + 3 } else { shifted - 9 };
        let year = year_of_era + era * 400 + i64::from(month <= 2);
        Self::new(u16::try_from(year).ok()?, u8::try_from(month).ok()?, u8::try_from(day).ok()?)
    }

    /// Year, month and day.
    pub fn parts(self) -> (u16, u8, u8) {
        (self.year, self.month, self.day)
    }
}

fn days_in(year: u16, month: u8) -> u8 {
    match month {
        4 | 6 | 9 | 11 => 30,
        2 if year.is_multiple_of(4) && (!year.is_multiple_of(100) || year.is_multiple_of(400)) => 29,
        2 => 28,
        _ => 31,
    }
}

impl fmt::Display for Date {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:04}-{:02}-{:02}", self.year, self.month, self.day)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn serials_are_the_days_a_spreadsheet_shows() {
        for (serial, day) in [
            (1, "1900-01-01"),
            (59, "1900-02-28"),
            (61, "1900-03-01"),
            (46_024, "2026-01-02"),
            (2_958_465, "9999-12-31"),
        ] {
            assert_eq!(Date::from_serial(serial).unwrap().to_string(), day);
        }
        assert_eq!(Date::from_serial(60), None);
        assert_eq!(Date::from_serial(0), None);
    }

    #[test]
    fn only_iso_days_that_exist_are_dates() {
        assert!(Date::read("2024-02-29").is_some());
        for text in ["2023-02-29", "1/2/2026", "2026-1-2", "2026-13-01", "today", ""] {
            assert_eq!(Date::read(text), None, "{text}");
        }
    }
}
