//! Whole houses in every built-in water system.

use std::path::Path;

use crate::house::{house, water_systems};

#[test]
fn the_lake_cabin_is_complete_and_priced_in_every_system() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/lake-cabin/runs.csv");
    let runs = std::fs::read_to_string(path).unwrap();
    // The rings and joints of water: its drains are in one system throughout.
    let of_water = |line: &&str| !line.contains(",drain,") && !line.contains(",vent,");
    let runs: Vec<&str> = runs.lines().filter(of_water).collect();
    let made = house(&water_systems(), &[("runs", &runs.join("\n"))]);
    made.is_whole("the cabin", &[]);
    let tube: Vec<i64> = made.alternatives.iter().map(|of| made.count(of, "tube")).collect();
    assert!(tube.windows(2).all(|pair| pair[0] == pair[1]), "the same runs are as long in every system");
    let bends = |of: &coilstick::estimate::Alternative| of.takeoff.bends > 0;
    for of in &made.alternatives {
        assert_eq!(bends(of), made.system(of).starts_with("pex"), "{}", made.system(of));
        let joint_parts = [
            ("pex-clamp", "clamp ring"),
            ("pex-crimp", "crimp ring"),
            ("pex-expansion", "expansion ring"),
            ("copper-solder", "solder"),
            ("copper-solder-m", "solder"),
            ("cpvc-cement", "cement"),
        ];
        for (system, part) in joint_parts {
            let consumed = made.count(of, part);
            assert_eq!(
                consumed > 0,
                system == made.system(of) || part == "solder" && made.system(of).starts_with("copper-solder"),
                "{part} in {}",
                made.system(of)
            );
            if part.ends_with("ring") && consumed > 0 {
                assert_eq!(consumed, of.takeoff.joints, "{part}");
            }
        }
    }
}
