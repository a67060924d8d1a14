//! Makes a job smaller while something about it stays true: drops rows, then empties cells, until nothing more goes.

use crate::generate::Texts;

/// The smallest job found for which a thing still holds.
pub(crate) fn shrink(texts: &Texts, holds: impl Fn(&Texts) -> bool) -> Texts {
    let mut smallest = texts.clone();
    loop {
        let before = size(&smallest);
        for table in 0..smallest.len() {
            drop_rows(&mut smallest, table, &holds);
        }
        for table in 0..smallest.len() {
            empty_cells(&mut smallest, table, &holds);
        }
        if size(&smallest) == before {
            smallest.retain(|(name, text)| *name == "runs" || text.lines().count() > 1);
            return smallest;
        }
    }
}

fn size(texts: &Texts) -> usize {
    texts.iter().map(|(_, text)| text.len()).sum()
}

fn drop_rows(texts: &mut Texts, table: usize, holds: &impl Fn(&Texts) -> bool) {
    let mut step = texts[table].1.lines().count();
    while step > 0 {
        let mut row = 1;
        while row < texts[table].1.lines().count() {
            let mut lines: Vec<&str> = texts[table].1.lines().collect();
            lines.drain(row..(row + step).min(lines.len()));
            let text = lines.join("\n") + "\n";
            if !try_text(texts, table, text, holds) {
                row += step;
            }
        }
        step /= 2;
    }
}

fn empty_cells(texts: &mut Texts, table: usize, holds: &impl Fn(&Texts) -> bool) {
    if texts[table].0 == "parts" || texts[table].0 == "systems" {
        return;
    }
    for row in 1..texts[table].1.lines().count() {
        let mut column = 0;
        loop {
            let mut lines: Vec<String> = texts[table].1.lines().map(str::to_owned).collect();
            let mut cells = cells_of(&lines[row]);
            let Some(cell) = cells.get_mut(column) else { break };
            column += 1;
            if cell.is_empty() {
                continue;
            }
            cell.clear();
            lines[row] = cells.join(",");
            let text = lines.join("\n") + "\n";
            try_text(texts, table, text, holds);
        }
    }
}

/// The cells of a line of CSV as written, with their quotes.
pub(crate) fn cells_of(line: &str) -> Vec<String> {
    let mut cells = vec![String::new()];
    let mut quoted = false;
    for letter in line.chars() {
        quoted ^= letter == '"';
        if letter == ',' && !quoted {
            cells.push(String::new());
        } else if let Some(last) = cells.last_mut() {
            last.push(letter);
        }
    }
    cells
}

fn try_text(texts: &mut Texts, table: usize, text: String, holds: &impl Fn(&Texts) -> bool) -> bool {
    let old = std::mem::replace(&mut texts[table].1, text);
    if holds(texts) {
        return true;
    }
    texts[table].1 = old;
    false
}
