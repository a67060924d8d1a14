//! What goes to suppliers: orders whose sums are the workbook's, a request for quotes that is a price list once it is
//! filled in, and the worked cases of the page of price lists.

use std::path::Path;

use coilstick::estimate::{Estimate, estimate};
use coilstick::report;
use coilstick::trade::{Class, Job, TubeAllowance};
use rust_decimal::Decimal;

fn job(name: &str) -> Job {
    Job::read(&Path::new(env!("CARGO_MANIFEST_DIR")).join(name)).unwrap()
}

/// One of the files of an estimate as rows by heading.
fn table(job: &Job, estimate: &Estimate, name: &str) -> Vec<Vec<(String, String)>> {
    let at = report::FILES.iter().position(|file| *file == name).unwrap();
    let bytes = report::bytes(job, estimate).unwrap().into_iter().nth(at).unwrap();
    let mut reader = csv::Reader::from_reader(bytes.as_slice());
    let headings: Vec<String> = reader.headers().unwrap().iter().map(str::to_owned).collect();
    let rows = reader.records().map(|row| row.unwrap().iter().map(str::to_owned).collect::<Vec<_>>());
    rows.map(|row| headings.iter().cloned().zip(row).collect()).collect()
}

fn cell<'a>(row: &'a [(String, String)], heading: &str) -> &'a str {
    &row.iter().find(|(name, _)| name == heading).unwrap().1
}

#[test]
fn the_orders_come_to_the_material_and_the_delivery_of_the_chosen_alternative() {
    for name in ["examples/lake-cabin", "examples/counted-by-eye", "tests/guest-lodge"] {
        let job = job(name);
        let estimate = estimate(&job);
        let rows = table(&job, &estimate, "orders.csv");
        let sum: Decimal = rows.iter().map(|row| cell(row, "extended").parse::<Decimal>().unwrap()).sum();
        let chosen = &estimate.alternatives[0];
        assert_eq!(sum, chosen.cost.material + chosen.buying.fees(), "{name}");
        let fees = rows.iter().filter(|row| cell(row, "part") == "delivery");
        let charged = chosen.buying.suppliers.iter().filter(|order| !order.fee.is_zero());
        assert_eq!(fees.count(), charged.count(), "{name}: a row a supplier that charges");
        // Rows of one supplier and phase stand together.
        let mut keys: Vec<_> = rows.iter().map(|row| (cell(row, "supplier"), cell(row, "phase"))).collect();
        keys.dedup();
        let number = keys.len();
        keys.sort_unstable();
        keys.dedup();
        assert_eq!(keys.len(), number, "{name}");
    }
}

#[test]
fn an_order_says_whose_job_it_is_where_to_and_when() {
    let runs = "run,service,size,length (ft),phase\nA,cold,1/2,9,\nB,cold,1/2,7,trim\n";
    let prices = "supplier,part,size,price,code,sold as,pack,per\nMill,tube,1/2,9,M-1,stick,20 ft,pack\n";
    let terms = "item,for,value\ncompare with,,none\njob reference,,B-12\nship to,,=12 Alder Lane\n\
                 needed,rough-in,2026-04-02\nneeded,,2026-06-01\n";
    let job = Job::from_texts(&[("runs", runs), ("prices", prices), ("job", terms)]);
    let rows = table(&job, &estimate(&job), "orders.csv");
    assert_eq!(rows.len(), 1);
    let row = &rows[0];
    let said =
        ["supplier", "phase", "job reference", "ship to", "needed", "code"].map(|name| cell(row, name));
    assert_eq!(said, ["Mill", "rough-in", "B-12", "\"=12 Alder Lane\"", "2026-04-02", "M-1"]);
}

#[test]
fn a_first_request_for_quotes_says_which_tube_is_on_hand() {
    let runs = "run,service,size,length (ft)\nA,cold,1/2,90\n";
    let terms = "item,for,value\nwater system,,pex-clamp\ncompare with,,none\n";
    let on_hand = "part,size,quantity,length\ntube,1/2,2,32 ft\n";
    let job = Job::from_texts(&[("runs", runs), ("job", terms), ("on hand", on_hand)]);
    let rows = table(&job, &estimate(&job), "request-for-quote.csv");
    let tube: Vec<_> = rows.iter().filter(|row| cell(row, "part") == "tube").collect();
    assert!(!tube.is_empty());
    for row in tube {
        assert_eq!(cell(row, "need in all"), "90 ft");
        assert_eq!(cell(row, "on hand"), "on hand, not taken off yet: 2 x 32 ft");
    }
}

