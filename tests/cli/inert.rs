//! Texts of a job that would act where they are shown: what moves a cursor, turns a line around or hides a word, and what a
//! spreadsheet would run. They are put into every column of every table; every byte that comes out of every command is
//! looked at.

use std::fs;
use std::io::Read;
use std::path::Path;

use coilstick::table::Holds;
use coilstick::trade::SHAPES;

use crate::bench::{Bench, acts_or_hides};

/// All characters of the basic plane that act or hide, and some of the tags beyond; no end of a line among them.
fn hostile() -> String {
    let basic = ('\0'..='\u{ffff}').filter(|c| acts_or_hides(*c) && !['\n', '\r', '\0'].contains(c));
    basic.chain("\u{e0001}\u{e0041}\u{e007f}\u{e0100}".chars()).collect()
}

/// What a spreadsheet takes for the beginning of a formula.
const RUNS: [char; 8] = ['=', '+', '-', '@', '＝', '＋', '－', '＠'];

/// A name that would run wherever it stands, and that holds all that acts.
fn named(name: &str) -> String {
    format!("\u{feff}=zap('{name}');=zap\n+zap|-1{}\u{202e}", hostile())
}

fn quoted(text: &str) -> String {
    format!("\"{}\"", text.replace('"', "\"\""))
}

/// A house whose every name and remark is hostile.
fn house(bench: &Bench) {
    let name = |name: &str| quoted(&named(name));
    bench.write(
        "house/runs.csv",
        &format!(
            "run,service,size,length,joins,at,pattern,to,area,level,note,alternate,{further}\n\
             {m1},cold,3/4,40,main,,,,{a},{l},{n},,\n\
             {c1},cold,1/2,10,{m1},5,fixture supply,{sink},{a},{l},{n},,3\n\
             {c2},cold,1/2,12,{m1},20,fixture supply,{tub},{a},,{n},,\n\
             {c3},cold,1/2,9,{m1},30,fixture supply,{spare},{a},,{n},{alternate},\n\
             {bad},cold,1/2,{bad},{gone},30,{bad},,,,,,\n",
            further = name("further"),
            m1 = name("M1"),
            c1 = name("C1"),
            c2 = name("C2"),
            c3 = name("C3"),
            sink = name("sink"),
            tub = name("tub"),
            spare = name("spare"),
            a = name("area"),
            l = name("level"),
            n = name("note"),
            alternate = name("alternate"),
            bad = name("bad"),
            gone = name("gone"),
        ),
    );
    let (mill, other) = (name("Mill (invented)"), name("Other (invented)"));
    bench.write(
        "house/prices.csv",
        &format!(
            "supplier,part,size,price,per,sold as,pack,system,code,description\n\
             {mill},tube,1/2,40,pack,coil,100 ft,pex,{code},{description}\n\
             {mill},tube,3/4,60,pack,coil,100 ft,pex,{code},{description}\n\
             {other},tube,1/2,9,pack,stick,10 ft,copper,{code},{description}\n\
             {other},{gone},1/2,9,each,,,,{code},{description}\n\
             {other},tee,3/4,9,each,,,pex,{code},{description}\n\
             {other},elbow,1/2,2,each,,,,{code},{description}\n",
            code = name("code"),
            description = name("description"),
            gone = name("gone"),
        ),
    );
    bench.write(
        "house/job.csv",
        &format!(
            "item,for,value,note\nname,,{job},{job}\nship to,,{job},\nfee,{job},12,\nwater system,,pex-clamp,\n\
             compare with,,copper-solder,\n{job},{job},{job},{job}\nprice list,,{job},\n",
            job = name("job"),
        ),
    );
    bench.write(
        "house/labor.csv",
        &format!(
            "per,class,part,system,size,hours,unit,note\nlength,,,,,0.02,ft,{n}\nrun,,,,,1,,{n}\n{n},,{n},,,1,,{n}\n",
            n = name("labor")
        ),
    );
    bench.write(
        "house/tools.csv",
        &format!("tool,system,how,price,note\n{n},pex-clamp,bought,40,{n}\n", n = name("tool")),
    );
    bench.write(
        "house/suppliers.csv",
        &format!(
            "supplier,delivery fee,minimum order,note\n{mill},10,5,{n}\n{other},0,0,{n}\n",
            n = name("terms")
        ),
    );
    bench.write("house/runz.csv", "a\nb\n");
}

