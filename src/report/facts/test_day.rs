//! Test day in words: what closes an opening, how high a test is filled, what the code family asks, the order of the work and
//! the cautions. The sheet and the files show them.

use rust_decimal::Decimal;

use super::wording::{Wording, to_places};
use crate::checks::{Filled, MarkOf, Opening, Section, Shuts, Test, TestDay, Top, Unknown, WayToTest};
use crate::estimate::takeoff::Subject;
use crate::estimate::{ItemId, RunId};
use crate::trade::{PressureTest, Side, TestMethod};

/// What stands where a code family has no row.
pub(in crate::report) const NOT_JUDGED: &str = "not judged: no rule here";

/// So many names stand in a sentence.
const NAMED: usize = 8;

/// The order of the work: whether it is of drains alone, and the words.
pub(in crate::report) const ORDER: [(Option<Side>, &str); 8] = [
    (
        None,
        "Ask the inspector which test is wanted and when. Nothing is closed in or buried before it has passed.",
    ),
    (
        None,
        "Close every opening of the list and tick it. Count the caps: their number is that of the takeoff.",
    ),
    (
        Some(Side::Drain),
        "Drains: set the plug at the sewer end first, from the side. Fill slowly from the highest opening; \
                         open caps on high arms for a moment to purge the air.",
    ),
    (
        Some(Side::Water),
        "Water: open the highest outlet, fill slowly from the main until no air comes, close it, and bring the \
                         line to its pressure.",
    ),
    (
        None,
        "Wait until the level or the gauge stands still. Look at every joint, wipe those that sweat, and start the time.",
    ),
    (
        None,
        "Hold it for the time of the rule in front of the inspector. A level or a gauge that falls is a leak: find it, mend \
            it, fill again.",
    ),
    (
        None,
        "Let the water out slowly at the lowest point, to where it does no harm. Take nothing off under pressure.",
    ),
    (None, "Take off the caps only when the list says so: those of a later phase stay on and keep dirt out."),
];

/// What may hurt someone on test day.
pub(in crate::report) const TEST_CAUTIONS: [(Option<Side>, &str); 6] = [
    (
        None,
        "Never compressed air or gas in plastic: it bursts like a charge. Air is only for the tubes that the rule names.",
    ),
    (
        None,
        "Stay clear of caps and plugs under pressure, also when a plug is let down. The push on each stands in the list.",
    ),
    (None, "Purge the air: air that is left in springs a cap off and hides a leak."),
    (None, "Water that is left in a cold house freezes and splits the tube. Empty it, or heat the house."),
    (Some(Side::Drain), "A full stack is heavy: see that it is held before it is filled."),
    (
        None,
        "Quantities and pressures are an aid. The local code, the inspector and a licensed plumber decide.",
    ),
];

/// Those words of a list that are for the sides that a job has.
pub(in crate::report) fn of_sides<'w>(
    list: &'w [(Option<Side>, &'static str)],
    tests: &'w [Test],
) -> impl Iterator<Item = &'static str> + 'w {
    let has = |side: Side| tests.iter().any(|test| test.side == side);
    list.iter().filter(move |(side, _)| side.is_none_or(has)).map(|(_, words)| *words)
}

/// What a test is of: `Drains, underground`.
pub(in crate::report) fn title(test: &Test) -> String {
    let side = if test.side == Side::Water { "Water" } else { "Drains" };
    format!("{side}, {}", test.phase.word())
}

/// What becomes of an opening: `test cap`, `test plug (a tool)`.
pub(in crate::report) fn shuts(words: &Wording<'_>, opening: &Opening) -> String {
    match opening.shuts {
        Shuts::Cap(item) => words.part_name(item).to_owned(),
        Shuts::StillOn(item) => format!("{}, still on", words.part_name(item)),
        Shuts::Tool => "plug, a tool".to_owned(),
        Shuts::Sewer => "test plug, a tool".to_owned(),
        Shuts::Main => "gauge and filling".to_owned(),
        Shuts::StaysOpen => "stays open".to_owned(),
    }
}

/// What closes an opening, as programs tell it apart.
pub(in crate::report) const fn shuts_kind(shuts: Shuts) -> &'static str {
    match shuts {
        Shuts::Cap(_) => "cap",
        Shuts::StillOn(_) => "cap still on",
        Shuts::Tool => "tool",
        Shuts::Sewer => "sewer end",
        Shuts::Main => "main",
        Shuts::StaysOpen => "open",
    }
}

