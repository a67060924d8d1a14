//! Mistakes planted in a run list, and what the picture shows of each.

use crate::{HOUSE, drawn_list, line_of};

fn planted(name: &str, right: &str, wrong: &str) -> String {
    assert_eq!(HOUSE.matches(right).count(), 1, "{right}");
    drawn_list(name, &HOUSE.replace(right, wrong))
}

#[test]
fn a_house_as_meant_has_no_mark_of_ends_that_part() {
    let picture = drawn_list("as-meant", HOUSE);
    assert!(!picture.contains("one place,"), "{picture}");
}

#[test]
fn a_wrong_bearing_moves_its_line_and_what_hangs_on_it_and_nothing_else() {
    let right = drawn_list("bearing-right", HOUSE);
    let wrong = planted("bearing-wrong", "C10,cold,1/2,E 24; up 1", "C10,cold,1/2,N 24; up 1");
    assert_ne!(line_of(&wrong, "C10"), line_of(&right, "C10"));
    assert_ne!(line_of(&wrong, "C11"), line_of(&right, "C11"));
    // The kitchen sink is reached by hot water and by its drain where it was.
    assert!(wrong.contains("one place,") && wrong.contains("kitchen sink: its ends are"), "{wrong}");
    let legs = |picture: &str| {
        let points: Vec<(i64, i64)> = line_of(picture, "D3")
            .split(['M', 'L'])
            .skip(1)
            .map(|dot| dot.split_once(' ').map(|(x, y)| (x.parse().unwrap(), y.parse().unwrap())).unwrap())
            .collect();
        points.windows(2).map(|leg| (leg[1].0 - leg[0].0 > 0, leg[1].1 - leg[0].1 < 0)).collect::<Vec<_>>()
    };
    assert_eq!(legs(&wrong), legs(&right), "the drain goes as it went");
}

#[test]
fn a_wrong_distance_moves_where_a_run_ties_in() {
    let right = drawn_list("at-right", HOUSE);
    let wrong = planted("at-wrong", "D3,drain,2,E 21; up 4,D1,6", "D3,drain,2,E 21; up 4,D1,1");
    assert!(right.contains("D3 ties into D1 at 6&apos;") || right.contains("D3 ties into D1 at 6'"));
    assert!(wrong.contains("D3 ties into D1 at 1'"));
    assert_ne!(line_of(&right, "D3"), line_of(&wrong, "D3"));
}

#[test]
fn a_run_that_joins_the_wrong_one_ends_away_from_its_place() {
    let wrong = planted("joins-wrong", "D9,drain,1-1/2,E 8,D2,27.5", "D9,drain,1-1/2,E 8,D2,16");
    assert!(wrong.contains("upper lavatory: its ends are"), "{wrong}");
    let wrong = planted("joins-service", "H2,hot,1/2,N 2,H1,17", "H2,hot,1/2,N 2,C2,21.5");
    assert!(wrong.contains("H2: hot") && wrong.contains("class=\"ring\""), "another service is marked");
}

#[test]
fn a_name_that_nothing_has_is_drawn_apart_with_its_mark() {
    let wrong = planted("joins-nothing", "C9,cold,1/2,up 3,C6,", "C9,cold,1/2,up 3,C66,");
    assert!(wrong.contains("joins C66?"), "{wrong}");
    assert!(line_of(&wrong, "C9").starts_with('M'));
    assert!(wrong.contains("left out: it is in error") && wrong.contains("class=\"badge\""));
}
