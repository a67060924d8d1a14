//! `owner.csv` and `owner.json`: what the owner is told, to be given away. No costs, hours, markups or suppliers.

use rust_decimal::Decimal;

use crate::report::facts::{CAUTIONS, Owner, Wording};
use crate::report::form::{Column, Value, csv, in_csv, json_file, whole};
use crate::report::mark_of;

/// A row of `owner.csv`.
pub(super) struct Row {
    section: &'static str,
    /// Words, or a day.
    item: Value,
    detail: String,
    count: Option<u64>,
    amount: Option<Decimal>,
}

pub(super) const COLUMNS: [Column<Row>; 5] = [
    in_csv("section", "job, work, scope, price, alternate and so on", |_, row| row.section.into()),
    in_csv("item", "what it is", |_, row| row.item.clone()),
    in_csv("detail", "where it is, or whether it adds or deducts", |_, row| (&row.detail).into()),
    in_csv("count", "how many places", |_, row| row.count.map(whole).into()),
    in_csv("amount", "the sum", |_, row| row.amount.map(Value::Cents).into()),
];

/// The bytes of `owner.json`.
pub(super) fn json(owner: &Owner) -> Vec<u8> {
    json_file::file(|out| {
        out.put("job", &owner.job);
        out.put("date", owner.date);
        out.put("good_until", owner.good_until);
        out.put("currency", &owner.currency);
        out.put("complete", owner.complete);
        out.list("work", &owner.work);
        out.each("scope", &owner.scope, |out, one| {
            out.put("level", &one.level);
            out.put("area", &one.area);
            out.put("fixture", &one.fixture);
            out.put("with", &one.with);
            out.put("count", whole(one.count));
        });
        out.each("price", &owner.price, |out, line| {
            out.put("name", &line.name);
            out.put("amount", line.amount.to_string());
        });
        out.each("alternates", &owner.alternates, |out, one| {
            out.put("name", &one.name);
            out.put("word", one.word);
            out.put("amount", one.amount.map(|amount| amount.to_string()));
        });
        out.list("included", &owner.included);
        out.list("not_included", &owner.not_included);
        out.list("payment_terms", &owner.payment_terms);
        out.list("cautions", CAUTIONS);
    })
}

/// The bytes of `owner.csv`.
pub(super) fn csv(owner: &Owner, words: &Wording<'_>) -> Vec<u8> {
    let row = |section, item: Value| Row { section, item, detail: String::new(), count: None, amount: None };
    let list =
        |section, lines: &[String]| lines.iter().map(|line| row(section, line.into())).collect::<Vec<_>>();
    let mut rows = vec![row("job", (&owner.job).into())];
    rows.extend(owner.date.map(|day| row("date", day.into())));
    rows.extend(owner.good_until.map(|day| row("good until", day.into())));
    rows.push(row("currency", (&owner.currency).into()));
    rows.push(row("estimate", mark_of(owner.complete).into()));
    rows.extend(list("work", &owner.work));
    for one in &owner.scope {
        let place = [&*one.level, &*one.area].into_iter().filter(|word| !word.is_empty());
        let detail = format!("{}: {}", place.collect::<Vec<_>>().join(", "), one.with);
        rows.push(Row { detail, count: Some(one.count), ..row("scope", (&one.fixture).into()) });
    }
    for line in &owner.price {
        rows.push(Row { amount: Some(line.amount), ..row("price", (&line.name).into()) });
    }
    for one in &owner.alternates {
        let detail = one.word.to_owned();
        rows.push(Row { detail, amount: one.amount, ..row("alternate", (&one.name).into()) });
    }
    rows.extend(list("included", &owner.included));
    rows.extend(list("not included", &owner.not_included));
    rows.extend(list("payment terms", &owner.payment_terms));
    rows.extend(CAUTIONS.map(|line| row("caution", line.into())));
    csv::table(words, &COLUMNS, rows)
}
