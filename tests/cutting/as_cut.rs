//! Lengths as they are cut, in generated houses of a trunk and its branches: every piece is reckoned once more from the run
//! list and the table alone, by cut points and the openings beside them; and the cut plans are those of these lengths.

use std::fmt::Write as _;

use coilstick::estimate::estimate;
use coilstick::estimate::takeoff::PartOf;
use coilstick::trade::Job;

use crate::families::Dice;
use crate::plans::checked;

const SIXTEENTH: i64 = 1_587_500;

/// What the end of a piece stands in.
#[derive(Clone, Copy, PartialEq)]
enum In {
    Nothing,
    Elbow,
    Run,
    Branch,
}

/// A trunk of 3/4 with its elbows and branches, each branch of 1/2 with its elbows; all places in sixteenths.
struct House {
    text: String,
    /// Pieces center to center, with what their ends stand in and whether they are of 3/4.
    pieces: Vec<(i64, [In; 2], bool)>,
}

fn house(dice: &mut Dice) -> House {
    let mut at = 0;
    let mut text = String::from("run,service,size,length,joins,at,to,turns,turns at\n");
    let mut points: Vec<(i64, In)> = vec![(0, In::Nothing)];
    let mut branches = Vec::new();
    for n in 0..dice.between(1, 9) {
        // Now and then closer than two fittings leave room for, and longer than a stick.
        at += i64::try_from(dice.between(3, [60, 900, 2_600][usize::try_from(n % 3).unwrap()])).unwrap();
        let is_elbow = dice.between(0, 1) == 0;
        points.push((at, if is_elbow { In::Elbow } else { In::Run }));
        if !is_elbow {
            branches.push(at);
        }
    }
    at += i64::try_from(dice.between(200, 2_000)).unwrap();
    points.push((at, In::Nothing));
    let mut pieces = Vec::new();
    let mut lay = |name: &str, joins: &str, to: &str, points: &[(i64, In)], large: bool| {
        let elbows: Vec<String> = points
            .iter()
            .filter(|point| point.1 == In::Elbow)
            .map(|point| format!("{}/16 in", point.0))
            .collect();
        let (size, length) = (if large { "3/4" } else { "1/2" }, points.last().unwrap().0);
        let turns = (elbows.len(), elbows.join(";"));
        writeln!(text, "{name},cold,{size},{length}/16 in,{joins},{to},{},{}", turns.0, turns.1).unwrap();
        for pair in points.windows(2) {
            let ends = [pair[0].1, pair[1].1];
            pieces.push((pair[1].0 - pair[0].0, ends, large));
        }
    };
    lay("A", "main,", "", &points, true);
    for (n, tap) in branches.iter().enumerate() {
        let mut own = vec![(0, In::Branch)];
        let mut along = 0;
        for _ in 0..dice.between(0, 2) {
            along += i64::try_from(dice.between(3, 700)).unwrap();
            own.push((along, In::Elbow));
        }
        own.push((along + i64::try_from(dice.between(3, 700)).unwrap(), In::Nothing));
        lay(&format!("B{n}"), &format!("A,{tap}/16 in"), &format!("place {n}"), &own, false);
    }
    House { text, pieces }
}

/// The table: rows that are missing leave their pieces center to center. In sixteenths: elbow 3/4, elbow 1/2, tee run 3/4,
/// tee branch 1/2.
fn table(dice: &mut Dice) -> ([Option<i64>; 4], String) {
    let rows = ["elbow,3/4,", "elbow,1/2,", "tee,3/4,run", "tee,1/2,branch"];
    let mut text = String::from("part,size,opening,take-out\n");
    let take_outs = rows.map(|row| {
        let take_out = (dice.between(0, 5) > 0).then(|| i64::try_from(dice.between(0, 40)).unwrap());
        if let Some(take_out) = take_out {
            writeln!(text, "{row},{take_out}/16 in").unwrap();
        }
        take_out
    });
    (take_outs, text)
}

#[test]
fn every_piece_of_generated_houses_is_cut_as_its_fittings_leave_it() {
    let prices = "supplier,part,size,price,system,sold as,pack,per\n\
        Invented,tube,3/4,29,copper,stick,10 ft,pack\nInvented,tube,3/4,55,copper,stick,20 ft,pack\n\
        Invented,tube,1/2,17,copper,stick,10 ft,pack\nInvented,coupling,1/2,1.10,,each,,each\n\
        Invented,coupling,3/4,2.35,,each,,each\n";
    let (mut as_cut, mut center_to_center, mut nothing_left) = (0, 0, 0);
    for seed in 0..60 {
        let mut dice = Dice::new(90_000 + seed);
        let house = house(&mut dice);
        let (take_outs, table) = table(&mut dice);
        let allowance = ["plan", "piece", "end"][usize::try_from(dice.between(0, 2)).unwrap()];
        let items = format!(
            "item,for,value\nwater system,,copper-solder\ncompare with,,none\nkerf,,{}/16 in\n\
             tube allowance,,{allowance}\nallowance,tube,{}\n",
            dice.between(0, 3),
            dice.between(0, 9)
        );
        let tables = [("runs", &*house.text), ("job", &*items), ("prices", prices), ("take-outs", &*table)];
        let job = Job::from_texts(&tables);
        assert!(job.notices.iter().all(|notice| !notice.is_error()), "{seed}: {:?}", job.notices);
        let mut wanted: Vec<(i64, Option<i64>)> = Vec::new();
        for (length, ends, large) in &house.pieces {
            let taken = ends.map(|end| match (end, large) {
                (In::Nothing, _) => Some(0),
                (In::Elbow, true) => take_outs[0],
                (In::Elbow, false) => take_outs[1],
                (In::Run, _) => take_outs[2],
                (In::Branch, _) => take_outs[3],
            });
            let left = taken[0].zip(taken[1]).map(|(one, two)| length - one - two);
            nothing_left += usize::from(left.is_some_and(|left| left <= 0));
            wanted.push((*length * SIXTEENTH, left.filter(|left| *left > 0).map(|left| left * SIXTEENTH)));
        }
        let of = estimate(&job);
        let mut found: Vec<(i64, Option<i64>)> = Vec::new();
        for piece in &of.alternatives[0].takeoff.pieces {
            let length = match piece.part {
                PartOf::Itself => piece.length,
                PartOf::Lengths => continue,
                PartOf::Rest(length) => length,
            };
            let as_cut = piece.cut.as_cut.map(|as_cut| as_cut.nanometres());
            assert!(as_cut.is_none_or(|as_cut| as_cut <= length.nanometres()));
            found.push((length.nanometres(), as_cut));
        }
        as_cut += found.iter().filter(|(_, as_cut)| as_cut.is_some()).count();
        center_to_center += found.iter().filter(|(_, as_cut)| as_cut.is_none()).count();
        wanted.sort_unstable();
        found.sort_unstable();
        assert_eq!(wanted, found, "{seed}: {}\n{table}", house.text);
        let told = of.told.iter().filter(|notice| notice.kind == "nothing-left").count();
        let left: Vec<_> = wanted.iter().filter(|(length, as_cut)| as_cut.is_none() && *length > 0).collect();
        assert!(told <= left.len());
        checked(&job, &format!("house {seed}"));
    }
    println!("generated houses: {as_cut} pieces as cut, {center_to_center} center to center");
    assert!(
        as_cut > 300 && center_to_center > 100 && nothing_left > 3,
        "{as_cut} {center_to_center} {nothing_left}"
    );
}