#[test]
fn a_request_for_quotes_that_is_filled_in_is_a_price_list() {
    for name in ["examples/lake-cabin", "tests/guest-lodge"] {
        let mut job = job(name);
        let rows = table(&job, &estimate(&job), "request-for-quote.csv");
        assert!(rows.iter().all(|row| cell(row, "price").is_empty() && cell(row, "supplier").is_empty()));
        let mut writer = csv::Writer::from_writer(Vec::new());
        writer.write_record(rows[0].iter().map(|(name, _)| name)).unwrap();
        for row in &rows {
            writer
                .write_record(row.iter().map(|(name, value)| match name.as_str() {
                    "supplier" => "Quoted Supply (invented)",
                    "price" => "1.25",
                    _ => value,
                }))
                .unwrap();
        }
        let text = String::from_utf8(writer.into_inner().unwrap()).unwrap();
        let quoted =
            Job::from_texts(&[("runs", "run,service,size,length\nA,cold,1/2,10\n"), ("prices", &text)]);
        // One price for all is out of the ordinary for a coil.
        let expected = ["unknown-part", "out-of-the-ordinary", "unlike-the-others"];
        let own: Vec<_> = quoted.notices.iter().filter(|notice| !expected.contains(&notice.kind)).collect();
        assert!(name != "examples/lake-cabin" || own.is_empty(), "{name}: {own:#?}");
        assert_eq!(quoted.prices.offers.len(), rows.len(), "{name}: a row a line");
        if name == "examples/lake-cabin" {
            // The words of the quoted list are those of another lexicon: they are read again over the job's own tables.
            let texts = ["runs", "suppliers"].map(|table| {
                (
                    table,
                    std::fs::read_to_string(
                        Path::new(env!("CARGO_MANIFEST_DIR")).join(name).join(format!("{table}.csv")),
                    )
                    .unwrap(),
                )
            });
            let terms = "item,for,value\nwater system,,pex-clamp\ncompare with,,none\nallowance,fitting,5\nallowance,ring,8\n\
                         allowance,support,10\nallowance,consumable,10\n";
            job = Job::from_texts(&[
                ("runs", &texts[0].1),
                ("suppliers", &texts[1].1),
                ("prices", &text),
                ("job", terms),
            ]);
            let priced = estimate(&job);
            let chosen = &priced.alternatives[0];
            assert!(chosen.cost.not_priced.is_empty(), "{:?}", chosen.cost.not_priced);
            assert!(chosen.cost.material > Decimal::ZERO);
        }
    }
}

