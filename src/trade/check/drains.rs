//! What runs of paths, drains and vents say that other rows must know: legs of the run that is joined, fittings named in
//! `tee`, patterns of the other side of the house; and the fall of each drain, by its row, the job or common practice.

use std::collections::HashMap;

use crate::ground::name::fold;
use crate::ground::notice::findings;
use crate::ground::{Length, RowAt};
use crate::trade::catalog::Catalog;
use crate::trade::catalog::part::UsedAs;
use crate::trade::lexicon::Word;
use crate::trade::reading::{Reading, unknown};
use crate::trade::run::Side;
use crate::trade::run::{Meeting, Path, Run, Service, Slope};
use crate::trade::settings::Settings;

/// Judges the runs and fills in what follows: distances that name a leg, and falls.
pub(in crate::trade) fn drains(
    runs: &mut [Run],
    settings: &Settings,
    catalog: &Catalog,
    reading: &mut Reading,
) {
    measure_along_legs(runs, reading);
    for run in runs.iter_mut().filter(|run| !run.service.is_water()) {
        if let Some(Meeting::By(part)) = run.tee {
            run.in_error |= !is_meeting(part, run, catalog, reading);
            let mut called = catalog.parts_called_or_used(part).iter().map(|id| catalog.part(*id));
            if called.any(|part| part.used_as.contains(&UsedAs::Wye)) {
                run.tee = Some(Meeting::ByWye(part));
            }
        }
        doubt_patterns(run, catalog, reading);
        if run.fall.is_none() && run.service == Service::Drain {
            run.fall = Some(usual_slope(run, settings, catalog));
        }
    }
}

/// A path that is written and that nobody can read.
struct Misread;

/// A distance that names a leg of the run it is along is measured from the beginning of that run.
fn measure_along_legs(runs: &mut [Run], reading: &mut Reading) {
    if !runs.iter().any(|run| run.at_leg.is_some() || run.to_at_leg.is_some()) {
        return;
    }
    let mut paths: HashMap<String, (RowAt, Result<Option<Path>, Misread>)> = HashMap::new();
    for run in runs.iter() {
        let path = if run.path_is_misread() { Err(Misread) } else { Ok(run.path.clone()) };
        paths.entry(fold(&run.name)).or_insert((run.row, path));
    }
    for run in runs {
        let asked = [("at", run.at_leg, run.joins.clone()), ("to at", run.to_at_leg, run.to.clone())];
        for (heading, leg, parent) in asked {
            let (Some(leg), Some(parent)) = (leg, parent) else { continue };
            // A name that nothing has, or a place, is told where runs are connected.
            let Some((of, path)) = paths.get(&fold(&parent)) else { continue };
            // Where the path cannot be read its run is in error, and this one is left out with it.
            let Ok(path) = path else { continue };
            let measured = path.as_ref().and_then(|path| path.along(leg));
            match (heading, measured) {
                ("at", Some(_)) => run.at = measured,
                (_, Some(_)) => run.to_at = measured,
                (_, None) => {
                    run.in_error = true;
                    let spots = [reading.sources.cell(run.row, heading), reading.sources.cell(*of, "path")];
                    let shown = path.as_ref().map(|path| path.as_typed(reading.bare));
                    let finding = match shown {
                        Some(shown) => {
                            beyond_the_leg(heading, leg.bearing.word(), leg.length, &parent, &shown)
                        }
                        None => no_legs(heading, &parent),
                    };
                    reading.trouble_of(run.row, spots, finding);
                }
            }
        }
    }
}

/// Whether the part named in `tee` is one in which runs meet.
fn is_meeting(part: Word, run: &Run, catalog: &Catalog, reading: &mut Reading) -> bool {
    let called = catalog.parts_called_or_used(part);
    let name = reading.text(part);
    let finding = if called.is_empty() {
        let meetings = catalog.parts.iter().filter(|part| part.is_meeting()).map(|part| part.word);
        unknown::part(&name, reading.lexicon.near(meetings))
    } else if called.iter().any(|id| catalog.part(*id).is_meeting()) {
        return true;
    } else {
        no_meeting(&name)
    };
    reading.trouble(run.row, "tee", finding);
    false
}

/// A pattern of the water side on a drain, where the drain side has one of that name.
fn doubt_patterns(run: &Run, catalog: &Catalog, reading: &mut Reading) {
    for name in &run.patterns {
        let own = reading.text(*name);
        let of_drains = format!("{own} drain");
        let named = |name: &str| reading.lexicon.find(name).and_then(|name| catalog.pattern_named(name));
        let is_of_drains = |id| catalog.pattern(id).side == Some(Side::Drain);
        if named(&own).is_some_and(|id| !is_of_drains(id)) && named(&of_drains).is_some() {
            reading.trouble(run.row, "pattern", pattern_of_water(&own, &of_drains));
        }
    }
}

/// The fall of drains of a size by the job: that of the size, else of the largest size from which on one is said, else of
/// all, else the usual one.
fn usual_slope(run: &Run, settings: &Settings, catalog: &Catalog) -> Slope {
    let system = catalog.system_named(run.system).or_else(|| catalog.system_named(settings.drain_system));
    let order = |size: Word| system.and_then(|system| catalog.order(catalog.system(system).tube, size));
    let own = settings.slopes.iter().find(|said| said.size == run.size && !said.and_larger);
    let from = || {
        let larger =
            settings.slopes.iter().filter(|said| said.and_larger && order(said.size) <= order(run.size));
        larger.filter(|said| order(said.size).is_some()).max_by_key(|said| order(said.size))
    };
    let all = || settings.slopes.iter().find(|said| said.size.is_empty());
    own.or_else(from).or_else(all).map_or_else(Slope::usual, |said| said.slope)
}

findings! {
    /// A place on a leg that the run does not have, or not so far.
    fn beyond_the_leg(heading: &str, bearing: &str, found: Length, parent: &str, path: &str) = error("not-on-the-path",
        "{heading} is {bearing} {found}, and {parent} goes {path}",
        "a leg of that run, and a distance within it",
        "type a bearing that its path has and how far into the last leg of it, or a distance from its beginning");

    /// A place on a leg of a run without a path.
    fn no_legs(heading: &str, parent: &str) = error("not-on-the-path",
        "{heading} names a leg, and {parent} has no path",
        "a distance from the beginning of that run",
        "type the distance, or write the path of {parent}");

    /// A part in `tee` in which no runs meet.
    fn no_meeting(found: &str) = error("no-meeting",
        "tee is \"{found}\", and no run ties into another in it",
        "a fitting in which a drain ties in: wye, combination, sanitary tee",
        "name the fitting, or empty the cell");

    /// A pattern of the water side on a drain.
    fn pattern_of_water(found: &str, of_drains: &str) = warning("pattern-of-water",
        "the pattern {found} on a drain or vent: it adds what the water side needs",
        "a pattern of the drain side",
        "type \"{of_drains}\" if that is meant");
}
