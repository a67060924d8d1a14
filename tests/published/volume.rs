//! Tube: inside diameters and what a foot holds. Sources stand in `figures/tube-dimensions.csv` and
//! `figures/tube-volume.csv`.
#![allow(clippy::float_arithmetic, reason = "a volume is no count and no price")]

use coilstick::trade::Job;
use coilstick::trade::TubeSize;

use crate::counting::{Row, beside, rows};

/// The built-in sizes with their words: tube, size, variant.
fn built_in() -> Vec<([String; 3], TubeSize)> {
    let job = Job::from_texts(&[("runs", "run,service,size,length\nR,cold,1/2,1\n")]);
    let text = |word| job.lexicon.text(word).to_owned();
    job.catalog
        .sizes
        .iter()
        .map(|size| ([size.tube, size.size, size.variant].map(text), size.clone()))
        .collect()
}

/// The published rows of a tube.
fn published<'a>(rows: &'a [Row], material: &str, tube: &[String; 3]) -> Option<&'a Row> {
    let named = match (tube[0].as_str(), tube[2].as_str()) {
        ("pex", _) => "PEX CTS SDR 9".to_owned(),
        ("cpvc", _) => "CPVC CTS SDR 11".to_owned(),
        ("copper", variant) => format!("{material} {}", variant.trim_start_matches("type ")),
        _ => return None,
    };
    rows.iter().find(|row| row["material"] == named && row["nominal"] == tube[1])
}

/// 2009 IPC Table E202.1 (as reproduced by US DOE Building Science Education): ounces of water in a foot, to 0.01 oz, of
/// which 128 are a gallon of 231 cubic inches.
#[test]
fn a_foot_of_every_built_in_size_holds_the_published_ounces() {
    let figures = rows(&beside("figures/tube-volume.csv"));
    let mut checked = 0;
    for (tube, size) in built_in() {
        let Some(row) = published(&figures, "Copper", &tube) else { continue };
        let inches = size.inside.unwrap().nanometres() as f64 / 25_400_000.0;
        let ounces = std::f64::consts::FRAC_PI_4 * inches * inches * 12.0 / 231.0 * 128.0;
        let stated: f64 = row["oz_per_ft"].parse().unwrap();
        assert!((ounces - stated).abs() <= 0.005 + 1e-4, "{tube:?}: {ounces:.4} oz, published {stated}");
        checked += 1;
    }
    assert_eq!(checked, 34);
}

/// Copper Tube Handbook (CDA A4015) Table 14.2f for type L; type M and plastic as their status says.
#[test]
fn outside_and_inside_of_every_published_size_are_built_in() {
    let figures = rows(&beside("figures/tube-dimensions.csv"));
    let built_in = built_in();
    let mut checked = 0;
    for row in figures.iter().filter(|row| !row["od_in"].is_empty()) {
        let (tube, variant) = match row["material"].as_str() {
            "PEX SDR9" => ("pex", ""),
            "copper type L" => ("copper", "type L"),
            "copper type M" => ("copper", "type M"),
            other => panic!("{other} is not built in"),
        };
        let key = [tube, row["nominal"].as_str(), variant];
        let (_, size) = built_in.iter().find(|(one, _)| *one == key).unwrap();
        let nanometres = |text: &str| {
            let thousandths =
                text.parse::<rust_decimal::Decimal>().unwrap() * rust_decimal::Decimal::from(25_400_000);
            i64::try_from(thousandths).unwrap()
        };
        assert_eq!(size.outside.unwrap().nanometres(), nanometres(&row["od_in"]), "{key:?}");
        assert_eq!(size.inside.unwrap().nanometres(), nanometres(&row["id_in"]), "{key:?}");
        checked += 1;
    }
    assert_eq!(checked, 17);
}
