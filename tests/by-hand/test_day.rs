//! Test sheets worked out on paper: of the orchard house, which has two storeys and both sides, and of a tiny house. Nobody may
//! regenerate them. Water at 60 F is 0.4331 psi a foot, and a gallon 8.337 lb (0.4331 x 231 / 12). The inside of the pipe as
//! ASTM D1785 has it (4 in.: 3.998, 3: 3.042, 2: 2.049, 1-1/2: 1.592), so its area in square inches 12.554, 7.268, 3.297, 1.991
//! and its gallons a foot 0.6521, 0.3776, 0.1713, 0.1034; PEX (2009 IPC Table E202.1) 0.03055 a foot of 1, 0.01836 of 3/4,
//! 0.00922 of 1/2. Heights are in feet over the sewer, or over the main.

use std::path::Path;

use coilstick::checks::{MarkOf, Opening, Shuts, Test, TestDay, Top, Unknown, test_day};
use coilstick::estimate::estimate;
use coilstick::estimate::takeoff::Subject;
use coilstick::ground::{Length, LengthUnit};
use coilstick::report;
use coilstick::trade::{Job, Phase, Side};
use rust_decimal::Decimal;

fn orchard() -> Job {
    Job::read(&Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/orchard-house")).unwrap()
}

fn of(day: &TestDay, side: Side, phase: Phase) -> &Test {
    day.alternatives[0].iter().find(|test| (test.side, test.phase) == (side, phase)).unwrap()
}

/// A figure as it is written on paper: so many places.
fn to(number: Option<Decimal>, places: u32) -> String {
    number.map_or("-".to_owned(), |number| number.round_dp(places).normalize().to_string())
}

fn feet(length: Option<Length>) -> Option<Decimal> {
    length.map(|length| length.in_units(LengthUnit::Foot))
}

/// An opening on paper: what closes it, size, run, count, off before; height, head to a hundredth; psi to a tenth; push.
fn on_paper(job: &Job, opening: &Opening) -> String {
    let shuts = match opening.shuts {
        Shuts::Cap(_) => "cap",
        Shuts::StillOn(_) => "still on",
        Shuts::Tool => "tool",
        Shuts::Sewer => "sewer",
        Shuts::Main => "main",
        Shuts::StaysOpen => "open",
    };
    let run = match opening.subject {
        Subject::Run(run) => &*job.runs[run.index()].name,
        Subject::Place(_) => "place",
    };
    let off = opening.off.map_or("-", Phase::word);
    let [height, head] = [opening.height, opening.head].map(|length| to(feet(length), 2));
    let (psi, push) = (to(opening.psi, 1), to(opening.push, 0));
    let size = job.lexicon.text(opening.size);
    format!("{shuts} {size} {run} x{} {off} | {height} {head} {psi} {push}", opening.count)
}

fn openings(job: &Job, test: &Test) -> Vec<String> {
    test.openings.iter().map(|opening| on_paper(job, opening)).collect()
}

fn marks(job: &Job, test: &Test) -> Vec<String> {
    let named = |of: MarkOf| match of {
        MarkOf::Level(level) => job.lexicon.text(level).to_owned(),
        MarkOf::StackFoot(run) => format!("foot {}", job.runs[run.index()].name),
    };
    let line = |mark: &coilstick::checks::Mark| {
        let (height, head) = (to(feet(Some(mark.height)), 2), to(feet(mark.head), 2));
        format!("{} | {height} {head} {}", named(mark.of), to(mark.psi, 1))
    };
    test.marks.iter().map(line).collect()
}

fn filled(test: &Test) -> [String; 3] {
    [to(Some(test.laid.gallons), 1), to(Some(test.filled.gallons), 1), to(test.filled.pounds, 0)]
}

/// The ground before the pour. Level drains rise 1/4 in. a foot: D1 36 ft is 9 in. up, so its end and the foot of D3 stand at
/// 0.75. D4 leaves D1 at 33 ft: 33 / 48 = 0.6875, its end 5 ft on 0.7917 (foot of D6), D5 at 2 ft 0.7292. D7 leaves at 28:
/// 0.5833, 14 ft on 0.875 (foot of D8). D9 at 22: 0.4583, 19 ft on 0.8542 (D11 goes on 1.5 ft: 0.8854); D10
/// is two feet into its second leg, 12 ft along: 0.7083. V6 stands at 1 ft of D11: 0.875. Ends: D3 2.75, D5
/// 2.2292, D6 2.7917, D8 2.875, D10 2.7083, D11 0.8854, V6 2.875. Every end is closed: the pipe stands 10 ft over the highest,
/// 12.875. Head = 12.875 - height; D3: 10.125 x 0.4331 = 4.39 psi x 7.268 = 31.9 lb; the plug at the sewer 5.58 x 12.554 = 70.
///
/// Feet: 4 in. 36 + 2.5 = 38.5; 3 in. 2 + 5 + 1.5 + 19 = 27.5; 2 in. 2 + 14 + 2 + 2 + 1.5 and the 6 in. of the receptor = 22;
/// 1-1/2 in. 2. Gallons 25.11 + 10.38 + 3.77 + 0.21 = 39.47, which weigh 329.
#[test]
fn the_ground_of_the_orchard_house_before_the_pour() {
    let job = orchard();
    let day = test_day(&job, &estimate(&job));
    let test = of(&day, Side::Drain, Phase::Underground);
    let Top::Pipe { over, height } = test.sections[0].top else { panic!("{:?}", test.sections[0].top) };
    assert_eq!([over, height].map(|length| to(feet(Some(length)), 3)), ["10", "12.875"]);
    assert_eq!(filled(test), ["39.5", "39.5", "329"]);
    assert_eq!(
        openings(&job, test),
        [
            "cap 3 D3 x1 rough-in | 2.75 10.12 4.4 32",
            "cap 3 D5 x1 trim | 2.23 10.65 4.6 34",
            "cap 2 D6 x1 rough-in | 2.79 10.08 4.4 14",
            "cap 2 D8 x1 rough-in | 2.88 10 4.3 14",
            "cap 2 D10 x1 rough-in | 2.71 10.17 4.4 15",
            "cap 2 D11 x1 trim | 0.89 11.99 5.2 17",
            "cap 1-1/2 V6 x1 rough-in | 2.88 10 4.3 9",
            "sewer 4 D1 x1 - | 0 12.88 5.6 70",
        ]
    );
    assert_eq!(
        marks(&job, test),
        [
            "lower | 0 12.88 5.6",
            "foot D8 | 0.88 12 5.2",
            "foot D6 | 0.79 12.08 5.2",
            "foot D3 | 0.75 12.12 5.3",
            "foot D10 | 0.71 12.17 5.3",
        ]
    );
}

/// The framing. The stack goes on from D3's end at 2.75: D12 to 12.75, V1 to 24.75, and a foot of tube over the roof: the open
/// top is at 25.75, 11.15 psi over the sewer, whose plug takes 11.152 x 12.554 = 140 lb. D20 leaves D12 at 9 ft: 11.75; D21 at
/// 2.5 ft of it 11.8021, its end 2 ft on 11.8438; D22 at 4: 11.8333, 11.875; D24 at 7.5: 11.9063, 3 ft on 11.9688; D20's end
/// 10 ft on 11.9583 (foot of D25), its top 14.4583, D26 and D27 2.5 ft on 14.5104. D13 from 2.7917 to 4.2917, D14 1.5 ft on
/// 4.3229; D15 from 2.875 to 4.575, D16 4.6063; D17 from 2.7083 to 4.9083, D19 2.5 ft on 4.9604. D23's tub is shut by its own
/// seals, D18's standpipe by its box. Still on: D5 under 23.52 ft, 10.19 psi x 7.268 = 74 lb; D11 under 24.86 ft.
///
/// Feet: 3 in. 10 + 10 + 2 + 2 = 24; 2 in. 1.5 + 1.7 + 2.2 + 2 + 3 + 2.5 + 12, the foot over the roof, the 2.5 of the
/// standpipe and the 8 in. of the shower = 29.07; 1-1/2 in. 1.5 + 1.5 + 2.5 + 3 + 2.5 + 2.5 = 13.5 and the vents 17.3 + 27.2 +
/// 20.5 + 28.35 + 24.47 = 117.82. Gallons 9.06 + 4.98 + 13.58 = 27.62; with the ground 67.09, which weigh 559.
#[test]
fn the_framing_of_the_orchard_house_under_its_stack() {
    let job = orchard();
    let day = test_day(&job, &estimate(&job));
    let test = of(&day, Side::Drain, Phase::RoughIn);
    let Top::Open { run, height } = test.sections[0].top else { panic!("{:?}", test.sections[0].top) };
    assert_eq!((&*job.runs[run.index()].name, to(feet(Some(height)), 3)), ("V1", "25.75".to_owned()));
    assert_eq!(to(test.sections[0].most_psi, 2), "11.15");
    assert_eq!(filled(test), ["27.6", "67.1", "559"]);
    assert_eq!(
        openings(&job, test),
        [
            "cap 1-1/2 D14 x1 trim | 4.32 21.43 9.3 18",
            "cap 1-1/2 D16 x1 trim | 4.61 21.14 9.2 18",
            "cap 1-1/2 D19 x1 trim | 4.96 20.79 9 18",
            "cap 3 D21 x1 trim | 11.84 13.91 6 44",
            "cap 3 D22 x1 trim | 11.88 13.88 6 44",
            "cap 2 D24 x1 trim | 11.97 13.78 6 20",
            "cap 1-1/2 D26 x1 trim | 14.51 11.24 4.9 10",
            "cap 1-1/2 D27 x1 trim | 14.51 11.24 4.9 10",
            "still on 3 D5 x1 trim | 2.23 23.52 10.2 74",
            "still on 2 D11 x1 trim | 0.89 24.86 10.8 36",
            "sewer 4 D1 x1 - | 0 25.75 11.2 140",
            "open 2 V1 x1 - | 25.75 - - -",
        ]
    );
    // The vents from the ground floor are written down as the attic's; V7 of them begins lowest, at V6's end.
    assert_eq!(
        marks(&job, test),
        [
            "upper | 11.75 14 6.1",
            "attic | 2.88 22.88 9.9",
            "lower | 0 25.75 11.2",
            "foot D25 | 11.96 13.79 6",
            "foot D8 | 0.88 24.88 10.8",
            "foot D6 | 0.79 24.96 10.8",
            "foot D3 | 0.75 25 10.8",
            "foot D10 | 0.71 25.04 10.8",
        ]
    );
}

/// The water. In the ground 38 ft of 1 in.: 38 x 0.03055 = 1.16 gal; its end waits 2 ft up for M2, at 66 - 2 x 0.4331 = 65.13
/// psi x 0.5877 sq in. = 38 lb. In the framing: M2 9 ft of 1; 3/4 in. C1 12, C2 5.5, C3 7, H1 16, H7 7 = 47.5; 1/2 in. 209.6 of
/// the branches C4 to C16 and H2 to H11, X1 4, X2 1, X3 2.5 = 217.1. Gallons 0.27 + 0.87 + 2.00 = 3.15, with the ground 4.31,
/// 36 lb. R1 and R2 drip over the receptor: nothing joins them to the main. The shower arms and the spout are threads.
/// M2 ends 10 up, where C1 and C3 begin: the lowest tube of the upper floor, 66 - 10 x 0.4331 = 61.7 psi.
#[test]
fn the_water_of_the_orchard_house() {
    let job = orchard();
    let day = test_day(&job, &estimate(&job));
    let ground = of(&day, Side::Water, Phase::Underground);
    assert_eq!(ground.sections[0].top, Top::Held { psi: Decimal::from(66) });
    assert_eq!(filled(ground), ["1.2", "1.2", "10"]);
    assert_eq!(openings(&job, ground), ["main 1 M1 x1 - | 0 - 66 39", "tool 1 M1 x1 - | 2 - 65.1 38"]);
    let framing = of(&day, Side::Water, Phase::RoughIn);
    assert_eq!(filled(framing), ["3.1", "4.3", "36"]);
    let shown = openings(&job, framing);
    let lines: Vec<&str> = shown.iter().map(|line| line.split(" | ").next().unwrap()).collect();
    assert_eq!(lines, ["cap 1/2 X1 x1 trim", "cap 1/2 X2 x1 trim", "cap 1/2 X3 x1 trim", "main 1 M1 x1 -"]);
    let apart: Vec<&str> = framing.apart.iter().map(|run| &*job.runs[run.index()].name).collect();
    assert_eq!(apart, ["R1", "R2"]);
    assert_eq!(marks(&job, framing), ["upper | 10 - 61.7", "lower | 0 - 66"]);
}

const TINY: &str = "run,service,size,path (ft),pattern,joins,at,to,lie,level\n\
    D,drain,3,N 8,,sewer,,,ground,ground floor\n\
    S,drain,3,up 2,,D,,,ground,ground floor\n\
    T,drain,3,up 7,,S,,,,ground floor\n\
    A,drain,1-1/2,E 2,lavatory drain,T,1,basin,,ground floor\n\
    V,vent,2,up 3,,T,,roof,,attic\n";

fn tiny(terms: &str, runs: &str) -> (Job, TestDay) {
    let terms = format!("item,value\ndrain system,pvc-cement\ncompare with,none\n{terms}");
    let places = "place,fixture\nbasin,lavatory\n";
    let job = Job::from_texts(&[("job", &terms), ("runs", runs), ("places", places)]);
    let day = test_day(&job, &estimate(&job));
    (job, day)
}

/// D rises 2 in. on 8 ft: S stands from 0.1667 to 2.1667, the pipe to 12.1667: 5.27 psi at the sewer x 7.268 = 38 lb, 4.331 x
/// 7.268 = 31 lb on the cap of S. Ten feet of 3 in. hold 3.78 gal, 31 lb. Then T to 9.1667, V to 12.1667, the tube over the roof
/// to 13.1667; A leaves at 3.1667, its end half an inch on 3.2083: head 9.9583, 4.313 psi x 1.991 = 9 lb. 7 ft of 3, 4 of 2, 2
/// of 1-1/2: 2.643 + 0.685 + 0.207 = 3.54; with the ground 7.31 gal, 61 lb.
#[test]
fn a_tiny_house() {
    let (job, day) = tiny("", TINY);
    let ground = of(&day, Side::Drain, Phase::Underground);
    assert_eq!(
        openings(&job, ground),
        ["cap 3 S x1 rough-in | 2.17 10 4.3 31", "sewer 3 D x1 - | 0 12.17 5.3 38"]
    );
    assert_eq!(filled(ground), ["3.8", "3.8", "31"]);
    let framing = of(&day, Side::Drain, Phase::RoughIn);
    assert_eq!(
        openings(&job, framing),
        [
            "cap 1-1/2 A x1 trim | 3.21 9.96 4.3 9",
            "sewer 3 D x1 - | 0 13.17 5.7 41",
            "open 2 V x1 - | 13.17 - - -"
        ]
    );
    assert_eq!(filled(framing), ["3.5", "7.3", "61"]);
    assert_eq!(day.alternatives[0].len(), 2, "no water: no test of it");
}

/// Without paths nobody knows a height; by a code family that no table has nothing is judged; ABS of which no inside diameter
/// is published holds nobody knows how much.
#[test]
fn what_is_not_known_is_said() {
    let level = "run,service,size,length,joins,lie\nD,drain,3,8 ft,sewer,ground\n";
    let (_, day) = tiny("", level);
    let test = of(&day, Side::Drain, Phase::Underground);
    assert_eq!(test.sections[0].top, Top::NotKnown(Unknown::Heights));
    assert!(test.openings.iter().all(|opening| opening.psi.is_none() && opening.push.is_none()));

    let (_, day) = tiny("code family,the county's own\n", TINY);
    let ground = of(&day, Side::Drain, Phase::Underground);
    assert!(ground.ways.is_empty());
    assert_eq!(ground.sections[0].top, Top::NotKnown(Unknown::Rule));
    // An open top over the roof needs no rule.
    assert!(matches!(of(&day, Side::Drain, Phase::RoughIn).sections[0].top, Top::Open { .. }));

    let (job, day) =
        tiny("", &TINY.replace("lie,level", "lie,level,system").replace("floor\n", "floor,abs-cement\n"));
    let ground = of(&day, Side::Drain, Phase::Underground);
    assert_eq!(ground.filled.gallons, Decimal::ZERO);
    assert_eq!(ground.filled.not_known.len(), 1);
    let estimate = estimate(&job);
    let files = report::bytes(&job, &estimate).unwrap();
    let at = report::FILES.iter().position(|file| *file == "test-day.csv").unwrap();
    let text = String::from_utf8(files[at].clone()).unwrap();
    assert!(text.contains("not known: no inside diameter of abs 3"), "{text}");
}
