//! What is written at length: the README files of the program, section by section, for `help`. Each text has one home, the file
//! itself, which is embedded; a section is found by the words that stand in a comment below its heading. It prints nothing.

use super::told::{Cell, Fact, Lies, Paint, Table, Told, Words};
use crate::ground::name::fold_heading;

/// The files, each by its path in the repository.
const PAGES: [(&str, &str); 4] = [
    ("README.md", include_str!("../../README.md")),
    ("templates/README.md", include_str!("../../templates/README.md")),
    ("price-lists/README.md", include_str!("../../price-lists/README.md")),
    ("examples/README.md", include_str!("../../examples/README.md")),
];

/// What stands before and behind the words of a section.
const ASKED_BY: (&str, &str) = ("<!-- help: ", " -->");

/// What encloses lines to type.
const FENCE: &str = "```";

/// One section of a page.
#[derive(Debug)]
pub(super) struct Section {
    /// The page it stands in.
    page: &'static str,
    pub(super) title: &'static str,
    /// The words that ask for it; none: nobody can.
    pub(super) words: Vec<&'static str>,
    /// The word of the section that it is a part of.
    within: Option<&'static str>,
    blocks: Vec<Block>,
}

/// One block of a section.
#[derive(Debug)]
enum Block {
    /// A paragraph.
    Text(String),
    /// An entry of a list.
    Entry(String),
    /// Lines to type, and the file that they are of, if any.
    Typed(&'static str, Vec<&'static str>),
    /// A table: its heads and its rows.
    Rows(Vec<&'static str>, Vec<Vec<String>>),
}

/// All sections that can be asked for, in their order.
pub(super) fn sections() -> Vec<Section> {
    let all = PAGES.into_iter().flat_map(|(page, text)| of_page(page, text));
    all.filter(|section| !section.words.is_empty()).collect()
}

impl Section {
    /// Whether a word asks for it.
    pub(super) fn is_asked_by(&self, word: &str) -> bool {
        let wanted = fold_heading(word);
        fold_heading(self.title) == wanted || self.words.iter().any(|known| fold_heading(known) == wanted)
    }

    /// The word that asks for it first.
    pub(super) fn word(&self) -> &'static str {
        self.words.first().copied().unwrap_or(self.title)
    }

    /// It for people and programs.
    pub(super) fn told(&self) -> Told {
        let mut told = Told::default();
        told.words("title", Words::new("", self.title).painted(Paint::Bold));
        told.value("page", self.page);
        let blocks: Vec<Told> = self.blocks.iter().map(Block::told).collect();
        told.each("blocks", blocks);
        if let Some(word) = self.within {
            told.gap();
            told.say("see also: ", format!("coilstick help {word}"));
        }
        told
    }
}

impl Block {
    fn told(&self) -> Told {
        let mut told = Told::default();
        if !matches!(self, Self::Entry(_)) {
            told.gap();
        }
        match self {
            Self::Text(text) => told.words("text", Words::new("", text)),
            Self::Entry(text) => told.words("entry", Words::new("  - ", text)),
            Self::Typed(file, lines) => {
                if !file.is_empty() {
                    told.words("file", Words::new("  ", *file).painted(Paint::Dim));
                }
                told.value("typed", lines.join("\n"));
                lines.iter().for_each(|line| told.say("    ", *line));
            }
            Self::Rows(heads, rows) => {
                let facts = heads.iter().map(|head| Fact::new(head, *head)).collect();
                let things = rows.iter().map(|row| row.iter().map(Cell::text).collect()).collect();
                let lies = Lies::Down { headed: true, most: None };
                told.table("rows", Table { facts, things, lies });
            }
        }
        told
    }
}

/// The sections of a page.
fn of_page(page: &'static str, text: &'static str) -> Vec<Section> {
    let mut sections: Vec<Section> = Vec::new();
    let mut within = None;
    let mut typed = false;
    // Whether the next line goes on with the paragraph or entry before it.
    let mut goes_on = false;
    for line in text.lines() {
        if let Some((level, title)) = heading(line).filter(|_| !typed) {
            let parent = if level > 2 { within } else { None };
            sections.push(Section { page, title, words: Vec::new(), within: parent, blocks: Vec::new() });
            goes_on = false;
            continue;
        }
        let Some(section) = sections.last_mut() else { continue };
        if let Some(info) = line.strip_prefix(FENCE) {
            typed = !typed;
            if typed {
                let file = info.split_once(' ').map_or("", |(_, file)| file);
                section.blocks.push(Block::Typed(file, Vec::new()));
            }
            goes_on = false;
        } else if typed {
            if let Some(Block::Typed(_, lines)) = section.blocks.last_mut() {
                lines.push(line);
            }
        } else if let Some(words) =
            line.strip_prefix(ASKED_BY.0).and_then(|rest| rest.strip_suffix(ASKED_BY.1))
        {
            section.words = words.split(", ").collect();
            if section.within.is_none() {
                within = Some(section.word());
            }
        } else if line.is_empty() || line.starts_with("<!--") || line.starts_with("![") {
            goes_on = false;
        } else if line.starts_with('|') {
            row(section, line);
            goes_on = false;
        } else {
            goes_on = words(section, line, goes_on);
        }
    }
    sections
}

