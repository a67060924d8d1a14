//! The program's own tables as texts of a job: the naive counter reads those of drains by itself.

use crate::generate::Texts;
use crate::sheets::merged;

macro_rules! table {
    ($name:literal) => {
        ($name, include_str!(concat!("../../templates/", $name, ".csv")))
    };
}

const TABLES: [(&str, &str); 8] = [
    table!("parts"),
    table!("systems"),
    table!("joints"),
    table!("sizes"),
    table!("supports"),
    table!("patterns"),
    table!("meetings"),
    table!("turnings"),
];

/// The texts of a job with the tables of the drain side; rows of the job's own stand behind those of the same table.
pub(crate) fn with_drain_tables(texts: &Texts) -> Texts {
    let mut all: Texts = Vec::new();
    for (name, text) in TABLES {
        let mut table = text.to_owned();
        for (_, own) in texts.iter().filter(|(own, _)| *own == name) {
            table = merged(&table, own);
        }
        all.push((name, table));
    }
    all.extend(texts.iter().filter(|(own, _)| TABLES.iter().all(|(name, _)| name != own)).cloned());
    all
}
