//! How a run goes, leg by leg: bearings, lengths, and the changes between them (D1 of the rules for drains). It reads the
//! cell by itself, and knows nothing of other runs.

use coilstick::ground::{Length, LengthUnit};

/// Where a leg goes, or comes from where it is turned about.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Bearing {
    /// Degrees from north, in steps of 45.
    Level(u16),
    Up,
    Down,
}

/// How tube lies.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Attitude {
    Level,
    Upright,
}

impl Attitude {
    pub(crate) fn word(self) -> &'static str {
        match self {
            Self::Level => "level",
            Self::Upright => "upright",
        }
    }
}

impl Bearing {
    fn read(text: &str) -> Option<Self> {
        let letters: String =
            text.chars().filter(|one| one.is_alphabetic()).flat_map(char::to_lowercase).collect();
        Some(match letters.as_str() {
            "n" | "north" => Self::Level(0),
            "ne" | "northeast" => Self::Level(45),
            "e" | "east" => Self::Level(90),
            "se" | "southeast" => Self::Level(135),
            "s" | "south" => Self::Level(180),
            "sw" | "southwest" => Self::Level(225),
            "w" | "west" => Self::Level(270),
            "nw" | "northwest" => Self::Level(315),
            "up" => Self::Up,
            "down" => Self::Down,
            _ => return None,
        })
    }

    pub(crate) fn attitude(self) -> Attitude {
        match self {
            Self::Level(_) => Attitude::Level,
            Self::Up | Self::Down => Attitude::Upright,
        }
    }

    /// The other way.
    pub(crate) fn turned_about(self) -> Self {
        match self {
            Self::Level(degrees) => Self::Level((degrees + 180) % 360),
            Self::Up => Self::Down,
            Self::Down => Self::Up,
        }
    }

    /// The angle to another bearing: 0, 45, 90, 135 or 180.
    pub(crate) fn angle(self, other: Self) -> u16 {
        match (self, other) {
            (Self::Level(a), Self::Level(b)) => {
                let apart = a.abs_diff(b);
                apart.min(360 - apart)
            }
            (Self::Up, Self::Up) | (Self::Down, Self::Down) => 0,
            (Self::Up, Self::Down) | (Self::Down, Self::Up) => 180,
            (Self::Level(_), Self::Up | Self::Down) | (Self::Up | Self::Down, Self::Level(_)) => 90,
        }
    }
}

/// A stretch of a run in one bearing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Leg {
    pub(crate) bearing: Bearing,
    /// Where it begins and ends, along the run.
    pub(crate) begins: Length,
    pub(crate) ends: Length,
}

impl Leg {
    pub(crate) fn length(&self) -> i64 {
        self.ends.nanometres() - self.begins.nanometres()
    }
}

/// Where a run changes its bearing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Change {
    pub(crate) at: Length,
    pub(crate) angle: u16,
    pub(crate) before: Attitude,
    pub(crate) after: Attitude,
}

/// A path: one leg or more, no two that follow one another in one bearing.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Path {
    pub(crate) legs: Vec<Leg>,
}

/// A bearing and a length, as `E 12' 6"` and, in `at`, `up 1' 6"`.
pub(crate) fn read_leg(text: &str, bare: LengthUnit) -> Option<(Bearing, Length)> {
    let digits = text.find(|one: char| !one.is_alphabetic() && !one.is_whitespace() && one != '-')?;
    let (bearing, length) = text.split_at(digits);
    let length = Length::read(length.trim(), bare).filter(|length| *length > Length::ZERO)?;
    Some((Bearing::read(bearing)?, length))
}

