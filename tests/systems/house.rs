//! Jobs for these tests: a run list with tables, estimated with both demo price lists.

use std::path::Path;

use coilstick::estimate::Alternative;
use coilstick::estimate::estimate;
use coilstick::estimate::takeoff::Takeoff;
use coilstick::estimate::{Item, Items};
use coilstick::trade::{Job, Side};

/// The names of all built-in water systems.
pub(crate) fn water_systems() -> Vec<String> {
    let job = Job::from_texts(&[("runs", "run,service,size,length\nA,cold,1/2,10\n")]);
    let water = job.catalog.systems.iter().filter(|system| system.side == Side::Water);
    water.map(|system| job.lexicon.text(system.name).to_owned()).collect()
}

/// Both demo price lists as one table.
fn prices() -> String {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("price-lists");
    let mut files: Vec<_> = std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).collect();
    files.retain(|path| path.extension().is_some_and(|extension| extension == "csv"));
    files.sort();
    let texts = files.iter().map(|path| std::fs::read_to_string(path).unwrap());
    let mut whole = String::new();
    for text in texts {
        let rows = text.split_once('\n').unwrap().1;
        whole.push_str(if whole.is_empty() { &text } else { rows });
    }
    whole
}

/// A job, estimated in some systems.
pub(crate) struct House {
    pub(crate) job: Job,
    pub(crate) items: Items,
    pub(crate) alternatives: Vec<Alternative>,
    /// Every notice of reading and of the estimate, in words.
    pub(crate) notices: Vec<String>,
}

/// Estimates a run list with further tables in some systems, the first of them chosen.
pub(crate) fn house(systems: &[String], tables: &[(&str, &str)]) -> House {
    let (first, others) = systems.split_first().unwrap();
    let compare = if others.is_empty() { "none".to_owned() } else { others.join("; ") };
    let terms = format!(
        "item,value\ndate,2026-03-16\nwater system,{first}\ncompare with,{compare}\ndrain system,pvc-cement\n"
    );
    let prices = prices();
    let mut texts = vec![("job", terms.as_str()), ("prices", prices.as_str())];
    texts.extend_from_slice(tables);
    let job = Job::from_texts(&texts);
    let done = estimate(&job);
    let notices = job.notices.iter().chain(&done.notices);
    let notices = notices.map(|notice| format!("{} {notice:?}", notice.kind)).collect();
    House { items: done.items, alternatives: done.alternatives, notices, job }
}

impl House {
    /// The name of an alternative's system.
    pub(crate) fn system(&self, of: &Alternative) -> &str {
        self.job.lexicon.text(self.job.catalog.system(of.system).name)
    }

    /// How many of a part an alternative installs, in all sizes.
    pub(crate) fn count(&self, of: &Alternative, part: &str) -> i64 {
        let lines = of.takeoff.lines.iter();
        let named = lines.filter(|line| &*self.job.catalog.part(self.items.get(line.item).part).name == part);
        named.map(|line| line.count).sum()
    }

    /// An item in words.
    pub(crate) fn words(&self, item: &Item) -> String {
        let sizes: Vec<&str> =
            item.sizes.as_slice().iter().map(|size| self.job.lexicon.text(*size)).collect();
        let system = item.system.map_or("", |id| self.job.lexicon.text(self.job.catalog.system(id).name));
        format!("{} {} {system}", self.job.catalog.part(item.part).name, sizes.join(" x "))
    }

    /// What an alternative needs and nobody sells.
    pub(crate) fn unpriced(&self, of: &Alternative) -> Vec<String> {
        let lines = of.order.iter().filter(|line| line.extended.is_none());
        lines.map(|line| self.words(self.items.get(line.item))).collect()
    }

    /// What must hold of every house that the built-in tables cover: nothing missing, nothing left without a price, ends
    /// balanced, and no notice of the kinds that are not expected.
    pub(crate) fn is_whole(&self, what: &str, expected: &[&str]) {
        for alternative in &self.alternatives {
            let name = format!("{what} in {}", self.system(alternative));
            assert!(alternative.takeoff.missing.is_empty(), "{name}: {:?}", alternative.takeoff.missing);
            balances(&name, &alternative.takeoff);
            let unpriced = self.unpriced(alternative);
            assert!(unpriced.is_empty(), "{name} is not priced: {unpriced:#?}");
            assert!(alternative.cost.complete, "{name} is incomplete: {:#?}", self.notices);
        }
        // Pipe sold in longer lengths than the stock length spares couplings: a remark, and nothing is lacking.
        let expected = [expected, &["couplings-by-plan"]].concat();
        let odd = self.notices.iter().filter(|notice| !expected.iter().any(|kind| notice.starts_with(kind)));
        assert_eq!(odd.collect::<Vec<_>>(), Vec::<&String>::new(), "{what}");
    }
}

/// Every male end is filled, met on site or met elsewhere.
pub(crate) fn balances(what: &str, takeoff: &Takeoff) {
    for balance in &takeoff.balance {
        let met = balance.filled + balance.on_site + balance.elsewhere;
        assert_eq!(balance.male, met, "{what}: {balance:?}");
    }
}