/// The cells of a CSV file, each of its parts wherever a program may split it, begin with nothing that runs.
fn look_at_csv(name: &str, bytes: &[u8]) {
    let mut reader = csv::ReaderBuilder::new().has_headers(false).flexible(true).from_reader(bytes);
    for record in reader.records() {
        for cell in &record.unwrap() {
            look_at_cell(name, cell);
        }
    }
}

fn look_at_cell(name: &str, cell: &str) {
    for part in cell.split([';', ',', '|', '\n']) {
        // Once more as after somebody has edited and confirmed it, which takes an apostrophe off, where it begins the cell.
        let again = if cell.starts_with(part) { part.trim_start_matches('\'') } else { part };
        for text in [part, again].map(str::trim_start) {
            let is_number = text.trim_end_matches('%').trim().parse::<f64>().is_ok();
            assert!(!text.starts_with(RUNS) || is_number, "{name}: {part:?} of {cell:?}");
        }
    }
}

/// The texts of a workbook, its formulas and all else that it holds.
fn look_at_book(name: &str, path: &Path) {
    let mut book = zip::ZipArchive::new(fs::File::open(path).unwrap()).unwrap();
    let mut cells = 0;
    for at in 0..book.len() {
        let mut text = String::new();
        let mut file = book.by_index(at).unwrap();
        let part = file.name().unwrap().into_owned();
        file.read_to_string(&mut text).unwrap();
        let name = format!("{name} {part}");
        look_at_bytes(&name, &text);
        // A spreadsheet reads such an escape as the character.
        assert!(!text.contains("_x00") && !text.contains("_x20"), "{name}");
        assert!(!part.starts_with("xl/externalLinks"), "{part}");
        for formula in between(&text, "<f>", "</f>") {
            assert!(!formula.contains("zap"), "{name}: {formula}");
        }
        for foot in between(&text, "<oddFooter>", "</oddFooter>") {
            assert!(!foot.contains("&amp;Z") && !foot.contains("&amp;F"), "{name}: {foot}");
        }
        if part == "xl/sharedStrings.xml" {
            for cell in
                between(&text, "<t>", "</t>").chain(between(&text, "<t xml:space=\"preserve\">", "</t>"))
            {
                let cell = cell
                    .replace("&lt;", "<")
                    .replace("&gt;", ">")
                    .replace("&quot;", "\"")
                    .replace("&amp;", "&");
                look_at_cell(&name, &cell);
                cells += 1;
            }
        }
    }
    assert!(cells > 50, "{name}: {cells} texts");
}

fn between<'a>(text: &'a str, from: &'a str, to: &'a str) -> impl Iterator<Item = &'a str> {
    text.split(from).skip(1).filter_map(move |rest| rest.split(to).next())
}

/// Nothing in it acts or hides; a line may end.
fn look_at_bytes(name: &str, text: &str) {
    let acts = text.chars().find(|c| acts_or_hides(*c) && !['\n', '\r'].contains(c));
    assert!(acts.is_none(), "{name}: {acts:?}");
}

/// Looks at every file of a folder; gives how many.
fn look_at_files(bench: &Bench, folder: &str) -> usize {
    let names = bench.names(folder);
    for name in &names {
        let path = bench.path(folder).join(name);
        if name.ends_with(".xlsx") {
            look_at_book(name, &path);
        } else if path.is_file() {
            let text = bench.read(&format!("{folder}/{name}"));
            look_at_bytes(name, &text);
            if name.ends_with(".csv") {
                look_at_csv(name, text.as_bytes());
            }
        }
    }
    names.len()
}

