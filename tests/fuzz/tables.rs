//! The target `tables`: a few rows of a table of an example, changed, as the bytes of a CSV file, read by its own shape or
//! by another.

use std::fmt;
use std::fs;

use coilstick::trade::SHAPES;

use crate::asked::{ask_all, table_file};
use crate::draw::Draw;
use crate::driver::{Target, folder};
use crate::encoded;
use crate::seeds::seeds;

/// A file and the shape that it is read by: its place in the list of all.
pub(crate) struct Input {
    shape: usize,
    bytes: Vec<u8>,
}

impl fmt::Display for Input {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        writeln!(f, "as {}:\n{}", SHAPES[self.shape].name, String::from_utf8_lossy(&self.bytes))
    }
}

pub(crate) const TABLES: Target<Input> = Target {
    name: "tables",
    short: 1_500,
    longest: 400,
    // The longest files are of 27 MB in UTF-16; a file takes about two and a half times its bytes.
    memory: 96 << 20,
    steps: &["gave a row", "gave a row without a mistake"],
    least: 40,
    make,
    judge,
};

fn make(draw: &mut Draw<'_>) -> Input {
    let mut grid = seeds().table(draw).window(draw, 8);
    for _ in 0..draw.few() {
        grid.change(draw, seeds());
    }
    let own = SHAPES.iter().position(|shape| shape.name.replace('-', " ") == grid.name.replace('-', " "));
    let shape = own.filter(|_| !draw.once_in(8)).unwrap_or_else(|| draw.below(SHAPES.len()));
    let bytes = if draw.once_in(64) {
        (0..draw.below(300)).map(|_| draw.byte()).collect()
    } else {
        encoded::file(&grid, draw)
    };
    Input { shape, bytes }
}

fn judge(input: &Input) -> usize {
    let path = folder().join("table.csv");
    fs::write(&path, &input.bytes).unwrap();
    let told = ask_all(&table_file(&path), SHAPES[input.shape]);
    assert!(told.rows <= input.bytes.len(), "{told:?}");
    usize::from(told.rows > 0) + usize::from(told.sound > 0)
}