/// Where an opening is: its run, its place or area, its level.
pub(in crate::report) fn place(words: &Wording<'_>, opening: &Opening) -> String {
    let (area, level) = (words.word(opening.area), words.word(opening.level));
    let run = if let Subject::Run(run) = opening.subject { words.run_name(run) } else { "" };
    let parts = [run, opening.place.as_deref().unwrap_or(area), level];
    parts.into_iter().filter(|part| !part.is_empty()).collect::<Vec<_>>().join(", ")
}

/// What a mark is of: `lowest tube of upper`, `stack foot D3`.
pub(in crate::report) fn mark(words: &Wording<'_>, of: MarkOf) -> String {
    match of {
        MarkOf::Level(level) if level.is_empty() => "lowest tube".to_owned(),
        MarkOf::Level(level) => format!("lowest tube, level {}", words.word(level)),
        MarkOf::StackFoot(run) => format!("foot of stack {}", words.run_name(run)),
    }
}

/// A pressure with its unit: one place.
fn psi(psi: Decimal) -> String {
    format!("{} psi", to_places(psi, 1))
}

/// Runs by their names, the first of many.
fn names(words: &Wording<'_>, runs: &[RunId]) -> String {
    let named: Vec<&str> = runs.iter().take(NAMED).map(|run| words.run_name(*run)).collect();
    let more = runs.len().saturating_sub(NAMED);
    let more = if more > 0 { format!(" and {more} more") } else { String::new() };
    named.join(", ") + &more
}

/// How high a section is filled, or what it is held at.
pub(in crate::report) fn top(words: &Wording<'_>, day: &TestDay, test: &Test, of: &Section) -> String {
    let begin = format!("the beginning of {}", words.run_name(of.root));
    let at = |pressure: Option<Decimal>, point: &str| {
        pressure.map(|pressure| format!("; {} at its {point} point", psi(pressure))).unwrap_or_default()
    };
    let foot = at(of.most_psi, "lowest");
    match of.top {
        Top::Open { run, height } => format!(
            "Filled to the open top of {} over the roof, {} over {begin}{foot}.",
            words.run_name(run),
            words.length_words(height)
        ),
        Top::Pipe { over, height } => format!(
            "Filled through a pipe set for the test, {} over the highest fitting, {} over {begin}{foot}.",
            words.length_words(over),
            words.length_words(height)
        ),
        Top::Held { psi: held } => {
            format!("Held at {} or more, read at {begin}{}.", psi(held), at(of.least_psi, "highest"))
        }
        Top::NotKnown(Unknown::Heights) => {
            let what = if of.unmeasured.is_empty() { String::new() } else { names(words, &of.unmeasured) };
            let of_runs = if what.is_empty() { String::new() } else { format!(" of {what}") };
            format!(
                "The height of the top is not known: no path says the heights{of_runs}. {}",
                measured(day, test.side)
            )
        }
        Top::NotKnown(Unknown::Rule) => format!(
            "The pressure is {NOT_JUDGED}: the table pressure tests says none of {} for {} in {}.",
            day.family,
            test.side.word(),
            test.phase.word()
        ),
        Top::NotKnown(Unknown::StaticPressure) => {
            "The pressure is not known: read the static pressure at the main and write it into the job."
                .to_owned()
        }
    }
}

/// What is to be measured where no height is known.
fn measured(day: &TestDay, side: Side) -> String {
    let Some((psi_a_foot, _)) = day.water else { return String::new() };
    let psi_a_foot = to_places(psi_a_foot, 3);
    match side {
        Side::Drain => {
            format!("Measure from the top of the water down to each cap: feet times {psi_a_foot} are psi.")
        }
        Side::Water => format!("Each foot over the gauge takes {psi_a_foot} psi off."),
    }
}

/// Runs of a section of which no height is known though its top is.
pub(in crate::report) fn unmeasured(
    words: &Wording<'_>,
    day: &TestDay,
    side: Side,
    of: &Section,
) -> Option<String> {
    let told = matches!(of.top, Top::NotKnown(_)) || of.unmeasured.is_empty();
    (!told).then(|| {
        format!("No path says the height of {}. {}", names(words, &of.unmeasured), measured(day, side))
    })
}

