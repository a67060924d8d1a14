use coilstick::estimate::take_off;
use coilstick::trade::Job;
use std::collections::BTreeMap;
#[test]
fn dump() {
    let path = std::env::var("JOB").unwrap_or("examples/lake-cabin".into());
    let job = Job::read(std::path::Path::new(&path)).map_err(|n| format!("{n:?}")).unwrap();
    for n in &job.notices {
        println!(
            "{:?} {} {} | {} | {} | {}",
            n.severity,
            n.kind,
            n.spots.iter().map(|s| s.to_string()).collect::<Vec<_>>().join(", "),
            n.found,
            n.expected,
            n.remedy
        );
    }
    let t = take_off(&job);
    for n in &t.notices {
        println!(
            "{:?} {} {} | {} | {} | {}",
            n.severity,
            n.kind,
            n.spots.iter().map(|s| s.to_string()).collect::<Vec<_>>().join(", "),
            n.found,
            n.expected,
            n.remedy
        );
    }
    for l in &t.left_out {
        println!("left out {} {}", job.runs[l.run.index()].name, l.why);
    }
    for k in &t.takeoffs {
        println!(
            "== {} bends {} joints {} missing {:?}",
            job.lexicon.text(job.catalog.system(k.system).name),
            k.bends,
            k.joints,
            k.missing
        );
        let mut m: BTreeMap<String, f64> = BTreeMap::new();
        for l in &k.lines {
            let i = t.items.get(l.item);
            let sizes: Vec<&str> = i.sizes.as_slice().iter().map(|s| job.lexicon.text(*s)).collect();
            let key = format!(
                "{:?} {} {} {} {:?} {}",
                i.class,
                job.catalog.part(i.part).name,
                sizes.join(" x "),
                i.system.map_or("", |s| job.lexicon.text(job.catalog.system(s).name)),
                i.color,
                job.lexicon.text(i.variant)
            );
            let q = if i.is_length() {
                l.count as f64 / 304800000.0
            } else if let Some(j) = l.joint {
                let c = &job.catalog.joints[j as usize];
                l.count as f64 * c.amount.to_string().parse::<f64>().unwrap() / c.per as f64
            } else {
                l.count as f64
            };
            *m.entry(key).or_default() += q;
        }
        for (k, v) in m {
            println!("{v:10.3} {k}");
        }
        for b in &k.balance {
            println!(
                "{:?} {} {:?} ok={}",
                job.lexicon.text(job.catalog.system(b.system).name),
                job.lexicon.text(b.size),
                b,
                b.male == b.filled + b.on_site + b.elsewhere
            );
        }
        for p in &k.pieces {
            if std::env::var("PIECES").is_ok() {
                println!("piece {} {} x{}", p.length, job.runs[p.run.index()].name, p.copies);
            }
        }
    }
}
