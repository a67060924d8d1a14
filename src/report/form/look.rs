//! How every sheet looks: one typeface, one accent color, light rules, pale yellow where a person may type. Formats
//! are made once and shared; no sheet makes its own.

use rust_xlsxwriter::{Color, Format, FormatAlign, FormatBorder, FormatPattern, FormatUnderline};

/// The colors, as red, green and blue: sheets and drawings have the same.
pub(in crate::report) mod tint {
    /// Slate teal: headings, bands, bars.
    pub(in crate::report) const ACCENT: u32 = 0x21_5968;
    /// The same, lighter.
    pub(in crate::report) const ACCENT_MIDDLE: u32 = 0x7F_A8B3;
    /// The lightest.
    pub(in crate::report) const ACCENT_LIGHT: u32 = 0xDD_E9EC;
    /// Light rules.
    pub(in crate::report) const RULE: u32 = 0xD0_D5D8;
    /// What stands behind.
    pub(in crate::report) const GRAY: u32 = 0x6B_7479;
    /// What must not be overlooked.
    pub(in crate::report) const WARN: u32 = 0x9C_2F1E;
    /// The ground below it.
    pub(in crate::report) const WARN_LIGHT: u32 = 0xFB_EAE5;
}

/// Colors of tabs.
pub(in crate::report) mod tab {
    use rust_xlsxwriter::Color;

    /// What is worked with.
    pub(in crate::report) const WORK: Color = Color::RGB(super::tint::ACCENT_MIDDLE);
    /// What is typed.
    pub(in crate::report) const INPUTS: Color = Color::RGB(0xD9_B44A);
    /// What is looked up.
    pub(in crate::report) const APPENDIX: Color = Color::RGB(super::tint::GRAY);
}

/// Slate teal: headings, bands, bars.
pub(in crate::report) const ACCENT: Color = Color::RGB(tint::ACCENT);
const ACCENT_MIDDLE: Color = Color::RGB(tint::ACCENT_MIDDLE);
const ACCENT_LIGHT: Color = Color::RGB(tint::ACCENT_LIGHT);
const INPUT: Color = Color::RGB(0xFF_F8DC);
const RULE: Color = Color::RGB(tint::RULE);
const GRAY: Color = Color::RGB(tint::GRAY);
pub(super) const WARN: Color = Color::RGB(tint::WARN);
const WARN_LIGHT: Color = Color::RGB(tint::WARN_LIGHT);
/// An empty box, to tick.
pub(in crate::report) const BOX: &str = "\u{2610}";
/// The typeface.
pub(in crate::report) const FONT: &str = "Arial";

/// What a cell holds, and so how it is shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::report) enum Kind {
    /// Words on one line.
    Text,
    /// Words that may take several lines.
    Wrap,
    /// Words or a box in the middle.
    Middle,
    /// Words over or under numbers.
    Right,
    /// Pieces.
    Whole,
    /// Lengths.
    Length,
    /// Amounts of what joints consume.
    Amount,
    /// Any number, as few places as it has.
    Number,
    /// Sums, in cents.
    Money,
    /// Prices, to four places.
    Price,
    /// Percentages in points.
    Percent,
}

impl Kind {
    /// Whether it holds words.
    pub(in crate::report) const fn is_words(self) -> bool {
        matches!(self, Self::Text | Self::Wrap | Self::Middle | Self::Right)
    }
}

/// How a cell speaks.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::report) enum Tone {
    /// As the rest.
    Plain,
    /// A person may type here.
    Input,
    /// For reference.
    Muted,
    /// A sum.
    Total,
    /// It needs attention.
    Warn,
}

const KINDS: [Kind; 11] = [
    Kind::Text,
    Kind::Wrap,
    Kind::Middle,
    Kind::Right,
    Kind::Whole,
    Kind::Length,
    Kind::Amount,
    Kind::Number,
    Kind::Money,
    Kind::Price,
    Kind::Percent,
];
const TONES: [Tone; 5] = [Tone::Plain, Tone::Input, Tone::Muted, Tone::Total, Tone::Warn];

/// All formats of a workbook.
pub(in crate::report) struct Look {
    cells: Vec<Format>,
    as_text: Vec<Format>,
    /// The name of the sheet over it.
    pub(in crate::report) title: Format,
    /// One line under the title.
    pub(in crate::report) subtitle: Format,
    /// The same for words that take several lines.
    pub(in crate::report) subtitle_wrapped: Format,
    /// A heading over a column of words.
    pub(in crate::report) heading: Format,
    /// A heading over a column of numbers.
    pub(in crate::report) heading_right: Format,
    /// A heading for a block within a sheet.
    pub(in crate::report) block: Format,
    /// A band over a group of rows.
    pub(in crate::report) band: Format,
    /// A lighter band within it.
    pub(in crate::report) band_light: Format,
    /// A paragraph.
    pub(in crate::report) paragraph: Format,
    /// What must not be overlooked.
    pub(in crate::report) banner: Format,
    /// What is said after an edit of what was made before it.
    pub(in crate::report) run_again: Format,
    /// How that is colored; it lies over the format of its cell.
    pub(in crate::report) colored: Format,
    /// A link within the workbook.
    pub(in crate::report) link: Format,
    /// The two tints of a bar, and what is left.
    pub(in crate::report) bar: [Format; 2],
    /// What is left of a coil or stick.
    pub(in crate::report) bar_left: Format,
    /// The guard row over a total.
    pub(in crate::report) guard: Format,
    /// A cell to be filled by pencil.
    pub(in crate::report) pencil: Format,
    /// A line of an address.
    pub(in crate::report) line: Format,
    /// A name over it.
    pub(in crate::report) strong: Format,
    /// Room for a signature, over its line.
    pub(in crate::report) to_sign: Format,
    /// The two tints of a bar that says what its pieces are.
    pub(in crate::report) bar_words: [Format; 2],
}

