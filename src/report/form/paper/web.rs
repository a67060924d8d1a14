//! A paper as a page: one file that asks for nothing else. It prints on letter or A4 paper, and on a telephone each row of a
//! wide table stands as a block. What users wrote is escaped by the macro that writes it.

use maud::{DOCTYPE, Markup, PreEscaped, html};

use super::{BESIDE_A_SIGNATURE, Bar, Block, Cell, Paper, Row, Table, TableColumn, shown};
use crate::ground::inert::kept;
use crate::report::form::look::{BOX, Kind, tint};

/// How it looks; colors are those of all sheets.
const STYLE: &str = include_str!("page.css");

/// Tables of more columns stand as blocks on a telephone.
const NARROW: usize = 4;

/// The bytes of the file.
pub(super) fn bytes(paper: &Paper) -> Vec<u8> {
    let lies = if paper.lies { " landscape" } else { "" };
    let size = format!("{}{lies}", if paper.metric { "A4" } else { "letter" });
    let page = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                title { (text(&paper.title)) " \u{b7} " (text(&paper.about)) }
                style { (PreEscaped(colors())) (PreEscaped(STYLE)) "@page{size:" (size) ";margin:14mm 12mm 16mm}" }
            }
            body.lies[paper.lies] {
                (head(paper))
                main {
                    @for banner in &paper.banners { p.banner { (text(banner)) } }
                    @for one in &paper.blocks { (block(one)) }
                }
                footer { (text(&paper.foot)) }
            }
        }
    };
    let mut bytes = page.into_string().into_bytes();
    bytes.push(b'\n');
    bytes
}

/// The colors of all sheets by name.
fn colors() -> String {
    let named = [
        ("accent", tint::ACCENT),
        ("middle", tint::ACCENT_MIDDLE),
        ("light", tint::ACCENT_LIGHT),
        ("rule", tint::RULE),
        ("gray", tint::GRAY),
        ("warn", tint::WARN),
        ("warn-light", tint::WARN_LIGHT),
    ];
    let colors: Vec<String> = named.iter().map(|(name, color)| format!("--{name}:#{color:06x}")).collect();
    format!(":root{{{}}}\n", colors.join(";"))
}

/// A text with the characters that show.
fn text(words: &str) -> String {
    kept(words).into_owned()
}

fn head(paper: &Paper) -> Markup {
    let (word, to) = (paper.to.0, &paper.to.1);
    html! {
        header {
            div {
                h1 { (text(&paper.title)) }
                @if !paper.about.is_empty() { p.about { (text(&paper.about)) } }
            }
            div.from {
                @for (at, line) in paper.from.iter().enumerate() {
                    @if at == 0 { strong { (text(line)) } } @else { span { (text(line)) } }
                }
            }
        }
        section.facts {
            @if !to.is_empty() {
                address {
                    small { (word) }
                    @for line in to { span { (text(line)) } }
                }
            }
            dl {
                @for (name, value) in paper.known_facts() { div { dt { (name) } dd { (text(value)) } } }
            }
        }
    }
}

fn block(block: &Block) -> Markup {
    match block {
        Block::Heading(words) => html! { h2 { (text(words)) } },
        Block::Words(words) => html! { p { (text(words)) } },
        Block::List(lines) => html! { ul { @for line in lines { li { (text(line)) } } } },
        Block::Table(of) => table(of),
        Block::Bars(bars) => self::bars(bars),
        Block::Sign(all) => html! {
            div.sign {
                @for one in all {
                    div {
                        strong { (text(&one.of)) }
                        @for what in BESIDE_A_SIGNATURE {
                            p.line {
                                span { @if what == BESIDE_A_SIGNATURE[1] { (text(&one.name)) } }
                                small { (what) }
                            }
                        }
                    }
                }
            }
        },
    }
}

fn table(table: &Table) -> Markup {
    let has_headings = table.columns.iter().any(|column| !column.heading.is_empty());
    let wide = table.columns.len() > NARROW && has_headings;
    html! {
        table.blocks[wide] {
            @if has_headings {
                thead {
                    tr {
                        @for column in &table.columns {
                            th scope="col" class=(side(column.kind)) { (text(&column.heading)) }
                        }
                    }
                }
            }
            tbody {
                @for row in &table.rows { (table_row(&table.columns, row)) }
            }
        }
    }
}

fn table_row(columns: &[TableColumn], row: &Row) -> Markup {
    match row {
        Row::Band(words) => {
            html! { tr.band { th scope="rowgroup" colspan=(columns.len()) { (text(words)) } } }
        }
        Row::Cells(cells) => {
            html! { tr { @for (column, one) in columns.iter().zip(cells) { (cell(column, one)) } } }
        }
        Row::Sum(cells) => {
            html! { tr.sum { @for (column, one) in columns.iter().zip(cells) { (cell(column, one)) } } }
        }
    }
}

/// A cell; its heading goes with it, for where rows stand as blocks.
fn cell(column: &TableColumn, cell: &Cell) -> Markup {
    let (class, words) = match cell {
        Cell::Of(value) => (side(column.kind), shown(value)),
        Cell::Muted(value) => (muted(column.kind), shown(value)),
        Cell::Fill => ("fill", String::new()),
        Cell::Tick(of) => ("tick", ticks(of)),
    };
    html! { td class=(class) data-of=(text(&column.heading)) { (text(&words)) } }
}

/// Boxes to tick in a row.
pub(super) fn ticks(of: &[&str]) -> String {
    let one = |word: &&str| format!("{BOX} {word}").trim_end().to_owned();
    of.iter().map(one).collect::<Vec<_>>().join("  ")
}

/// The side on which a cell stands.
const fn side(kind: Kind) -> &'static str {
    match kind {
        Kind::Text => "",
        Kind::Wrap => "w",
        Kind::Middle => "tick",
        Kind::Right
        | Kind::Whole
        | Kind::Length
        | Kind::Amount
        | Kind::Number
        | Kind::Money
        | Kind::Price
        | Kind::Percent => "n",
    }
}

/// The same of what is for reference.
fn muted(kind: Kind) -> &'static str {
    if side(kind) == "n" { "n muted" } else { "muted" }
}

/// Bars, each at its scale.
fn bars(bars: &[Bar]) -> Markup {
    html! {
        @for bar in bars {
            figure.bar {
                figcaption { (text(&bar.words)) }
                div style=(width(bar.length, bar.scale)) {
                    @for (length, words) in &bar.parts {
                        span style=(width(*length, bar.length)) { (text(words)) }
                    }
                }
            }
        }
    }
}

/// A share of a width in hundredths of a percent.
fn width(part: i64, whole: i64) -> String {
    let share = i128::from(part.max(0)) * 10_000 / i128::from(whole.max(1));
    format!("width:{}.{:02}%", share / 100, share % 100)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_share_of_a_bar_is_in_whole_hundredths_of_a_percent() {
        assert_eq!(width(1, 3), "width:33.33%");
        assert_eq!(width(i64::MAX, i64::MAX), "width:100.00%");
        assert_eq!(width(-1, 0), "width:0.00%");
    }
}
