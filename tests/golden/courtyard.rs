//! The courtyard house is there twice: on manifolds, and as trunk and branch. Both must serve the same fixtures, and what
//! each fixture must have is counted from a list that a plumber would write, not from the takeoff.

use std::collections::{BTreeMap, BTreeSet};

use coilstick::estimate::estimate;
use coilstick::ground::name::fold;
use coilstick::trade::{Job, Service};

use crate::{doubts, project};

const LAYOUTS: [&str; 2] = ["examples/courtyard-manifold", "examples/courtyard-trunk"];

/// What runs to each kind of fixture, and how it is met there: through a stop, or by a part of its own.
const SERVED: [(&str, &[Service], Option<&str>); 11] = [
    ("lavatory", &[Service::Cold, Service::Hot], None),
    ("water closet", &[Service::Cold], None),
    ("bidet", &[Service::Cold, Service::Hot], None),
    ("kitchen sink", &[Service::Cold, Service::Hot], None),
    ("bar sink", &[Service::Cold, Service::Hot], None),
    ("laundry tub", &[Service::Cold, Service::Hot], None),
    ("dishwasher", &[Service::Hot], None),
    ("ice maker", &[Service::Cold], Some("ice maker box")),
    ("clothes washer", &[Service::Cold, Service::Hot], Some("washer box")),
    ("shower", &[Service::Cold, Service::Hot, Service::Mixed], Some("shower valve")),
    ("tub and shower", &[Service::Cold, Service::Hot, Service::Mixed], Some("tub and shower valve")),
];

/// How many of each kind the owner asked for: three baths, a powder room, a kitchen, a laundry, a bar, a shower in the court.
const ASKED_FOR: [(&str, i64); 11] = [
    ("lavatory", 5),
    ("water closet", 4),
    ("bidet", 1),
    ("kitchen sink", 1),
    ("bar sink", 1),
    ("laundry tub", 1),
    ("dishwasher", 1),
    ("ice maker", 1),
    ("clothes washer", 1),
    ("shower", 3),
    ("tub and shower", 2),
];

fn read(layout: &str) -> Job {
    let job = Job::read(&project(layout)).unwrap();
    assert!(doubts(&job).is_empty(), "{:#?}", job.notices);
    job
}

/// Each place that has a fixture: its kind, and what runs to it or from it.
fn fixtures(job: &Job) -> BTreeMap<String, (String, BTreeSet<&'static str>)> {
    let mut found: BTreeMap<String, (String, BTreeSet<&'static str>)> = BTreeMap::new();
    for place in job.places.iter().filter(|place| !place.fixture.is_empty()) {
        found.insert(fold(&place.name), (job.lexicon.text(place.fixture).to_owned(), BTreeSet::new()));
    }
    for run in &job.runs {
        for name in [&run.joins, &run.to].into_iter().flatten() {
            if let Some((_, services)) = found.get_mut(&fold(name)) {
                services.insert(run.service.word());
            }
        }
    }
    found
}

#[test]
fn both_layouts_of_the_courtyard_serve_the_same_fixtures() {
    let [manifold, trunk] = LAYOUTS.map(read);
    let (one, other) = (fixtures(&manifold), fixtures(&trunk));
    assert!(one.len() > 20, "{one:#?}");
    assert_eq!(one, other);
    let table = |layout: &str| std::fs::read_to_string(project(layout).join("places.csv")).unwrap();
    assert_eq!(table(LAYOUTS[0]), table(LAYOUTS[1]), "the table of places");
    assert!(manifold.runs.len() > 55 && trunk.runs.len() > 55, "about sixty runs each");
}

#[test]
fn each_fixture_of_the_courtyard_is_met_by_what_it_needs() {
    for layout in LAYOUTS {
        let fixtures = fixtures(&read(layout));
        for (kind, asked) in ASKED_FOR {
            let these: Vec<_> = fixtures.iter().filter(|(_, (fixture, _))| fixture == kind).collect();
            assert_eq!(i64::try_from(these.len()).unwrap(), asked, "{layout}: {kind}");
            let needs = SERVED.iter().find(|(served, ..)| *served == kind).unwrap().1;
            let needs: BTreeSet<&str> = needs.iter().map(|service| service.word()).collect();
            for (place, (_, services)) in these {
                assert_eq!(*services, needs, "{layout}: {place}");
            }
        }
    }
}

/// How many of a part each alternative takes, whatever its size, service and phase.
fn taken(layout: &str) -> Vec<BTreeMap<String, i64>> {
    let job = read(layout);
    let estimate = estimate(&job);
    let of = |alternative: &coilstick::estimate::Alternative| {
        let mut counts: BTreeMap<String, i64> = BTreeMap::new();
        for line in &alternative.takeoff.lines {
            let part = job.catalog.part(estimate.items.get(line.item).part);
            *counts.entry(part.name.to_string()).or_default() += line.count;
        }
        counts
    };
    estimate.alternatives.iter().map(of).collect()
}

/// So many toilets, so many stops: a stop for each cold and hot supply of what is met through one, and one at the fountain.
#[test]
fn the_courtyard_has_a_stop_for_every_supply_and_a_valve_or_box_for_the_rest() {
    let mut expected: BTreeMap<&str, i64> = BTreeMap::from([("supply stop", 1), ("hose bibb", 2)]);
    for (kind, asked) in ASKED_FOR {
        let (_, services, part) = SERVED.iter().find(|(served, ..)| *served == kind).unwrap();
        match part {
            Some(part) => *expected.entry(part).or_default() += asked,
            None => {
                let supplies = i64::try_from(services.len()).unwrap();
                *expected.entry("supply stop").or_default() += asked * supplies;
            }
        }
    }
    // 5 lavatories, bidet, kitchen sink, bar sink, laundry tub by two; 4 toilets, the dishwasher, the fountain by one.
    assert_eq!(expected["supply stop"], 24);
    for layout in LAYOUTS {
        for counts in taken(layout) {
            for (part, number) in &expected {
                assert_eq!(counts.get(*part), Some(number), "{layout}: {part}");
            }
        }
    }
}