impl Look {
    /// The look of every workbook that this floor writes.
    pub(in crate::report) fn new() -> Self {
        let base = || Format::new().set_font_name(FONT).set_font_size(10).set_align(FormatAlign::Top);
        let words = || base().set_align(FormatAlign::Left).set_indent(1);
        let head = || words().set_bold().set_font_color(ACCENT);
        let heading = base()
            .set_bold()
            .set_font_color(Color::White)
            .set_background_color(ACCENT)
            .set_text_wrap()
            .set_align(FormatAlign::Bottom);
        let bar = |color: Color| between(base().set_background_color(color), ACCENT);
        let cell = |kind, tone| styled(base(), kind, tone);
        Self {
            cells: TONES.iter().flat_map(|t| KINDS.iter().map(|k| cell(*k, *t))).collect(),
            as_text: TONES
                .iter()
                .flat_map(|t| KINDS.iter().map(|k| cell(*k, *t).set_quote_prefix()))
                .collect(),
            title: head().set_font_size(16),
            subtitle: words().set_font_color(GRAY),
            subtitle_wrapped: words().set_font_color(GRAY).set_text_wrap(),
            heading_right: heading.clone().set_align(FormatAlign::Right),
            heading: heading.set_align(FormatAlign::Left).set_indent(1),
            block: ruled(head().set_font_size(11), FormatBorder::Medium, ACCENT),
            band: head().set_background_color(ACCENT_LIGHT),
            band_light: ruled(head(), FormatBorder::Thin, ACCENT_MIDDLE),
            paragraph: words().set_text_wrap(),
            banner: words()
                .set_bold()
                .set_font_color(WARN)
                .set_background_color(WARN_LIGHT)
                .set_text_wrap()
                .set_border(FormatBorder::Thin)
                .set_border_color(WARN),
            run_again: words().set_bold().set_font_color(WARN),
            colored: Format::new().set_font_color(WARN).set_background_color(WARN_LIGHT),
            link: ruled(
                words().set_font_color(ACCENT).set_underline(FormatUnderline::Single),
                FormatBorder::Hair,
                RULE,
            ),
            bar: [bar(ACCENT_MIDDLE), bar(ACCENT)],
            bar_left: between(base().set_pattern(FormatPattern::LightUp).set_foreground_color(RULE), RULE),
            guard: words().set_italic().set_font_color(GRAY),
            line: words(),
            strong: words().set_bold(),
            to_sign: ruled(words(), FormatBorder::Thin, Color::Black).set_align(FormatAlign::Bottom),
            bar_words: [bar(ACCENT_LIGHT), bar(Color::White)].map(|format| {
                format
                    .set_font_size(9)
                    .set_align(FormatAlign::Center)
                    .set_align(FormatAlign::VerticalCenter)
                    .set_border_right(FormatBorder::Thin)
                    .set_border_right_color(ACCENT)
            }),
            pencil: words().set_num_format("@").set_border(FormatBorder::Thin).set_border_color(RULE),
        }
    }

    /// The format of a cell.
    pub(in crate::report) fn cell(&self, kind: Kind, tone: Tone) -> &Format {
        pick(&self.cells, kind, tone).unwrap_or(&self.paragraph)
    }

    /// The format of a cell of words that a spreadsheet would run: it stays text when somebody edits it.
    pub(in crate::report) fn as_text(&self, kind: Kind, tone: Tone) -> &Format {
        pick(&self.as_text, kind, tone).unwrap_or(&self.paragraph)
    }
}

fn pick(formats: &[Format], kind: Kind, tone: Tone) -> Option<&Format> {
    let tone = TONES.iter().position(|t| *t == tone)?;
    let kind = KINDS.iter().position(|k| *k == kind)?;
    formats.get(tone * KINDS.len() + kind)
}

/// Ruled below.
fn ruled(format: Format, border: FormatBorder, color: Color) -> Format {
    format.set_border_bottom(border).set_border_bottom_color(color)
}

/// Between two thin rules.
fn between(format: Format, color: Color) -> Format {
    let below = ruled(format, FormatBorder::Thin, color);
    below.set_border_top(FormatBorder::Thin).set_border_top_color(color)
}

fn styled(base: Format, kind: Kind, tone: Tone) -> Format {
    let ruled = ruled(base, FormatBorder::Hair, RULE);
    let held = match kind {
        Kind::Text => ruled.set_align(FormatAlign::Left).set_indent(1),
        Kind::Wrap => ruled.set_align(FormatAlign::Left).set_indent(1).set_text_wrap(),
        Kind::Middle => ruled.set_align(FormatAlign::Center),
        Kind::Right => ruled.set_align(FormatAlign::Right),
        Kind::Whole => ruled.set_num_format("#,##0"),
        Kind::Length | Kind::Amount | Kind::Price => ruled.set_num_format("#,##0.00##"),
        Kind::Money => ruled.set_num_format("#,##0.00"),
        Kind::Number | Kind::Percent => ruled.set_num_format("General"),
    };
    match tone {
        Tone::Plain => held,
        Tone::Input => held.set_background_color(INPUT).set_unlocked(),
        Tone::Muted => held.set_font_color(GRAY),
        Tone::Total => between(held.set_bold(), ACCENT),
        Tone::Warn => held.set_bold().set_font_color(WARN),
    }
}