/// The level and the title of a heading of a section.
fn heading(line: &'static str) -> Option<(usize, &'static str)> {
    let title = line.trim_start_matches('#');
    let level = line.len() - title.len();
    (level > 1).then_some(())?;
    Some((level, title.strip_prefix(' ')?))
}

/// A line of a paragraph or of a list; whether the next one may go on with it.
fn words(section: &mut Section, line: &str, goes_on: bool) -> bool {
    match (line.strip_prefix("- "), section.blocks.last_mut().filter(|_| goes_on)) {
        (Some(entry), _) => section.blocks.push(Block::Entry(plain(entry))),
        (None, Some(Block::Text(text) | Block::Entry(text))) => {
            *text = format!("{text} {}", plain(line.trim()))
        }
        (None, _) => section.blocks.push(Block::Text(plain(line))),
    }
    true
}

/// A row of a table: its heads, the rule below them, or cells.
fn row(section: &mut Section, line: &'static str) {
    let cells = line.trim_matches('|').split(" | ").map(str::trim);
    match section.blocks.last_mut() {
        Some(Block::Rows(..)) if line.starts_with("|--") => {}
        Some(Block::Rows(_, rows)) => rows.push(cells.map(plain).collect()),
        Some(Block::Text(_) | Block::Entry(_) | Block::Typed(..)) | None => {
            section.blocks.push(Block::Rows(cells.collect(), Vec::new()));
        }
    }
}

/// A text without its marks of emphasis and with links as their words. What stands in code stays as it is.
fn plain(text: &str) -> String {
    let mut plain = String::new();
    for (at, part) in text.split('`').enumerate() {
        if at > 0 {
            plain.push('`');
        }
        match at % 2 {
            0 => plain += &linked(&part.replace('*', "")),
            _ => plain += &part.replace("\\|", "|"),
        }
    }
    plain
}

/// `[words](address)` as its words.
fn linked(text: &str) -> String {
    let Some((front, (words, (_, back)))) = text.split_once('[').and_then(|(front, rest)| {
        let (words, rest) = rest.split_once("](")?;
        Some((front, (words, rest.split_once(')')?)))
    }) else {
        return text.replace("\\|", "|");
    };
    format!("{front}{words}{}", linked(back))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_page_is_parted_into_sections_by_its_headings() {
        let text = "# Page\n\nnobody asks\n\n## One: more\n<!-- help: one, first -->\n\nA *b* [c](d) `e*\\|`\nf.\n\n- g\n  h\n\
                    \n| i | j |\n|---|---|\n| k | **l** |\n\n```csv runs.csv\nrun,\n## no heading\n```\n\n### Two\n<!-- help: two -->\nm\n";
        let sections = of_page("page", text);
        assert_eq!(sections.iter().map(|one| one.title).collect::<Vec<_>>(), ["One: more", "Two"]);
        assert_eq!((&sections[0].words[..], sections[1].within), (&["one", "first"][..], Some("one")));
        assert!(sections[0].is_asked_by("First") && !sections[0].is_asked_by("two"));
        let told = serde_json::to_string(&sections[0].told()).unwrap();
        let blocks = r#"[{"text":"A b c `e*|` f."},{"entry":"g h"},{"rows":[{"i":"k","j":"l"}]},{"file":"runs.csv","typed":"run,\n## no heading"}]"#;
        assert_eq!(told, format!(r#"{{"title":"One: more","page":"page","blocks":{blocks}}}"#));
    }

    #[test]
    fn each_section_that_is_asked_for_says_something() {
        let all = sections();
        assert!(all.len() > 30, "{}", all.len());
        for section in &all {
            assert!(!section.blocks.is_empty(), "{}", section.title);
        }
    }
}