/// What the tube of a test holds: `26.4 gal, 220 lb of water`.
pub(in crate::report) fn filled(of: &Filled) -> String {
    let gallons = format!("{} gal", to_places(of.gallons, 1));
    of.pounds.map_or(gallons.clone(), |pounds| format!("{gallons}, {} lb of water", to_places(pounds, 0)))
}

/// Tube that is left out of the gallons.
pub(in crate::report) fn not_known(words: &Wording<'_>, of: &[ItemId]) -> Option<String> {
    let tubes: Vec<String> = of
        .iter()
        .map(|item| {
            let system = words.item(*item).system.map(|system| words.job.catalog.system(system).tube);
            let named = [
                system.map_or("", |tube| words.word(tube)).to_owned(),
                words.sizes(*item),
                words.variant(*item),
            ];
            named.into_iter().filter(|word| !word.is_empty()).collect::<Vec<_>>().join(" ")
        })
        .collect();
    (!tubes.is_empty()).then(|| format!("not known: no inside diameter of {}", tubes.join("; ")))
}

/// How much is filled in for a test, and what of it is in the tube of its phase.
pub(in crate::report) fn fill(words: &Wording<'_>, test: &Test) -> String {
    let earlier = test.laid.gallons != test.filled.gallons;
    let own = match earlier {
        true => format!("; of it {} gal in what this phase laid", to_places(test.laid.gallons, 1)),
        false => String::new(),
    };
    let left_out = not_known(words, &test.filled.not_known)
        .map(|what| format!(" Not in it, {what}."))
        .unwrap_or_default();
    format!("{}{own}.{left_out}", filled(&test.filled))
}

/// Runs that are in no test.
pub(in crate::report) fn apart(words: &Wording<'_>, test: &Test) -> Option<String> {
    let runs = names(words, &test.apart);
    (!runs.is_empty()).then(|| format!("Not in this test: {runs}. Nothing joins them to the main."))
}

/// What a way to test asks: `water: 10 ft over the highest fitting, held 15 minutes`.
pub(in crate::report) fn way(words: &Wording<'_>, way: &WayToTest) -> String {
    let rule = &way.rule;
    let mut asks = Vec::new();
    asks.extend(rule.head.map(|head| format!("{} over the highest fitting", words.length_words(head))));
    asks.extend(match (way.psi, rule.is_working, rule.method) {
        (Some(least), true, _) => Some(format!("at least the working pressure, {}", psi(least))),
        (None, true, _) => Some("at least the working pressure".to_owned()),
        (Some(least), false, TestMethod::Vacuum) => Some(format!("{} below the air around it", psi(least))),
        (Some(least), false, TestMethod::Water | TestMethod::Air) => Some(format!("at least {}", psi(least))),
        (None, false, _) => None,
    });
    asks.extend(rule.minutes.map(|minutes| format!("held {} minutes", to_places(minutes, 2))));
    let never = if way.never_in.is_empty() {
        String::new()
    } else {
        format!(": NOT in {}", words.list(&way.never_in))
    };
    format!("{}: {}{never}", rule.method.word(), asks.join(", "))
}

/// Where a rule stands and how it is known: `IRC P2503.7; restated`.
pub(in crate::report) fn known(words: &Wording<'_>, rule: &PressureTest) -> String {
    let family = words.word(rule.family);
    let parts = [format!("{family} {}", &*rule.section), rule.status.to_string()];
    parts.iter().map(|part| part.trim()).filter(|part| !part.is_empty()).collect::<Vec<_>>().join("; ")
}

/// Which gauge shows a test.
pub(in crate::report) fn gauge(words: &Wording<'_>, test: &Test) -> String {
    let Some(shows) = test.shows else {
        return "it goes by the pressure, which is not known.".to_owned();
    };
    let reads =
        format!("one that reads to about {} (common practice: twice what it shows)", psi(shows + shows));
    let marks = match &test.gauge {
        Some(row) => format!(
            "marked every {} psi or finer ({} {}; {})",
            to_places(row.marks, 2),
            words.word(row.family),
            &*row.section,
            &*row.status
        ),
        None => format!("its marks {NOT_JUDGED}"),
    };
    match test.side {
        Side::Water => format!("{reads}; {marks}."),
        Side::Drain => {
            format!(
                "the water at the top shows it. At the lowest point a gauge shows {}: {reads}; {marks}.",
                psi(shows)
            )
        }
    }
}
