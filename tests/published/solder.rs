//! Solder and flux: Copper Tube Handbook (CDA A4015) Table 14.10, per 100 joints of each size; flux at 2 oz a pound.

use rust_decimal::Decimal;

use crate::counting::{Counted, beside, number, rows};

/// 50 couplings have 100 joints; the ends of a run that stands alone are met elsewhere.
fn fifty_couplings(size: &str, tables: &[(&str, &str)]) -> Counted {
    let runs = format!("run,service,size,length (ft),pattern,couplings\nR,cold,{size},510,counted,50\n");
    let mut all = vec![("runs", runs.as_str()), ("job", "item,value\nwater system,copper-solder\n")];
    all.extend(tables);
    Counted::of(&all)
}

fn asks_for(counted: &Counted, solder: &str, flux: &str, size: &str) {
    let amount = |part| counted.need("copper-solder", "cold", part).values().sum::<Decimal>();
    assert_eq!(counted.need_of("copper-solder", "coupling", size), Decimal::from(50), "{size}");
    assert_eq!((amount("solder"), amount("flux")), (number(solder), number(flux)), "{size}");
}

#[test]
fn a_hundred_joints_of_each_size_ask_for_what_the_handbook_says() {
    let mut sizes = 0;
    for row in rows(&beside("figures/solder-per-joint.csv")) {
        let size = row["nominal"].as_str();
        let (solder, flux) = (&row["lb_per_100_joints"], &row["flux_oz_per_100_joints_computed"]);
        // The built-in tables have no 5/8; a job that has it brings its rows.
        let own = format!(
            "joint,size,part,amount,unit,per\nsolder,5/8,solder,{solder},lb,100\nsolder,5/8,flux,{flux},oz,100\n"
        );
        let own = [
            ("sizes", "tube,size,order,variant\ncopper,5/8,0.625,type L\npex,5/8,0.625,\n"),
            ("joints", own.as_str()),
        ];
        asks_for(&fifty_couplings(size, if size == "5/8" { &own } else { &[] }), solder, flux, size);
        sizes += 1;
    }
    assert_eq!(sizes, 8);
}