/// `Bench::run` looks at every byte that is printed.
#[test]
fn hostile_names_do_nothing_in_any_command_or_file() {
    let bench = Bench::new("hostile");
    house(&bench);
    let job = "house";
    for words in [
        &["check", job][..],
        &["check", job, "--short"],
        &["check", job, "--json"],
        &["estimate", job, "-o", "out"],
        &["estimate", job, "-o", "out", "--json"],
        &["compare", job],
        &["compare", job, "-o", "out-compare"],
        &["compare", job, job, "--json"],
        &["compare", job, job, "-o", "out-layouts"],
        &["draw", job, "-o", "out-draw/house.svg"],
        &["draw", job, "--json"],
        &["explain", job, "tube"],
        &["explain", job, "material"],
        &["explain", job, "hours", "--json"],
        &["revise", job, job],
        &["revise", job, "--price-change", "all", "5", "-o", "out-revise"],
        &["revise", job, "--prices", "house/prices.csv", "--json"],
        &["revise", job, "--used", "out/estimate.xlsx", "-o", "out-used"],
    ] {
        let ran = bench.run(words);
        assert!(ran.status < 2, "{words:?}: {ran:?}");
    }
    let written: usize = ["out", "out-compare", "out-draw", "out-layouts", "out-revise", "out-used"]
        .iter()
        .map(|folder| look_at_files(&bench, folder))
        .sum();
    assert!(written >= 19, "{written} files");
    let picture = bench.read("out-draw/house.svg");
    assert!(picture.contains("zap") && picture.matches("<text").count() > 10, "{picture}");
    // The texts did come through: they are shown by their numbers on the terminal, and kept in JSON.
    let err = bench.run(&["check", job]).err;
    assert!(err.contains("<U+202E>") && err.contains("<U+001B>") && err.contains("<U+009B>"), "{err}");
    let told = bench.document(&["check", job]);
    assert!(told["notices"].to_string().contains('\u{202e}'), "nothing is lost in JSON");
    assert!(bench.read("out/takeoff.csv").lines().count() > 5);
}

#[test]
fn hostile_arguments_and_paths_do_nothing() {
    let bench = Bench::new("hostile-words");
    bench.clean(&["new", "job"]);
    let word: String = hostile();
    for words in [
        &["explain", "job", &word][..],
        &["check", &word],
        &[&word],
        &["help", &word],
        &["new", "--table", &word],
        &["check", "job", &format!("--{word}")],
        &["estimate", "job", "--price-change", &word, &word],
        &["revise", "job", "--on", &word],
        &["completions", &word],
        &["check", "job", &word, "--json"],
    ] {
        assert_eq!(bench.run(words).status, 2, "{words:?}");
    }
    // A folder of such a name, where the disk takes it.
    let odd = "\u{1b}[31mjob\u{202e}\u{9b}";
    if fs::rename(bench.path("job"), bench.path(odd)).is_ok() {
        for words in [
            &["check", odd][..],
            &["draw", odd],
            &["estimate", odd],
            &["estimate", odd, "--json"],
            &["explain", odd, "bid"],
        ] {
            assert_eq!(bench.run(words).status, 0, "{words:?}");
        }
    }
}

#[test]
fn hostile_cells_do_nothing_in_any_column_of_any_table() {
    let bench = Bench::new("hostile-cells");
    let cell = quoted(&named("x"));
    let mut looked = 0;
    for shape in SHAPES {
        let headings: Vec<&str> = shape.columns.iter().map(|column| column.heading).collect();
        for at in 0..headings.len() {
            let plain = |at: usize| match shape.columns[at].holds {
                Holds::Text => "x",
                Holds::Length | Holds::Lengths | Holds::Number | Holds::Count => "4",
                Holds::Size => "1/2",
                Holds::Percent | Holds::Discount => "5",
                Holds::Date => "2026-03-16",
                Holds::YesNo => "yes",
            };
            let row: Vec<&str> =
                (0..headings.len()).map(|one| if one == at { cell.as_str() } else { plain(one) }).collect();
            let _ = fs::remove_dir_all(bench.path("job"));
            bench.write("job/runs.csv", crate::bench::SMALL);
            bench.write(
                &format!("job/{}.csv", shape.name),
                &format!("{}\n{}\n", headings.join(","), row.join(",")),
            );
            let ran = bench.run(&["check", "job"]);
            assert!(!ran.err.is_empty() || !ran.out.is_empty());
            looked += 1;
        }
    }
    assert!(looked > 100, "{looked} columns");
}
