//! Supports by published spacing: 2018 IRC Table P2605.1, as `figures/support-spacing.csv` has it: PEX to 1 in. 32 in.
//! and from 1-1/4 4 ft across, copper tubing to 1-1/4 6 ft and from 1-1/2 10 ft across, both 10 ft up.

use rust_decimal::Decimal;

use crate::counting::{Counted, beside, rows};

/// The supports of one run that stands alone.
fn supports(size: &str, length: &str, rise: &str) -> (Decimal, Decimal) {
    let runs = format!("run,service,size,length,rise\nR,cold,{size},{length},{rise}\n");
    let counted = Counted::of(&[("runs", &runs)]);
    let of = |system, part| counted.need_of(system, part, size);
    (of("pex-clamp", "tube clip"), of("copper-solder", "tube strap"))
}

/// Size, length, rise, clips of PEX, straps of copper; arithmetic by hand from the published spacing.
const WORKED: [(&str, &str, &str, i64, i64); 17] = [
    // 384 / 32 = 12 exactly; 32 / 6 = 5.3.
    ("3/4", "32 ft", "", 12, 6),
    // A sixty-fourth over takes one more.
    ("3/4", "384 1/64 in", "", 13, 6),
    ("3/4", "383 63/64 in", "", 12, 6),
    ("1/2", "32 in", "", 1, 1),
    ("1/2", "1/64 in", "", 1, 1),
    // 6 ft are 72 in: 2.25 of 32.
    ("1/2", "6 ft", "", 3, 1),
    ("1/2", "72 1/64 in", "", 3, 2),
    ("1", "12 ft", "", 5, 2),
    // All of it rises: nothing across.
    ("3/4", "10 ft", "10 ft", 1, 1),
    ("3/4", "10 ft", "-10 ft", 1, 1),
    ("3/4", "120 1/64 in", "120 1/64 in", 2, 2),
    ("3/4", "20 ft", "20 ft", 2, 2),
    // 10 ft up and 32 in. across; 6 ft up and 6 ft across: each rounded up by itself.
    ("3/4", "12 ft 8 in", "10 ft", 2, 2),
    ("3/4", "12 ft", "6 ft", 4, 2),
    ("1-1/4", "24 ft", "", 6, 4),
    ("1-1/2", "20 ft", "", 5, 2),
    ("2", "240 1/64 in", "", 6, 3),
];

#[test]
fn published_spacing_gives_the_supports_worked_by_hand() {
    for (size, length, rise, clips, straps) in WORKED {
        let counted = supports(size, length, rise);
        assert_eq!(counted, (clips.into(), straps.into()), "{size}, {length}, rise {rise}");
    }
}

/// The spacing worked with above is the one published.
#[test]
fn the_spacing_worked_with_is_the_one_published() {
    let published: Vec<_> = rows(&beside("figures/support-spacing.csv"))
        .into_iter()
        .filter(|row| row["code"] == "2018 IRC P2605.1" && row["status"] == "found")
        .map(|row| ["material", "size_range", "max_horizontal", "max_vertical"].map(|c| row[c].clone()))
        .collect();
    for row in [
        ["PEX", "<=1", "32 in", "10 ft"],
        ["PEX", ">=1-1/4", "4 ft", "10 ft"],
        ["copper tubing", "<=1-1/4", "6 ft", "10 ft"],
        ["copper tubing", ">=1-1/2", "10 ft", "10 ft"],
    ] {
        assert!(published.iter().any(|one| *one == row), "{row:?}");
    }
}
