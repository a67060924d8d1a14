//! Papers as their readers get them: the whole file is read, not only what a program shows of it. A paper holds values alone;
//! an owner finds no cost in it, a supplier no other supplier; what the job does not say leaves no gap.

#![allow(clippy::wildcard_enum_match_arm, reason = "of cells those that hold something are asked")]
#![allow(clippy::float_arithmetic, reason = "a reader of workbooks gives floats")]
#![allow(clippy::type_complexity, reason = "files by name")]
#![allow(clippy::unwrap_used, reason = "a test fails by it")]

use std::collections::{BTreeMap, BTreeSet};
use std::io::{Cursor, Read};
use std::path::Path;
use std::sync::{Mutex, PoisonError};

use calamine::{Data, Reader, Xlsx};
use coilstick::estimate::{Estimate, estimate};
use coilstick::report;
use coilstick::trade::Job;

mod revised;

/// A job, its estimate and its papers by name.
struct Given {
    job: Job,
    estimate: Estimate,
    papers: Vec<(Box<str>, Vec<u8>)>,
}

/// An example, estimated once for all tests.
fn example(name: &str) -> &'static Given {
    static KNOWN: Mutex<BTreeMap<String, &'static Given>> = Mutex::new(BTreeMap::new());
    let mut known = KNOWN.lock().unwrap_or_else(PoisonError::into_inner);
    known.entry(name.to_owned()).or_insert_with(|| {
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples").join(name);
        Box::leak(Box::new(of(&path)))
    })
}

fn of(path: &Path) -> Given {
    let job = Job::read(path).unwrap();
    let estimate = estimate(&job);
    let papers = report::paper_bytes(&job, &estimate).unwrap();
    Given { job, estimate, papers }
}

impl Given {
    fn names(&self) -> Vec<&str> {
        self.papers.iter().map(|(name, _)| &**name).collect()
    }

    fn bytes(&self, name: &str) -> &[u8] {
        &self
            .papers
            .iter()
            .find(|(one, _)| **one == *name)
            .unwrap_or_else(|| panic!("{name}: {:?}", self.names()))
            .1
    }

    fn page(&self, name: &str) -> String {
        String::from_utf8(self.bytes(&format!("papers/{name}.html")).to_vec()).unwrap()
    }
}

/// Every part of a workbook as text, with its name.
fn parts(workbook: &[u8]) -> Vec<(String, String)> {
    let mut parts = zip::ZipArchive::new(Cursor::new(workbook)).unwrap();
    (0..parts.len())
        .map(|at| {
            let mut part = parts.by_index(at).unwrap();
            let mut text = String::new();
            part.read_to_string(&mut text).unwrap();
            (part.name().unwrap().into_owned(), text)
        })
        .collect()
}

/// The texts of all cells of a workbook, numbers as a page shows them but for the commas.
fn cells(workbook: &[u8]) -> BTreeSet<String> {
    let mut book: Xlsx<_> = Xlsx::new(Cursor::new(workbook)).unwrap();
    let names = book.sheet_names();
    let mut all = BTreeSet::new();
    for name in names {
        for row in book.worksheet_range(&name).unwrap().rows() {
            for cell in row {
                match cell {
                    Data::Empty => {}
                    Data::Float(number) => {
                        all.insert(format!("{}", (number * 10_000.0).round() / 10_000.0));
                    }
                    other => {
                        all.insert(other.to_string());
                    }
                }
            }
        }
    }
    all
}

/// The texts of a page without its marks, sums without commas and zeros behind.
fn texts(page: &str) -> BTreeSet<String> {
    let body = page.split("<body").nth(1).unwrap();
    let mut all = BTreeSet::new();
    for piece in body.split('<') {
        let words = piece.split_once('>').map_or("", |(_, words)| words);
        let words =
            words.replace("&quot;", "\"").replace("&lt;", "<").replace("&gt;", ">").replace("&amp;", "&");
        let plain = words.replace(',', "");
        match plain.parse::<f64>() {
            Ok(number) => all.insert(format!("{number}")),
            Err(_) => all.insert(words.trim().to_owned()),
        };
    }
    all
}

const ALL: [&str; 8] = [
    "lake-cabin",
    "guest-lodge",
    "courtyard-manifold",
    "courtyard-trunk",
    "orchard-house",
    "counted-by-eye",
    "ferry-house",
    "mill-cottage",
];

