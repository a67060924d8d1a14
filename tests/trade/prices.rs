//! Rows of price lists, stock, suppliers and held choices.

use coilstick::ground::{Length, LengthUnit};
use coilstick::trade::{Job, Offer, Pack, PricedPer, SoldAs};
use rust_decimal::Decimal;

const RUNS: (&str, &str) = ("runs", "run,service,size,length\nA,cold,1/2,10\n");

fn d(text: &str) -> Decimal {
    Decimal::from_str_exact(text).unwrap()
}

fn feet(count: i64) -> Length {
    Length::whole(count, LengthUnit::Foot)
}

/// The offers of a price list in their order, all without a notice.
fn offers(rows: &str) -> (Vec<Offer>, Job) {
    let text = format!("supplier,part,size,price,sold as,pack,per,discount,breaks\n{rows}");
    let job = Job::from_texts(&[RUNS, ("prices", &text)]);
    assert_eq!(job.notices, []);
    (job.prices.offers.clone(), job)
}

#[test]
fn tube_is_sold_by_coil_stick_or_foot() {
    let (list, _) = offers(
        "S,tube,1/2,36,coil,100 ft,,,\nS,tube,1/2,0.42,coil,300 ft,ft,,\nS,pipe,3/4,61,stick,20,pack,,\nS,tube,1,1.6,each,,,,\n",
    );
    let sold: Vec<_> = list.iter().map(|offer| (offer.sold_as, offer.pack, offer.per)).collect();
    assert_eq!(
        sold,
        [
            (SoldAs::Stick, Pack::Length(feet(20)), PricedPer::Pack),
            (SoldAs::Each, Pack::Length(feet(1)), PricedPer::Length(feet(1))),
            (SoldAs::Coil, Pack::Length(feet(100)), PricedPer::Pack),
            (SoldAs::Coil, Pack::Length(feet(300)), PricedPer::Length(feet(1))),
        ]
    );
}

#[test]
fn fittings_are_sold_each_or_in_bags_and_priced_by_the_hundred() {
    let (list, _) = offers(
        "S,elbow,1/2,1.10,,,,,\nS,elbow,3/4,9.50,,10,,,\nS,elbow,1,120,bag,25,hundred,,\nS,tee,1 x 3/4 x 1/2,980,each,,1000,,\n",
    );
    let sold: Vec<_> = list.iter().map(|offer| (offer.sold_as, offer.pack, offer.per)).collect();
    assert_eq!(
        sold,
        [
            (SoldAs::Bag, Pack::Count(25), PricedPer::Many(100)),
            (SoldAs::Each, Pack::Count(1), PricedPer::Each),
            (SoldAs::Bag, Pack::Count(10), PricedPer::Pack),
            (SoldAs::Each, Pack::Count(1), PricedPer::Many(1000)),
        ]
    );
    assert_eq!(list[3].sizes.len(), 3);
}

#[test]
fn consumables_are_counted_in_the_unit_of_their_joints() {
    let (list, _) = offers("S,solder,,31,bag,1 lb,,,\nS,flux,,14,can,1 lb,pack,,\nS,thread tape,,2,,,,,\n");
    let packs: Vec<_> = list.iter().map(|offer| offer.pack).collect();
    assert_eq!(packs, [Pack::Amount(d("16")), Pack::Amount(d("1")), Pack::Amount(d("1"))]);
}

#[test]
fn discounts_chain_and_breaks_rise() {
    let (list, _) = offers("S,elbow,1/2,1.10,,,,25+15,\nS,tee,1/2,1.10,,,,10,10: 1.02; 50: 0.95\n");
    assert_eq!(&*list[0].discount, [d("25"), d("15")]);
    assert_eq!(&*list[1].breaks, [(10, d("1.02")), (50, d("0.95"))]);
}

#[test]
fn offers_stand_by_supplier_part_size_and_row() {
    let (list, job) = offers(
        "S10,tee,1/2,1,,,,,\nS2,tee,3/4,1,,,,,\nS2,tee,1/2,2,,,,,\nS2,elbow,1/2,1,,,,,\nS2,tee,1/2,1,,,,,\n",
    );
    let order: Vec<_> = list.iter().map(|offer| (job.lexicon.text(offer.supplier), offer.row.row)).collect();
    assert_eq!(order, [("S2", 5), ("S2", 4), ("S2", 6), ("S2", 3), ("S10", 2)]);
}

