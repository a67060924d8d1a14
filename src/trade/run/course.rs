//! How a run lies and where it goes at any of its points: what drains and vents are counted by, what pictures are drawn
//! from (rules D1 and D4 of drains).

use super::path::{Angle, Attitude, Bearing};
use super::{Run, Service};
use crate::ground::Length;

/// How a run lies at one of its points, and where it goes there.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Course {
    /// Level or upright.
    pub attitude: Attitude,
    /// Where it goes, from its beginning on; nothing of a level run without a path.
    pub bearing: Option<Bearing>,
}

/// How two runs meet, as rows of the table `meetings` tell meetings apart.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Met {
    /// The service of the parent and how it lies there.
    pub parent: (Service, Attitude),
    /// The service of the child and how it lies there.
    pub child: (Service, Attitude),
    /// The change from the parent to the child, both up the stream.
    pub angle: Angle,
    /// Whether another child of its size leaves opposite.
    pub pair: bool,
}

/// A change of direction, as rows of the table `turnings` tell them apart.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Turned {
    /// What flows behind it.
    pub service: Service,
    /// How the part nearer to the sewer lies.
    pub parent: Attitude,
    /// How the part behind it lies.
    pub child: Attitude,
    /// How much it turns.
    pub angle: Angle,
}

impl Course {
    /// The course of a leg.
    pub const fn of(bearing: Bearing) -> Self {
        Self { attitude: bearing.attitude(), bearing: Some(bearing) }
    }

    /// Level, nobody knows where to.
    pub(super) const LEVEL: Self = Self { attitude: Attitude::Level, bearing: None };

    /// The other way.
    #[must_use]
    pub fn back(self) -> Self {
        Self { bearing: self.bearing.map(Bearing::back), ..self }
    }
}

impl Run {
    /// Its course at a distance from its beginning; at a change of legs that of the leg nearer to the beginning.
    pub fn course_at(&self, at: Length) -> Course {
        match &self.path {
            Some(path) => Course::of(path.bearing_at(at)),
            None => self.course_without_path().unwrap_or(Course::LEVEL),
        }
    }

    /// Its course where it begins.
    pub fn begins(&self) -> Course {
        self.course_at(Length::ZERO)
    }

    /// Its course where it ends.
    pub fn ends(&self) -> Course {
        self.course_at(self.length)
    }

    /// Its upright part: of its legs, or as much as it rises or falls.
    pub fn upright(&self) -> Length {
        match &self.path {
            Some(path) => path.upright(),
            None if self.service.is_water() => self.rise.abs(),
            None => match self.begins().attitude {
                Attitude::Upright => self.length,
                Attitude::Level => Length::ZERO,
            },
        }
    }

    /// The course of a run without a path, by its rise: nothing where it lies neither level nor upright. A vent that says
    /// nothing goes up, all else that says nothing lies level.
    pub(super) fn course_without_path(&self) -> Option<Course> {
        let says_nothing = !self.rise_is_written;
        if says_nothing && self.service == Service::Vent {
            return Some(Course::of(Bearing::Up));
        }
        if self.rise == Length::ZERO {
            return Some(Course::LEVEL);
        }
        let upright = if self.rise > Length::ZERO { Bearing::Up } else { Bearing::Down };
        (self.rise.abs() == self.length).then_some(Course::of(upright))
    }
}
