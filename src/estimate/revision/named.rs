//! Items by the words that name them, so that those of two jobs meet. No quantities here.

use crate::estimate::{Color, Item, sizes_text};
use crate::ground::LengthUnit;
use crate::ground::name::fold;
use crate::trade::{Class, Job};

/// An item in words.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Named {
    /// What allowances and the order go by.
    pub class: Class,
    /// The part.
    pub part: String,
    /// The system it is for; empty where any will do.
    pub system: String,
    /// Its sizes: `1 x 3/4 x 1/2`.
    pub size: String,
    /// Its variant and color: `type L`, `red`.
    pub variant: String,
    /// The unit it is counted in.
    pub unit: String,
}

/// What two items of one name have in common, whatever the case and the unit of length.
pub(super) type Key = (String, String, String, String, String);

impl Named {
    /// An item of a job; lengths are shown in a unit.
    pub fn of(job: &Job, item: &Item, lengths: LengthUnit) -> Self {
        let text = |word| job.lexicon.text(word).to_owned();
        let variant = match (item.variant.is_empty(), item.color) {
            (_, Color::None) => text(item.variant),
            (true, color) => color.word().to_owned(),
            (false, color) => format!("{}, {}", job.lexicon.text(item.variant), color.word()),
        };
        let unit = match (item.is_length(), item.unit.is_empty()) {
            (true, _) => lengths.abbreviation().to_owned(),
            (false, true) => "each".to_owned(),
            (false, false) => text(item.unit),
        };
        Self {
            class: item.class,
            part: job.catalog.part(item.part).name.to_string(),
            system: item.system.map_or_else(String::new, |system| text(job.catalog.system(system).name)),
            size: sizes_text(&job.lexicon, item.sizes.as_slice()),
            variant,
            unit,
        }
    }

    /// What it is matched by.
    pub(super) fn key(&self) -> Key {
        let unit = if self.class == Class::Tube { String::new() } else { fold(&self.unit) };
        (fold(&self.part), fold(&self.size), fold(&self.system), fold(&self.variant), unit)
    }

    /// Its name in a line: `tee 1 x 3/4 x 1/2, brass`.
    pub fn called(&self) -> String {
        let mut name = self.part.clone();
        for (before, words) in [(" ", &self.size), (", ", &self.variant)] {
            if !words.is_empty() {
                name.push_str(before);
                name.push_str(words);
            }
        }
        name
    }
}
