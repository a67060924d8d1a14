//! How a run goes, leg by leg, as people write it: `E 12' 6", up 3', N 2'` (rule D1 of drains). The grammar, and what is
//! measured along it; what a row says against its path is told in `check`.

use crate::ground::{Length, LengthUnit};
use crate::trade::shape::{Words as _, words};

words! {
    /// Where a leg goes. North is wherever the user says.
    pub enum Bearing {
        /// Level, as all but the last two.
        North = "N" ["north"],
        /// Half way to the east.
        NorthEast = "NE" ["northeast"],
        /// A quarter round.
        East = "E" ["east"],
        /// Half way to the south.
        SouthEast = "SE" ["southeast"],
        /// Half round.
        South = "S" ["south"],
        /// Half way to the west.
        SouthWest = "SW" ["southwest"],
        /// Three quarters round.
        West = "W" ["west"],
        /// Half way back to the north.
        NorthWest = "NW" ["northwest"],
        /// Straight up.
        Up = "up",
        /// Straight down.
        Down = "down",
    }
}

words! {
    /// How a leg lies.
    pub enum Attitude {
        /// Level, or with the fall of a drain.
        Level = "level",
        /// Straight up or down.
        Upright = "upright",
    }
}

words! {
    /// The change from one bearing to another.
    pub enum Angle {
        /// None.
        Straight = "0",
        /// An eighth of a round.
        Eighth = "45",
        /// A quarter.
        Quarter = "90",
        /// Three eighths: half way back.
        Against = "135",
        /// Back where it came from.
        Back = "180",
    }
}

impl Bearing {
    /// How a leg of this bearing lies.
    pub const fn attitude(self) -> Attitude {
        match self {
            Self::Up | Self::Down => Attitude::Upright,
            Self::North
            | Self::NorthEast
            | Self::East
            | Self::SouthEast
            | Self::South
            | Self::SouthWest
            | Self::West
            | Self::NorthWest => Attitude::Level,
        }
    }

    /// The other way.
    pub const fn back(self) -> Self {
        match self {
            Self::North => Self::South,
            Self::NorthEast => Self::SouthWest,
            Self::East => Self::West,
            Self::SouthEast => Self::NorthWest,
            Self::South => Self::North,
            Self::SouthWest => Self::NorthEast,
            Self::West => Self::East,
            Self::NorthWest => Self::SouthEast,
            Self::Up => Self::Down,
            Self::Down => Self::Up,
        }
    }

    /// Eighths of a round from the north; nothing where it is upright.
    pub const fn eighths(self) -> Option<u8> {
        match self.attitude() {
            Attitude::Level => Some(self as u8),
            Attitude::Upright => None,
        }
    }

    /// The change from this bearing to another.
    pub fn angle(self, to: Self) -> Angle {
        match (self.eighths(), to.eighths()) {
            (Some(from), Some(to)) => match from.abs_diff(to) {
                0 => Angle::Straight,
                1 | 7 => Angle::Eighth,
                2 | 6 => Angle::Quarter,
                3 | 5 => Angle::Against,
                _ => Angle::Back,
            },
            (None, None) if self == to => Angle::Straight,
            (None, None) => Angle::Back,
            _ => Angle::Quarter,
        }
    }
}

/// One straight part of a path.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Leg {
    /// Where it goes.
    pub bearing: Bearing,
    /// How far.
    pub length: Length,
}

/// A change of direction along a path.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Change {
    /// How far from the beginning of the run.
    pub at: Length,
    /// The bearing of the leg before it.
    pub from: Bearing,
    /// The bearing of the leg behind it.
    pub to: Bearing,
}

impl Change {
    /// How much it turns.
    pub fn angle(&self) -> Angle {
        self.from.angle(self.to)
    }
}

/// How a run goes from its beginning: one leg or more, no two of one bearing behind each other.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Path {
    legs: Box<[Leg]>,
    length: Length,
}

/// Why a path cannot be read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Unread {
    /// A leg without a bearing.
    Bearing(String),
    /// A leg whose length cannot be read, or is not above zero.
    Length(String),
    /// Legs longer together than anything that is read.
    TooLong,
}