#[test]
fn an_offer_in_error_stays_and_is_marked() {
    let job =
        Job::from_texts(&[RUNS, ("prices", "supplier,part,size,price\nS,elbow,1/2,0\nS,elbow,3/4,2\n")]);
    let marked: Vec<_> = job.prices.offers.iter().map(|offer| offer.in_error).collect();
    assert_eq!(marked, [true, false]);
    assert_eq!(job.notices.len(), 1);
}

#[test]
fn a_price_list_may_carry_what_the_job_does_not_know() {
    let text =
        "supplier,part,size,price,sold as,pack\nS,garden hose,,20,coil,50 ft\nS,garden hose,,11,coil,25 ft\n";
    let job = Job::from_texts(&[RUNS, ("prices", text)]);
    let kinds: Vec<_> = job.notices.iter().map(|notice| (notice.kind, notice.is_error())).collect();
    assert_eq!(kinds, [("unknown-sold-part", false)]);
    assert!(job.prices.offers.iter().all(|offer| !offer.in_error));
}

#[test]
fn several_price_lists_and_the_jobs_own_prices_are_one_list() {
    let folder = std::env::temp_dir().join(format!("trade-price-lists-{}", std::process::id()));
    let lists = folder.join("lists");
    std::fs::create_dir_all(folder.join("job")).unwrap();
    std::fs::create_dir_all(&lists).unwrap();
    let head = "supplier,part,size,price\n";
    std::fs::write(folder.join("job/runs.csv"), RUNS.1).unwrap();
    std::fs::write(folder.join("job/job.csv"), "item,value\nprice list,../lists; ../one.csv\n").unwrap();
    std::fs::write(folder.join("job/prices.csv"), format!("{head}Own,elbow,1/2,1\n")).unwrap();
    std::fs::write(lists.join("a.csv"), format!("{head}A,elbow,1/2,1\n")).unwrap();
    std::fs::write(lists.join("b.csv"), format!("{head}B,elbow,1/2,1\n")).unwrap();
    std::fs::write(folder.join("one.csv"), format!("{head}One,elbow,1/2,0\n")).unwrap();
    let job = Job::read(&folder.join("job"));
    std::fs::remove_dir_all(&folder).unwrap();
    let job = job.unwrap();
    let suppliers: Vec<_> = job.prices.offers.iter().map(|offer| job.lexicon.text(offer.supplier)).collect();
    assert_eq!(suppliers, ["A", "B", "One", "Own"]);
    let spots: Vec<_> = job.notices.iter().map(|notice| notice.spots[0].to_string()).collect();
    assert_eq!(spots, ["../one.csv:D2"]);
}

#[test]
fn stock_suppliers_and_held_choices_are_read() {
    let job = Job::from_texts(&[
        RUNS,
        ("on hand", "part,size,quantity,length,color\ntube,1/2,2,40 ft,red\nsolder,,0.5,,\n"),
        ("suppliers", "supplier,delivery fee,minimum order\nS,45,150\n"),
        ("held", "part,size,system,offer,packs\ntee,3/4 x 3/4 x 1/2,pex-clamp,F-12,3\n"),
    ]);
    assert_eq!(job.notices, []);
    assert_eq!((job.on_hand[0].length, job.on_hand[1].quantity), (Some(feet(40)), d("0.5")));
    assert_eq!((job.suppliers[0].delivery_fee, job.suppliers[0].minimum_order), (d("45"), d("150")));
    assert_eq!((job.held[0].sizes.len(), job.held[0].packs, &*job.held[0].offer), (3, Some(3), "F-12"));
}

