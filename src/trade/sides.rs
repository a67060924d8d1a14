//! The alternatives of a job: the systems that its two sides are laid in where a run names none (rule D19 of drains). The
//! chosen ones are the first; each other alternative changes one side and keeps the other.

use super::catalog::Catalog;
use super::catalog::system::SystemId;
use super::lexicon::{Lexicon, Word};
use super::run::Run;
use super::settings::Settings;

/// The systems of one alternative.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Sides {
    /// What the alternative is called: its system; of a job with both sides `pex-clamp + pvc-cement`.
    pub name: Word,
    /// The system of water runs that name none.
    pub water: SystemId,
    /// The system of drains and vents that name none, where the job has one.
    pub drain: Option<SystemId>,
}

/// The alternatives of a job, each once.
pub(super) fn of<'r>(
    settings: &Settings,
    catalog: &Catalog,
    runs: impl Iterator<Item = &'r Run>,
    lexicon: &mut Lexicon,
) -> Vec<Sides> {
    let (mut has_water, mut has_drains) = (false, false);
    for run in runs {
        *(if run.service.is_water() { &mut has_water } else { &mut has_drains }) = true;
    }
    let known = |first: Word, others: &[Word]| -> Vec<SystemId> {
        let mut systems = Vec::new();
        for system in std::iter::once(&first).chain(others).filter_map(|word| catalog.system_named(*word)) {
            if !systems.contains(&system) {
                systems.push(system);
            }
        }
        systems
    };
    let mut waters = known(settings.water_system, &settings.compare_with);
    let drains = known(settings.drain_system, &settings.compare_drains);
    let of_drains_alone = has_drains && !has_water && !drains.is_empty();
    if of_drains_alone {
        // Nothing is laid in another system of water.
        waters.truncate(1);
    }
    let (Some(water), drain) = (waters.first().copied(), drains.first().copied()) else { return Vec::new() };
    let in_pairs = has_water && has_drains && drain.is_some();
    let changed = waters.iter().map(|water| (*water, drain));
    let others = drains.iter().skip(1).filter(|_| has_drains).map(|drain| (water, Some(*drain)));
    changed
        .chain(others)
        .map(|(water, drain)| {
            let name = |system: SystemId| lexicon.text(catalog.system(system).name).to_owned();
            let named = match drain {
                Some(drain) if in_pairs => format!("{} + {}", name(water), name(drain)),
                Some(drain) if of_drains_alone => name(drain),
                Some(_) | None => name(water),
            };
            Sides { name: lexicon.word(&named), water, drain }
        })
        .collect()
}