/// The whole way round, as a clerk goes it: the request is written, a supplier writes its name once and prices what it
/// sells, and the job is priced by what came back.
#[test]
fn a_request_that_a_supplier_fills_in_part_makes_an_order_with_a_cut_plan() {
    let home = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/lake-cabin");
    let job = job("examples/lake-cabin");
    let rows = table(&job, &estimate(&job), "request-for-quote.csv");
    let is_sold = |row: &[(String, String)]| match (cell(row, "part"), cell(row, "sold as")) {
        ("tube", "coil") => cell(row, "pack") == "100 ft",
        ("tube", "stick") if cell(row, "system") == "pvc-cement" => cell(row, "pack") == "10 ft",
        ("tube", _) | ("ball valve", _) => false,
        (_, _) => true,
    };
    // Every tube is asked for by the coil and by the stick, with the whole need beside each.
    let tubes: Vec<_> = rows.iter().filter(|row| cell(row, "part") == "tube").collect();
    let blue: Vec<_> = tubes
        .iter()
        .filter(|row| cell(row, "size") == "1/2\"" && cell(row, "color") == "blue")
        .map(|row| ["need in all", "quantity", "sold as", "pack", "per"].map(|name| cell(row, name)))
        .collect();
    // By hand: 111.5 ft are two coils of 100 ft, one of 300 or of 500, six sticks of 20 ft.
    let asked = [
        ["111.5 ft", "2", "coil", "100 ft", "pack"],
        ["111.5 ft", "1", "coil", "300 ft", "pack"],
        ["111.5 ft", "1", "coil", "500 ft", "pack"],
        ["111.5 ft", "6", "stick", "20 ft", "pack"],
    ];
    assert_eq!(blue, asked);
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer.write_record(rows[0].iter().map(|(name, _)| name)).unwrap();
    for (at, row) in rows.iter().enumerate() {
        let price = if cell(row, "part") == "tube" { "30" } else { "1.25" };
        let filled = row.iter().map(|(name, value)| match name.as_str() {
            "supplier" if at == 0 => "Quoted Supply (invented)",
            "price" if is_sold(row) => price,
            _ => value,
        });
        writer.write_record(filled).unwrap();
    }
    let file = std::env::temp_dir().join(format!("coilstick-quote-{}.csv", std::process::id()));
    std::fs::write(&file, writer.into_inner().unwrap()).unwrap();
    let quoted = Job::read_at_prices(&home, &file).unwrap();
    std::fs::remove_file(&file).unwrap();

    let blank = rows.iter().filter(|row| !is_sold(row)).count();
    let told: Vec<_> = quoted.notices.iter().filter(|notice| notice.kind == "not-offered").collect();
    assert_eq!(told.len(), 1);
    assert!(
        told[0].found.starts_with(&format!("{blank} rows of this list have no price")),
        "{}",
        told[0].found
    );
    assert!(!quoted.notices.iter().any(coilstick::ground::Notice::is_error), "{:#?}", quoted.notices);
    assert_eq!(quoted.prices.offers.len(), rows.len() - blank);
    let priced = estimate(&quoted);
    let chosen = &priced.alternatives[0];
    let tube = chosen.order.iter().filter(|line| priced.items.get(line.item).is_length()).count();
    assert_eq!(chosen.plans.iter().filter(|plan| !plan.cuttings.is_empty()).count(), tube);
    assert!(!priced.notices.iter().any(|notice| notice.kind == "no-cut-plan"));
    let ordered = table(&quoted, &priced, "orders.csv");
    assert!(!ordered.is_empty());
    assert!(ordered.iter().all(|row| cell(row, "supplier") == "Quoted Supply (invented)"));
    let is_blue = |row: &&Vec<(String, String)>| {
        ["part", "size", "variant"].map(|name| cell(row, name)) == ["tube", "1/2\"", "blue"]
    };
    let of_blue = ordered.iter().find(is_blue).unwrap();
    assert_eq!(
        ["sold as", "packs", "price"].map(|name| cell(of_blue, name)),
        ["coil of 100 ft", "2", "30.00"]
    );
    // What the supplier left blank is not priced, and is not zero.
    let names: Vec<&str> = chosen
        .cost
        .not_priced
        .iter()
        .map(|id| &*quoted.catalog.part(priced.items.get(*id).part).name)
        .collect();
    assert!(!names.is_empty() && names.iter().all(|name| *name == "ball valve"), "{names:?}");
}

#[test]
fn what_nobody_sells_names_the_nearest_offers_in_the_request() {
    let runs = "run,service,size,length (ft),joins,at (ft)\nA,cold,3/4,20,main,\nB,cold,1/2,7,A,5\n";
    let prices = "supplier,part,size,price,sold as,pack,per\nMill,tee,1 x 1 x 1,2,each,,each\n";
    let job =
        Job::from_texts(&[("runs", runs), ("prices", prices), ("job", "item,value\ncompare with,none\n")]);
    let estimate = estimate(&job);
    let at = report::FILES.iter().position(|file| *file == "estimate.json").unwrap();
    let json: serde_json::Value =
        serde_json::from_slice(&report::bytes(&job, &estimate).unwrap()[at]).unwrap();
    let asked = json["quote_request"].as_array().unwrap();
    let part = |one: &serde_json::Value| {
        let item = usize::try_from(one["item"].as_u64().unwrap()).unwrap();
        json["items"][item]["part"].clone()
    };
    let tee = asked.iter().find(|one| part(one) == "tee").unwrap();
    assert_eq!((&tee["priced"], &tee["nearest"][0]), (&false.into(), &"tee 1 x 1 x 1 of Mill".into()));
}