#[test]
fn a_workbook_holds_values_alone_and_nothing_that_hides() {
    for name in ALL {
        let given = example(name);
        for (paper, bytes) in given.papers.iter().filter(|(name, _)| name.ends_with(".xlsx")) {
            let parts = parts(bytes);
            let sheets = parts.iter().filter(|(part, _)| part.starts_with("xl/worksheets/sheet"));
            assert_eq!(sheets.count(), 1, "{name}, {paper}: one sheet");
            for (part, text) in &parts {
                let about = format!("{name}, {paper}, {part}");
                for mark in [
                    "<f>",
                    "<f ",
                    "hidden=\"1\"",
                    "state=\"",
                    "<hyperlink",
                    "<comment",
                    "<conditional",
                    "<dataValid",
                ] {
                    assert!(!text.contains(mark), "{about}: {mark}");
                }
                for end in ["externalLink", "vbaProject", "comments", "custom.xml", "connections", "metadata"]
                {
                    assert!(!part.contains(end), "{about}");
                }
                // Headings that stand on every page are the one name that a spreadsheet makes.
                assert!(!text.replace("_xlnm.Print_Titles", "").contains("<definedName name=\"_"), "{about}");
                let names = text.matches("<definedName ").count();
                assert_eq!(names, text.matches("_xlnm.Print_Titles").count(), "{about}");
            }
            let core = &parts.iter().find(|(part, _)| part == "docProps/core.xml").unwrap().1;
            for property in ["creator", "lastModifiedBy", "keywords", "description", "subject"] {
                let said = core.split(property).nth(1).unwrap_or(">").trim_start_matches(['>', '/']);
                assert!(
                    said.starts_with('<') || said.is_empty() || said.starts_with("</"),
                    "{property}: {core}"
                );
            }
        }
    }
}

#[test]
fn a_page_asks_for_nothing_and_runs_nothing() {
    for name in ALL {
        let given = example(name);
        for (paper, bytes) in given.papers.iter().filter(|(name, _)| name.ends_with(".html")) {
            let page = String::from_utf8(bytes.clone()).unwrap();
            for mark in
                ["<script", "src=", "href=", "url(", "@import", "javascript", "<iframe", "<form", "<!--"]
            {
                assert!(!page.contains(mark), "{name}, {paper}: {mark}");
            }
        }
    }
}

#[test]
fn the_two_forms_of_a_paper_say_the_same() {
    for name in ALL {
        let given = example(name);
        for paper in given.names().into_iter().filter_map(|name| name.strip_suffix(".xlsx")) {
            let page = texts(std::str::from_utf8(given.bytes(&format!("{paper}.html"))).unwrap());
            for cell in cells(given.bytes(&format!("{paper}.xlsx"))) {
                let words = cell.trim_start_matches("\u{2022} ").trim();
                assert!(page.contains(words), "{name}, {paper}: \"{words}\" stands in the workbook alone");
            }
        }
    }
}

#[test]
fn every_paper_says_which_estimate_it_is_of_and_the_workbook_says_the_same() {
    let given = example("orchard-house");
    let page = given.page("bid");
    let number = page.split("estimate ").nth(1).unwrap().get(..9).unwrap().to_owned();
    assert!(
        number.as_bytes()[4] == b'-' && number.bytes().all(|b| b.is_ascii_hexdigit() || b == b'-'),
        "{number}"
    );
    for (name, bytes) in &given.papers {
        let text = match name.ends_with(".html") {
            true => String::from_utf8(bytes.clone()).unwrap(),
            false => parts(bytes).into_iter().map(|(_, text)| text).collect(),
        };
        assert!(text.contains(&format!("estimate {number}")), "{name}");
    }
    let [workbook, ..] = report::bytes(&given.job, &given.estimate).unwrap();
    assert!(cells(&workbook).iter().any(|cell| cell.contains(&number)), "the summary says {number}");
    // Another price makes another estimate.
    let other = example("lake-cabin").page("bid");
    assert!(!other.contains(&number));
}

#[test]
fn the_owner_finds_no_cost_hour_markup_or_supplier() {
    for name in ALL {
        let given = example(name);
        let chosen = &given.estimate.alternatives[0];
        let bid = &chosen.cost.bid;
        let shown: BTreeSet<String> =
            texts(&given.page("bid")).into_iter().chain(cells(given.bytes("papers/bid.xlsx"))).collect();
        let sums =
            [bid.spent.material, bid.spent.labor, bid.direct, bid.overhead, bid.profit, bid.contingency];
        // Where nothing is added to the cost, the price is the cost.
        for sum in sums.iter().filter(|sum| !sum.is_zero() && **sum != bid.price) {
            assert!(!shown.contains(&sum.normalize().to_string()), "{name}: the inside sum {sum}");
        }
        let suppliers = given.job.suppliers.iter().map(|row| given.job.lexicon.text(row.supplier));
        let words = ["overhead", "profit", "margin", "markup", "contingency", "burden", "journeyman"];
        for word in words.into_iter().chain(suppliers) {
            let told = |text: &String| text.to_lowercase().contains(&word.to_lowercase());
            assert!(!shown.iter().any(told), "{name}: {word}");
        }
    }
}