impl Path {
    pub(crate) fn read(text: &str, bare: LengthUnit) -> Result<Self, &'static str> {
        let mut legs: Vec<Leg> = Vec::new();
        for one in text.split([',', ';']) {
            let (bearing, length) = read_leg(one.trim(), bare).ok_or("a leg of the path cannot be read")?;
            let begins = legs.last().map_or(Length::ZERO, |leg| leg.ends);
            let ends = begins.checked_add(length).ok_or("the path is too long")?;
            match legs.last_mut() {
                Some(last) if last.bearing == bearing => last.ends = ends,
                Some(last) if last.bearing.angle(bearing) > 90 => return Err("the path turns back"),
                Some(_) | None => legs.push(Leg { bearing, begins, ends }),
            }
        }
        Ok(Self { legs })
    }

    pub(crate) fn length(&self) -> Length {
        self.last().ends
    }

    pub(crate) fn first(&self) -> &Leg {
        &self.legs[0]
    }

    pub(crate) fn last(&self) -> &Leg {
        &self.legs[self.legs.len() - 1]
    }

    /// The leg at a distance; at a change that nearer to the beginning.
    pub(crate) fn leg_at(&self, at: Length) -> &Leg {
        self.legs.iter().find(|leg| at <= leg.ends).unwrap_or_else(|| self.last())
    }

    /// The distance along the run that `at` means by a leg's bearing and a distance into the last such leg.
    pub(crate) fn on_leg(&self, bearing: Bearing, distance: Length) -> Option<Length> {
        let leg = self.legs.iter().rev().find(|leg| leg.bearing == bearing)?;
        let at = leg.begins.checked_add(distance)?;
        (at <= leg.ends).then_some(at)
    }

    pub(crate) fn changes(&self) -> Vec<Change> {
        self.legs
            .windows(2)
            .map(|pair| Change {
                at: pair[0].ends,
                angle: pair[0].bearing.angle(pair[1].bearing),
                before: pair[0].bearing.attitude(),
                after: pair[1].bearing.attitude(),
            })
            .collect()
    }

    /// How many of its changes are turns.
    pub(crate) fn turns(&self) -> u32 {
        self.changes().iter().map(|change| u32::from(change.angle == 90)).sum()
    }

    /// The length of its legs that lie so, in nanometres.
    pub(crate) fn lying(&self, attitude: Attitude) -> i64 {
        self.legs.iter().filter(|leg| leg.bearing.attitude() == attitude).map(Leg::length).sum()
    }

    /// How much it goes up, in nanometres; what goes down is taken off.
    pub(crate) fn rise(&self) -> i64 {
        self.legs
            .iter()
            .map(|leg| match leg.bearing {
                Bearing::Up => leg.length(),
                Bearing::Down => -leg.length(),
                Bearing::Level(_) => 0,
            })
            .sum()
    }

    pub(crate) fn goes_down(&self) -> bool {
        self.legs.iter().any(|leg| leg.bearing == Bearing::Down)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn feet(feet: i64) -> Length {
        Length::whole(feet, LengthUnit::Foot)
    }

    #[test]
    fn a_path_is_read_in_both_ways_of_writing_it() {
        let one = Path::read("E 12' 6\", up 3', N 2'", LengthUnit::Foot).unwrap();
        let other = Path::read("east 12.5; UP 3; north 1; n 1", LengthUnit::Foot).unwrap();
        assert_eq!(one, other);
        assert_eq!(one.length(), Length::whole(210, LengthUnit::Inch));
        assert_eq!(one.turns(), 2);
        assert_eq!(one.rise(), feet(3).nanometres());
        assert_eq!(one.lying(Attitude::Level), Length::whole(174, LengthUnit::Inch).nanometres());
    }

    #[test]
    fn changes_are_of_45_or_90_degrees_and_nothing_turns_back() {
        let path = Path::read("NW 4; north 3; NE 2; SE 5; up 1; E 2", LengthUnit::Foot).unwrap();
        let angles: Vec<u16> = path.changes().iter().map(|change| change.angle).collect();
        assert_eq!(angles, [45, 45, 90, 90, 90]);
        for wrong in ["N 3; S 2", "up 3; down 1", "N 4; SE 2", "N 4; 3", "N", "", "N 0", "Z 4"] {
            assert!(Path::read(wrong, LengthUnit::Foot).is_err(), "{wrong}");
        }
    }

    #[test]
    fn a_distance_may_be_measured_into_the_last_leg_of_a_bearing() {
        let path = Path::read("up 4; E 3; up 5; E 2", LengthUnit::Foot).unwrap();
        assert_eq!(path.on_leg(Bearing::Up, feet(2)), Some(feet(9)));
        assert_eq!(path.on_leg(Bearing::Level(90), feet(2)), Some(feet(14)));
        assert_eq!(path.on_leg(Bearing::Level(90), feet(3)), None);
        assert_eq!(path.on_leg(Bearing::Down, feet(1)), None);
        assert_eq!(path.leg_at(feet(4)).bearing, Bearing::Up);
        assert_eq!(path.leg_at(feet(5)).bearing, Bearing::Level(90));
    }
}
