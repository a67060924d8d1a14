//! Reads one CSV table, row by row.

use std::sync::Arc;

use super::record::{Bound, Record};
use super::words::Trouble;
use super::{Further, Shape, TableFile};
use crate::ground::name::{fold_heading, nearest};
use crate::ground::spot::{RowAt, Source, SourceId};
use crate::ground::{LengthUnit, Notice, Sources, Spot};

/// Reads a table and hands over one record a row; blank rows are passed over. Gives the table's id.
pub fn read(
    file: &TableFile,
    shape: &Shape,
    bare: LengthUnit,
    sources: &mut Sources,
    notices: &mut Vec<Notice>,
    each: &mut dyn FnMut(&mut Record<'_>),
) -> Option<SourceId> {
    let (shown, built_in, bytes): (Arc<str>, bool, Vec<u8>) = match file {
        TableFile::BuiltIn { name, text } => (Arc::from(*name), true, text.as_bytes().to_vec()),
        TableFile::File { path, shown, .. } => match std::fs::read(path) {
            Ok(bytes) => (shown.clone(), false, bytes),
            Err(why) => {
                let spot = Spot { file: shown.clone(), sheet: None, row: 0, column: 0 };
                notices.push(Trouble::Unreadable { why: why.to_string() }.word(spot));
                return None;
            }
        },
    };
    let mut reader =
        csv::ReaderBuilder::new().has_headers(false).flexible(true).from_reader(bytes.as_slice());
    let mut raw = csv::StringRecord::new();
    if !reader.read_record(&mut raw).unwrap_or(false) {
        return None;
    }
    let headings: Vec<String> = raw.iter().map(|h| h.trim_start_matches('\u{feff}').to_owned()).collect();
    let (bound, found) = bind(shape, &headings);
    let id = sources.add(Source { file: shown.clone(), sheet: None, built_in, headings: found });
    for (i, heading) in headings.iter().enumerate() {
        let known = bound.columns.iter().flatten().any(|(p, _)| *p == i)
            || bound.further.iter().any(|(_, p)| *p == i);
        if !known && !heading.trim().is_empty() {
            let spot =
                Spot { file: shown.clone(), sheet: None, row: 1, column: u32::try_from(i + 1).unwrap_or(0) };
            let near = nearest(heading, shape.columns.iter().map(|c| c.heading));
            notices.push(Trouble::UnknownHeading { heading, nearest: near, table: shape.name }.word(spot));
        }
    }
    for (column, place) in shape.columns.iter().zip(&bound.columns) {
        if column.required && place.is_none() {
            let spot = Spot { file: shown.clone(), sheet: None, row: 1, column: 0 };
            notices.push(Trouble::MissingHeading { heading: column.heading, table: shape.name }.word(spot));
        }
    }
    loop {
        match reader.read_record(&mut raw) {
            Ok(true) => {}
            Ok(false) | Err(_) => break,
        }
        let row = raw.position().map_or(0, csv::Position::line);
        let cells: Vec<&str> = raw.iter().collect();
        if cells.iter().all(|c| c.trim().is_empty()) {
            continue;
        }
        let at = RowAt { source: id, row: u32::try_from(row).unwrap_or(u32::MAX) };
        let mut record =
            Record { at, shape, bound: &bound, cells: &cells, bare, sources, notices, misread: false };
        each(&mut record);
    }
    Some(id)
}

fn bind(shape: &Shape, headings: &[String]) -> (Bound, Vec<(String, u32)>) {
    let mut bound = Bound { columns: vec![None; shape.columns.len()], further: Vec::new() };
    let mut found = Vec::new();
    for (position, heading) in headings.iter().enumerate() {
        let (name, unit) = match heading.trim().strip_suffix(')').and_then(|h| h.split_once('(')) {
            Some((name, unit)) => (name.trim(), LengthUnit::from_word(unit)),
            None => (heading.trim(), None),
        };
        let folded = fold_heading(name);
        let column = shape.columns.iter().position(|c| {
            fold_heading(c.heading) == folded || c.also.iter().any(|a| fold_heading(a) == folded)
        });
        let number = u32::try_from(position + 1).unwrap_or(0);
        match column {
            Some(index) if bound.columns[index].is_none() => {
                bound.columns[index] = Some((position, unit));
                found.push((fold_heading(shape.columns[index].heading), number));
            }
            Some(_) | None if shape.further == Further::Kept && !folded.is_empty() => {
                found.push((folded, number));
                bound.further.push((heading.trim().to_owned(), position));
            }
            Some(_) | None => {}
        }
    }
    (bound, found)
}