#[test]
fn a_supplier_finds_no_other_supplier_and_no_price_in_a_request() {
    let given = example("orchard-house");
    let suppliers: Vec<&str> =
        given.job.suppliers.iter().map(|row| given.job.lexicon.text(row.supplier)).collect();
    let of = |paper: &str, own: &str| {
        let stem = own.to_lowercase().replace(" (", "-").replace(')', "").replace(' ', "-");
        format!("papers/{paper}-{stem}.html")
    };
    for own in &suppliers {
        for paper in ["order", "request"] {
            let page = String::from_utf8(given.bytes(&of(paper, own)).to_vec()).unwrap();
            assert!(page.contains(own), "{own}");
            for other in suppliers.iter().filter(|other| *other != own) {
                assert!(!page.contains(other), "{paper} to {own} names {other}");
            }
        }
        let request = String::from_utf8(given.bytes(&of("request", own)).to_vec()).unwrap();
        let body = request.split("<main").nth(1).unwrap().to_owned();
        let numbers = texts(&format!("<body>{body}"));
        let prices = given.job.prices.offers.iter().map(|offer| format!("{:.2}", offer.price));
        let cents = |text: &String| text.split_once('.').is_some_and(|(_, part)| part.len() == 2);
        assert!(prices.into_iter().filter(cents).all(|price| !numbers.contains(&price)), "{own}: a price");
        assert!(body.contains("accepted") && body.contains("refused"));
    }
}

/// The needs of compared systems and of alternates are asked for too, beside those of the bid.
#[test]
fn a_request_covers_compared_systems_and_alternates() {
    let orchard = example("orchard-house");
    let request = orchard.page("request-fennwick-supply-invented");
    assert!(request.contains("Only if it is piped otherwise: "), "systems");
    let cabin = example("lake-cabin");
    let named = &cabin.estimate.optional;
    assert!(named.iter().any(|one| !one.needs.is_empty()), "the cabin has an alternate that needs more");
    let request = cabin.page("request-fennwick-supply-invented");
    for one in named.iter().filter(|one| !one.needs.is_empty()) {
        let name = cabin.job.lexicon.text(one.name);
        assert!(request.contains(&format!("More with the alternate: {name}")), "{name}");
    }
}

#[test]
fn lines_of_an_order_are_numbered_and_add_up_to_what_is_bought_there() {
    let given = example("orchard-house");
    let mut material = rust_decimal::Decimal::ZERO;
    for paper in
        given.names().into_iter().filter(|name| name.starts_with("papers/order-") && name.ends_with("xlsx"))
    {
        let mut book: Xlsx<_> = Xlsx::new(Cursor::new(given.bytes(paper).to_vec())).unwrap();
        let sheet = book.worksheet_range("Order").unwrap();
        let mut numbers = Vec::new();
        let mut sum = rust_decimal::Decimal::ZERO;
        let mut all_goods = None;
        for row in sheet.rows() {
            let amount = match row.last() {
                Some(Data::Float(amount)) => {
                    rust_decimal::Decimal::from_str_exact(&format!("{amount:.2}")).unwrap()
                }
                _ => continue,
            };
            match row.first() {
                Some(Data::Float(number)) => {
                    numbers.push(*number);
                    sum += amount;
                }
                _ if row.iter().any(|cell| *cell == "all goods") => all_goods = Some(amount),
                _ => {}
            }
        }
        assert!(numbers.iter().zip(1..).all(|(number, at)| *number == f64::from(at)), "{paper}: {numbers:?}");
        assert_eq!(all_goods, Some(sum), "{paper}");
        material += sum;
    }
    assert_eq!(material, given.estimate.alternatives[0].cost.material);
}

/// A list alone, without a job: no name, no firm, no day.
#[test]
fn what_is_not_said_leaves_no_gap() {
    let given = example("counted-by-eye");
    for (name, bytes) in given.papers.iter().filter(|(name, _)| name.ends_with(".html")) {
        let page = String::from_utf8(bytes.clone()).unwrap();
        assert!(
            !page.contains("<dd></dd>") && !page.contains("<span></span></div><dl>"),
            "{name}: an empty fact"
        );
        assert!(
            !page.contains("<ul></ul>") && !page.contains("<h2></h2>") && !page.contains("by  "),
            "{name}"
        );
        for word in ["Licence ,", "Tax number <", "Offered by <"] {
            assert!(!page.contains(word), "{name}: {word}");
        }
    }
}

#[test]
fn what_users_wrote_does_nothing_in_a_page() {
    let folder = std::env::temp_dir().join(format!("coilstick-papers-{}", std::process::id()));
    std::fs::create_dir_all(&folder).unwrap();
    std::fs::write(
        folder.join("runs.csv"),
        "run,service,size,length,fixture,area\nR1,cold,1/2,10,sink,<b onclick=x>&\n",
    )
    .unwrap();
    let job = "item,for,value\nname,,<script>alert(1)</script>\nfirm,,=HYPERLINK(\"x\")\ncustomer,,\"\"\"><img src=x>\"\n";
    std::fs::write(folder.join("job.csv"), job).unwrap();
    let given = of(&folder);
    std::fs::remove_dir_all(&folder).unwrap();
    for (name, bytes) in &given.papers {
        if name.ends_with(".html") {
            let page = String::from_utf8(bytes.clone()).unwrap();
            assert!(!page.contains("<script") && !page.contains("<img") && !page.contains("<b "), "{name}");
        } else {
            assert!(parts(bytes).iter().all(|(_, text)| !text.contains("<f>")), "{name}");
        }
    }
    assert!(given.page("bid").contains("&lt;script&gt;alert(1)&lt;/script&gt;"));
}