impl Path {
    /// Reads legs parted by commas or semicolons; `bare` is the unit of a length that names none.
    pub(super) fn read(text: &str, bare: LengthUnit) -> Result<Self, Unread> {
        let mut legs: Vec<Leg> = Vec::new();
        let mut length = Length::ZERO;
        for written in split_legs(text) {
            let leg = read_leg(&written, bare)?;
            length = length
                .checked_add(leg.length)
                .filter(|sum| *sum <= Length::LONGEST)
                .ok_or(Unread::TooLong)?;
            match legs.last_mut().filter(|last| last.bearing == leg.bearing) {
                Some(last) => last.length = last.length.checked_add(leg.length).ok_or(Unread::TooLong)?,
                None => legs.push(leg),
            }
        }
        if legs.is_empty() {
            return Err(Unread::Bearing(text.trim().to_owned()));
        }
        Ok(Self { legs: legs.into(), length })
    }

    /// Its legs from the beginning.
    pub fn legs(&self) -> &[Leg] {
        &self.legs
    }

    /// All legs together.
    pub fn length(&self) -> Length {
        self.length
    }

    /// How much higher it ends than it begins, the fall of a drain apart.
    pub fn rise(&self) -> Length {
        let signed = self.legs.iter().map(|leg| match leg.bearing {
            Bearing::Up => leg.length.nanometres(),
            Bearing::Down => -leg.length.nanometres(),
            Bearing::North
            | Bearing::NorthEast
            | Bearing::East
            | Bearing::SouthEast
            | Bearing::South
            | Bearing::SouthWest
            | Bearing::West
            | Bearing::NorthWest => 0,
        });
        Length::from_nanometres(signed.sum())
    }

    /// Its upright legs together.
    pub fn upright(&self) -> Length {
        let upright = self.legs.iter().filter(|leg| leg.bearing.attitude() == Attitude::Upright);
        Length::from_nanometres(upright.map(|leg| leg.length.nanometres()).sum())
    }

    /// Its changes of direction, from the beginning.
    pub fn changes(&self) -> impl Iterator<Item = Change> {
        let mut at = 0;
        self.legs.windows(2).map(move |pair| {
            at += pair[0].length.nanometres();
            Change { at: Length::from_nanometres(at), from: pair[0].bearing, to: pair[1].bearing }
        })
    }

    /// The bearing at a distance from the beginning; at a change that of the leg nearer to the beginning.
    pub fn bearing_at(&self, at: Length) -> Bearing {
        let mut end = 0;
        let leg = self.legs.iter().find(|leg| {
            end += leg.length.nanometres();
            at.nanometres() <= end
        });
        leg.unwrap_or(&self.legs[self.legs.len() - 1]).bearing
    }

    /// The distance from the beginning of a point so far into the last leg of a bearing; nothing where no leg goes there, or
    /// none so far.
    pub(in crate::trade) fn along(&self, into: Leg) -> Option<Length> {
        let last = self.legs.iter().rposition(|leg| leg.bearing == into.bearing)?;
        let before: i64 = self.legs[..last].iter().map(|leg| leg.length.nanometres()).sum();
        let is_on = into.length > Length::ZERO && into.length <= self.legs[last].length;
        is_on.then(|| Length::from_nanometres(before + into.length.nanometres()))
    }

    /// The same way from its end to its beginning, as a person would type it.
    pub(super) fn turned_about(&self, unit: LengthUnit) -> String {
        let legs = self.legs.iter().rev().map(|leg| Leg { bearing: leg.bearing.back(), ..*leg });
        written(legs, unit)
    }

    /// As a person would type it.
    pub fn as_typed(&self, unit: LengthUnit) -> String {
        written(self.legs.iter().copied(), unit)
    }
}

/// A leg as it stands in a path, or in `at` for a place on one: `up 1' 6"`.
pub(super) fn read_leg(text: &str, bare: LengthUnit) -> Result<Leg, Unread> {
    let text = text.trim();
    let of_word = |c: char| c.is_alphabetic() || c == '-' || c.is_whitespace();
    let word = text.get(..text.find(|c| !of_word(c)).unwrap_or(text.len())).unwrap_or_default();
    // A hyphen parts two words, as in north-east; before a number it is a minus.
    let word = word.trim_end_matches(|c: char| !c.is_alphabetic());
    let length = text.get(word.len()..).unwrap_or_default();
    let Some(bearing) = Bearing::of_word(word) else { return Err(Unread::Bearing(text.to_owned())) };
    match Length::read(length.trim(), bare).filter(|length| *length > Length::ZERO) {
        Some(length) => Ok(Leg { bearing, length }),
        None => Err(Unread::Length(text.to_owned())),
    }
}