/// A break makes eight bags cheaper than five: three go back, and two more where the allowance stays unused.
#[test]
fn packs_that_stay_unopened_may_go_back_where_the_price_list_says_so() {
    let back = |returnable: &str| {
        let runs =
            "run,service,size,length (ft),joins,at (ft),count\nA,cold,3/4,20,main,,\nB,cold,1/2,7,A,5,\n";
        let prices = format!(
            "supplier,part,size,price,sold as,pack,per,breaks,returnable\n\
             Mill,clamp ring,3/4,10,bag,1,pack,8: 2,{returnable}\nMill,clamp ring,1/2,4,bag,25,pack,,{returnable}\n"
        );
        let job = Job::from_texts(&[
            ("runs", runs),
            ("prices", &prices),
            ("job", "item,for,value\ncompare with,,none\nallowance,ring,50\n"),
        ]);
        let estimate = estimate(&job);
        let at = report::FILES.iter().position(|file| *file == "estimate.json").unwrap();
        let json: serde_json::Value =
            serde_json::from_slice(&report::bytes(&job, &estimate).unwrap()[at]).unwrap();
        json["returns"].as_array().unwrap().clone()
    };
    let list = back("yes");
    assert_eq!(list.len(), 1, "{list:#?}");
    // Two rings of 3/4 at the tee and one at the cap of the open end, half as many again: five. Eight cost 16.00 where five
    // cost 50.00.
    let left = |name: &str| list[0][name].as_str().unwrap().to_owned();
    assert_eq!(
        (left("whole_packs_left"), left("whole_packs_left_without_allowance")),
        ("3".into(), "5".into())
    );
    assert!(back("no").is_empty() && back("").is_empty());
}

/// The worked case of the page of price lists: the flat percentage against the plan.
#[test]
fn the_page_says_what_the_flat_percentage_and_the_plan_cost() {
    let page =
        std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("price-lists/README.md")).unwrap();
    let page = page.split_whitespace().collect::<Vec<_>>().join(" ");
    let blue = |kind: TubeAllowance| {
        let mut job = job("examples/lake-cabin");
        job.settings.tube_allowance = kind;
        for (class, points, _) in &mut job.settings.allowances {
            if *class == Class::Tube {
                *points = Decimal::TEN;
            }
        }
        let estimate = estimate(&job);
        let is_it = |line: &&coilstick::estimate::OrderLine| {
            let item = estimate.items.get(line.item);
            let half = job.lexicon.find("1/2");
            item.class == Class::Tube
                && item.color == coilstick::estimate::Color::Blue
                && item.sizes.as_slice().first().copied() == half
        };
        let line = estimate.alternatives[0].order.iter().find(is_it).unwrap().clone();
        let left: Decimal = line.picks.iter().map(|pick| pick.left_over).sum();
        let counts: Vec<String> = line.picks.iter().map(|p| format!("{} of {}", p.packs, p.price)).collect();
        (line.need, line.extended.unwrap(), left, counts)
    };
    let (need, flat, _, bought) = blue(TubeAllowance::End);
    let (_, plan, left, cut) = blue(TubeAllowance::Plan);
    assert_eq!(bought, ["1 of 37.00", "2 of 9.72"]);
    assert_eq!(cut, ["1 of 37.00", "1 of 9.72"]);
    assert!(flat > plan);
    for said in [
        format!("needs {} ft of blue 1/2 in. tube", need.normalize()),
        format!("two 20 ft sticks at 9.72, {flat}."),
        format!("one stick hold them all, {plan}, with {} ft left over", left.normalize()),
    ] {
        assert!(page.contains(&said), "the page does not say: {said}");
    }
}

/// The other: the pack above is cheaper than the exact count.
#[test]
fn the_page_says_where_the_pack_above_is_cheaper_than_the_exact_count() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let page = std::fs::read_to_string(root.join("price-lists/README.md")).unwrap();
    let page = page.split_whitespace().collect::<Vec<_>>().join(" ");
    let runs: String = std::iter::once("run,service,size,length (ft)\n".to_owned())
        .chain((0..5).map(|run| format!("R{run},hot,1/2,41\n")))
        .collect();
    let prices = std::fs::read_to_string(root.join("price-lists/fennwick-supply-2026-01-05.csv")).unwrap();
    let job =
        Job::from_texts(&[("runs", &runs), ("prices", &prices), ("job", "item,value\ncompare with,none\n")]);
    let line = estimate(&job).alternatives[0].order[0].clone();
    assert_eq!(line.need, Decimal::from(205));
    let pick = &line.picks[0];
    assert_eq!((line.picks.len(), pick.packs, pick.buy), (1, Decimal::ONE, Decimal::from(300)));
    let said = format!(
        "205 ft of red 1/2 in. are three 100 ft coils at 32.40, 97.20, or one coil of 300 ft at {}.",
        pick.price
    );
    assert!(page.contains(&said), "the page does not say: {said}");
    assert!(line.extended.unwrap() < Decimal::new(97_20, 2));
}