#[test]
fn capital_c_and_m_are_a_hundred_and_a_thousand_of_what_is_sold() {
    let rows = [
        ("tube,3/8,31.00,each,,C", "31.00", Pack::Length(feet(1)), PricedPer::Length(feet(100))),
        ("tube,1/2,350,each,,M", "350", Pack::Length(feet(1)), PricedPer::Length(feet(1000))),
        ("tube,3/4,350 per M,coil,100',", "350", Pack::Length(feet(100)), PricedPer::Length(feet(1000))),
        ("tube,1,31/C ft,coil,100ft,", "31", Pack::Length(feet(100)), PricedPer::Length(feet(100))),
        ("tube,1-1/4,310,each,,per MFT", "310", Pack::Length(feet(1)), PricedPer::Length(feet(1000))),
        ("tube,1-1/2,90,coil,C,", "90", Pack::Length(feet(100)), PricedPer::Pack),
        ("elbow,1/2,41.30/C,,,", "41.30", Pack::Count(1), PricedPer::Many(100)),
        ("elbow,3/4,410,,bag of 25,M", "410", Pack::Count(25), PricedPer::Many(1000)),
        ("elbow,1,80,,C,", "80", Pack::Count(100), PricedPer::Pack),
        ("elbow,1-1/4,80,bag,M,pack", "80", Pack::Count(1000), PricedPer::Pack),
        ("elbow,1-1/2,$7.10 each,,,", "7.10", Pack::Count(1), PricedPer::Each),
        ("elbow,2,USD 8.10,,,ea", "8.10", Pack::Count(1), PricedPer::Each),
    ];
    for (row, price, pack, per) in rows {
        let (list, _) = offers(&format!("S,{row},,\n"));
        let offer = &list[0];
        assert_eq!(
            (offer.price, offer.pack, offer.per, offer.in_error),
            (d(price), pack, per, false),
            "{row}"
        );
    }
    let (list, _) = offers("S,elbow,1/2,\"1,234.50\",,,,,\"10: $1,100; 50: 999.50\"\n");
    assert_eq!((list[0].price, &*list[0].breaks), (d("1234.50"), &[(10, d("1100")), (50, d("999.50"))][..]));
}

#[test]
fn tube_at_so_much_a_thousand_feet_costs_a_tenth_of_it_a_hundred_feet() {
    let job = Job::from_texts(&[
        ("runs", "run,service,size,length,lie\nA,cold,1/2,100,ground\n"),
        ("job", "item,value\ncompare with,none\n"),
        ("prices", "supplier,part,size,price,sold as,per\nMill (invented),tube,1/2,350,each,M\n"),
    ]);
    assert_eq!(job.notices, []);
    let estimate = coilstick::estimate::estimate(&job);
    assert!(estimate.alternatives[0].cost.lines.contains(&d("35")), "{:?}", estimate.alternatives[0].cost);
}

#[test]
fn in_a_job_in_metres_a_hundred_of_tube_is_a_hundred_metres() {
    let job = Job::from_texts(&[
        RUNS,
        ("job", "item,value\nunits,m\n"),
        ("prices", "supplier,part,size,price,sold as,per\nMill (invented),tube,1/2,120,each,C\n"),
    ]);
    assert_eq!(job.prices.offers[0].per, PricedPer::Length(Length::whole(100, LengthUnit::Metre)));
}

#[test]
fn a_supplier_whose_name_begins_with_total_sells_rows_and_no_sums() {
    let (list, _) = offers("Total Pipe (invented),elbow,1/2,2,,,,,\nTotal Pipe (invented),tee,1/2,2,,,,,\n");
    assert_eq!(list.len(), 2);
}

#[test]
fn a_row_taken_for_a_sum_can_be_read_as_if_it_were_not_there() {
    let runs = "run,service,size,length\nA,cold,1/2,10\nB,cold,1/2,12\nTotal,cold,1/2,24\n";
    let job = Job::from_texts(&[("runs", runs)]);
    let [notice] = job.notices.as_slice() else { panic!("{:?}", job.notices) };
    assert_eq!((job.runs.len(), notice.kind), (3, "named-as-sum"));
    let other = job.otherwise(&notice.otherwise);
    assert_eq!((other.runs.len(), other.notices.len()), (2, 0));

    let twice = "part,size,quantity\nelbow,1/2,4\nelbow,1/2,4\n";
    let job = Job::from_texts(&[RUNS, ("on hand", twice)]);
    assert_eq!((job.on_hand.len(), job.notices[0].kind), (2, "row-once-more"));
    assert_eq!(job.otherwise(&job.notices[0].otherwise).on_hand.len(), 1);

    let named = "run,service,size,length\n#1,cold,1/2,10\nB,cold,1/2,12\n";
    let job = Job::from_texts(&[("runs", named)]);
    assert_eq!((job.runs.len(), job.notices[0].kind), (1, "comment-or-name"));
    assert_eq!(&*job.otherwise(&job.notices[0].otherwise).runs[0].name, "1");
}

#[test]
fn hours_are_for_a_hundred_or_a_thousand_by_its_capital_letter() {
    let labor = "per,hours,unit\nlength,4,C\nlength,38,M\njoint,11,C\nlength,0.1,m\n";
    let job = Job::from_texts(&[RUNS, ("labor", labor)]);
    let many: Vec<Decimal> = job.labor.unwrap().iter().map(|row| row.for_so_many.round_dp(3)).collect();
    assert_eq!(many, [d("100"), d("1000"), d("100"), d("3.281")]);
}