/// Whether a text begins with a word, as a leg does and a plain length does not.
pub(super) fn begins_with_a_word(text: &str) -> bool {
    text.trim_start().starts_with(char::is_alphabetic)
}

/// The legs of a path as written. What begins with no word goes on with the leg before: `E 12 ft, 6 in`.
fn split_legs(text: &str) -> Vec<String> {
    let mut legs: Vec<String> = Vec::new();
    for part in text.split([',', ';']).map(str::trim).filter(|part| !part.is_empty()) {
        match legs.last_mut().filter(|_| !begins_with_a_word(part)) {
            Some(last) => last.extend([" ", part]),
            None => legs.push(part.to_owned()),
        }
    }
    legs
}

fn written(legs: impl Iterator<Item = Leg>, unit: LengthUnit) -> String {
    let typed = legs.map(|leg| format!("{} {}", leg.bearing.word(), leg.length.as_typed(unit)));
    typed.collect::<Vec<_>>().join(", ")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ground::LengthUnit::{Foot, Inch};

    fn path(text: &str) -> Path {
        Path::read(text, Foot).unwrap()
    }

    #[test]
    fn a_path_is_read_as_people_write_it() {
        let long = path("E 12' 6\", up 3', N 2'");
        for other in [
            "east 12.5; UP 3; north 2",
            "E 12 ft, 6 in, up 3, N 2 ft",
            "E12.5 ft;up3;N2",
            "E 10; E 2.5; up 3; N 24 in",
        ] {
            assert_eq!(path(other), long, "{other}");
        }
        assert_eq!(long.length(), Length::whole(210, Inch));
        assert_eq!(long.as_typed(Foot), "E 12 ft 6 in, up 3 ft, N 2 ft");
        assert_eq!(path("north-east 3").legs()[0].bearing, Bearing::NorthEast);
    }

    #[test]
    fn what_is_no_path_is_told_by_its_leg() {
        for (text, why) in [
            ("12 ft", Unread::Bearing("12 ft".to_owned())),
            ("E 3, left 2", Unread::Bearing("left 2".to_owned())),
            ("E", Unread::Length("E".to_owned())),
            ("E 3; N 0", Unread::Length("N 0".to_owned())),
            ("E 3; N -2", Unread::Length("N -2".to_owned())),
            ("", Unread::Bearing(String::new())),
        ] {
            assert_eq!(Path::read(text, Foot), Err(why), "{text}");
        }
    }

    #[test]
    fn the_change_between_two_bearings_is_an_eighth_of_a_round_for_each_step() {
        use Bearing::{Down, East, North, NorthWest, South, SouthWest, Up, West};
        for (from, to, angle) in [
            (North, North, "0"),
            (North, NorthWest, "45"),
            (North, West, "90"),
            (North, SouthWest, "135"),
            (North, South, "180"),
            (East, Up, "90"),
            (Up, NorthWest, "90"),
            (Up, Up, "0"),
            (Up, Down, "180"),
        ] {
            assert_eq!((from.angle(to).word(), to.angle(from).word()), (angle, angle), "{from:?} {to:?}");
        }
    }

    #[test]
    fn turned_about_a_path_leads_from_its_end_to_its_beginning() {
        assert_eq!(path("E 12, down 3, NW 2").turned_about(Foot), "SE 2 ft, up 3 ft, W 12 ft");
    }

    #[test]
    fn distances_changes_and_heights_are_measured_from_the_beginning() {
        let path = path("up 2, E 3, up 4, N 5");
        let feet = |n| Length::whole(n, Foot);
        assert_eq!((path.rise(), path.upright()), (feet(6), feet(6)));
        let changes: Vec<Length> = path.changes().map(|change| change.at).collect();
        assert_eq!(changes, [feet(2), feet(5), feet(9)]);
        assert_eq!(path.bearing_at(feet(2)), Bearing::Up);
        assert_eq!(path.bearing_at(feet(3)), Bearing::East);
        assert_eq!(path.bearing_at(feet(14)), Bearing::North);
        let along = |text: &str| path.along(read_leg(text, Foot).unwrap());
        assert_eq!(along("up 1.5"), Length::read("6.5", Foot));
        assert_eq!((along("up 4.5"), along("W 1")), (None, None));
    }
}
