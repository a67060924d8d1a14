//! Two houses whose piping others measured and published as network files: tees, reducers, feet and fixture ends as the
//! files have them. Source and licence stand in `open-houses/README.md`.

use std::collections::BTreeMap;

use rust_decimal::Decimal;

use crate::counting::{Counted, SYSTEMS, beside, number, rows};

/// The files have a size that the built-in tables lack; a job brings it by tables alone. Solder: Copper Tube Handbook (CDA
/// A4015) Table 14.10; spacing: 2018 IRC Table P2605.1; outside: 1/8 in. over the name, as all tube of these families.
const TABLES: [(&str, &str); 3] = [
    (
        "sizes",
        "tube,size,order,variant,outside (in),source\n\
         pex,5/8,0.625,,0.750,1/8 in over the name\n\
         copper,5/8,0.625,type L,0.750,Copper Tube Handbook (CDA A4015) Table 14.10\n",
    ),
    (
        "joints",
        "joint,size,part,amount,unit,per,source\n\
         solder,5/8,solder,0.389,lb,100,Copper Tube Handbook (CDA A4015) Table 14.10\n\
         solder,5/8,flux,0.778,oz,100,at 2 oz a pound; Copper Tube Handbook (CDA A4015) Table 14.10\n",
    ),
    (
        "supports",
        "tube,size,across,up,part,source\n\
         pex,5/8,32 in,10 ft,tube clip,2018 IRC Table P2605.1\n\
         copper,5/8,6 ft,10 ft,tube strap,2018 IRC Table P2605.1\n",
    ),
];

/// A house as the program counts it, and as the file does.
struct House {
    counted: Counted,
    /// By service, what it is, size.
    published: BTreeMap<(String, String, String), Decimal>,
    /// Runs of each service; each length is rounded to 0.001 ft.
    runs: BTreeMap<String, u32>,
}

fn house(name: &str) -> House {
    let runs = beside(&format!("open-houses/{name}/runs.csv"));
    let mut tables = vec![("runs", runs.as_str())];
    tables.extend(TABLES);
    let counts = rows(&beside(&format!("open-houses/{name}/counts.csv")));
    let published = counts.iter().map(|row| {
        let key = (row["system"].clone(), row["part"].clone(), row["size"].clone());
        (key, number(&row["quantity"]))
    });
    let mut of_service = BTreeMap::new();
    for row in rows(&runs) {
        *of_service.entry(row["service"].clone()).or_default() += 1;
    }
    House { counted: Counted::of(&tables), published: published.collect(), runs: of_service }
}

impl House {
    /// What was published of a part, by size, as the trade writes sizes here.
    fn published(&self, service: &str, part: &str) -> BTreeMap<String, Decimal> {
        let of_part = self.published.iter().filter(|((one, what, _), _)| one == service && what == part);
        of_part.map(|((_, _, size), quantity)| (size.clone(), *quantity)).collect()
    }
}

fn tees_reducers_and_feet_are_those_of_the_file(name: &str) {
    let house = house(name);
    for system in SYSTEMS {
        for service in ["cold", "hot"] {
            let need = |part| house.counted.need(system, service, part);
            assert_eq!(need("tee"), house.published(service, "tee"), "{name} {system} {service}");
            let reducers = house.published(service, "reducer");
            assert_eq!(need("reducing coupling"), reducers, "{name} {system} {service}");
            let (tube, published) = (need("tube"), house.published(service, "pipe"));
            assert!(tube.keys().eq(published.keys()), "{name} {system} {service}: {tube:?}");
            let rounding = Decimal::new(5, 4) * Decimal::from(house.runs[service]);
            for (size, feet) in published {
                let off = (tube[&size] - feet).abs();
                assert!(off <= rounding, "{name} {system} {service} {size}: {} is not {feet}", tube[&size]);
            }
        }
    }
}

/// Ends at bare places stay open and are capped (rule 16), so caps are the fixture ends and, apart from them, those of the
/// heater (one end of a run cold, one beginning hot) and those of the fixture fed on the way (its run ends there and the
/// next one begins there).
fn fixture_ends_are_those_of_the_file(name: &str) {
    let house = house(name);
    for system in SYSTEMS {
        for service in ["cold", "hot"] {
            let ends: Decimal = house.published(service, "fixture connections at an end").values().sum();
            let fed: Decimal =
                house.published(service, "fixture fed on the way (a tee in fact)").values().sum();
            let caps = house.counted.need(system, service, "cap");
            let expected = ends + Decimal::ONE + Decimal::TWO * fed;
            assert_eq!(caps, BTreeMap::from([("1/2".to_owned(), expected)]), "{name} {system} {service}");
        }
    }
}

#[test]
fn the_first_house_takes_the_tees_reducers_and_feet_of_its_file() {
    tees_reducers_and_feet_are_those_of_the_file("epa-house1");
}

#[test]
fn the_second_house_takes_the_tees_reducers_and_feet_of_its_file() {
    tees_reducers_and_feet_are_those_of_the_file("epa-house3");
}

#[test]
fn the_first_house_has_the_fixture_ends_of_its_file() {
    fixture_ends_are_those_of_the_file("epa-house1");
}

#[test]
fn the_second_house_has_the_fixture_ends_of_its_file() {
    fixture_ends_are_those_of_the_file("epa-house3");
}

/// Arithmetic by hand: the service of the first house is 60 ft, three sticks of 20 ft, which two couplings make one.
#[test]
fn sixty_feet_of_stick_take_two_couplings() {
    let house = house("epa-house1");
    let couplings = |system| house.counted.need_of(system, "coupling", "5/8");
    assert_eq!((couplings("copper-solder"), couplings("pex-clamp")), (Decimal::TWO, Decimal::ZERO));
}
