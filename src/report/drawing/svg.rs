//! The text of a picture: lines, rings and words as SVG, in whole tenths of a point. It knows no trade. Texts of somebody else's
//! do nothing in it: what would be a mark is escaped, what acts or hides is left out.

use std::fmt::Write as _;

use crate::ground::inert::kept_on_a_line;

/// A spot of the picture, to the right and down, in tenths of a point.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub(super) struct Dot {
    pub(super) x: i64,
    pub(super) y: i64,
}

impl Dot {
    pub(super) const fn at(x: i64, y: i64) -> Self {
        Self { x, y }
    }

    /// So far to the right and down.
    pub(super) const fn by(self, right: i64, down: i64) -> Self {
        Self { x: self.x + right, y: self.y + down }
    }

    /// Half way to another.
    pub(super) const fn half_way(self, to: Self) -> Self {
        Self { x: i64::midpoint(self.x, to.x), y: i64::midpoint(self.y, to.y) }
    }

    /// A part of the way to another.
    pub(super) const fn part_of_way(self, to: Self, part: i64, of: i64) -> Self {
        Self { x: self.x + (to.x - self.x) * part / of, y: self.y + (to.y - self.y) * part / of }
    }

    /// How far it is to another.
    pub(super) fn far_from(self, other: Self) -> i64 {
        let square = |a: i64, b: i64| u128::from(a.abs_diff(b)).pow(2);
        i64::try_from((square(self.x, other.x) + square(self.y, other.y)).isqrt()).unwrap_or(i64::MAX)
    }

    /// The spot so far along and so far to the right of the way from here to another.
    pub(super) fn toward(self, to: Self, along: i64, aside: i64) -> Self {
        let far = self.far_from(to).max(1);
        let (right, down) = (to.x - self.x, to.y - self.y);
        Self {
            x: self.x + (right * along - down * aside) / far,
            y: self.y + (down * along + right * aside) / far,
        }
    }
}

/// Where words stand to their spot.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Anchor {
    /// They begin there.
    Start,
    /// It is their middle.
    Middle,
    /// They end there.
    End,
}

/// Words in one look: its class, and they.
pub(super) type Span<'a> = (&'a str, &'a str);

/// A picture on its way, or a part of one.
#[derive(Debug, Default)]
pub(super) struct Svg {
    pub(super) text: String,
}

impl Svg {
    /// Something that belongs together, with what it is when one points at it.
    pub(super) fn group(&mut self, class: &str, title: &str, inside: impl FnOnce(&mut Self)) {
        self.text.push_str("<g");
        if !class.is_empty() {
            self.put(format_args!(" class=\"{class}\""));
        }
        self.text.push('>');
        if !title.is_empty() {
            self.put(format_args!("<title>{}</title>", inert(title)));
        }
        inside(self);
        self.text.push_str("</g>\n");
    }

    /// Another picture with its corner at a spot.
    pub(super) fn part(&mut self, at: Dot, part: &Self) {
        self.put(format_args!("<g transform=\"translate({},{})\">\n{}</g>\n", at.x, at.y, part.text));
    }

    /// A line through spots, so wide; `dash` as SVG writes it.
    pub(super) fn line(&mut self, class: &str, (width, dash): (i64, &str), dots: &[Dot]) {
        self.way(class, dots, "");
        if width > 0 {
            self.put(format_args!(" stroke-width=\"{width}\""));
        }
        if !dash.is_empty() {
            self.put(format_args!(" stroke-dasharray=\"{dash}\""));
        }
        self.text.push_str("/>\n");
    }

    /// A shape with these corners.
    pub(super) fn shape(&mut self, class: &str, dots: &[Dot]) {
        self.way(class, dots, "Z");
        self.text.push_str("/>\n");
    }

    fn way(&mut self, class: &str, dots: &[Dot], end: &str) {
        self.put(format_args!("<path class=\"{class}\" d=\""));
        for (at, dot) in dots.iter().enumerate() {
            self.put(format_args!("{}{} {}", if at == 0 { 'M' } else { 'L' }, dot.x, dot.y));
        }
        self.put(format_args!("{end}\""));
    }

    /// A ring or a disk.
    pub(super) fn ring(&mut self, class: &str, at: Dot, radius: i64) {
        self.put(format_args!(
            "<circle class=\"{class}\" cx=\"{}\" cy=\"{}\" r=\"{radius}\"/>\n",
            at.x, at.y
        ));
    }

    /// Words on one line; a class of a span says how it looks.
    pub(super) fn words(&mut self, at: Dot, anchor: Anchor, class: &str, spans: &[Span<'_>]) {
        self.put(format_args!("<text class=\"{class}\" x=\"{}\" y=\"{}\"", at.x, at.y));
        match anchor {
            Anchor::Start => {}
            Anchor::Middle => self.text.push_str(" text-anchor=\"middle\""),
            Anchor::End => self.text.push_str(" text-anchor=\"end\""),
        }
        self.text.push('>');
        for (class, words) in spans {
            match class.is_empty() {
                true => self.put(format_args!("{}", inert(words))),
                false => self.put(format_args!("<tspan class=\"{class}\">{}</tspan>", inert(words))),
            }
        }
        self.text.push_str("</text>\n");
    }

    fn put(&mut self, what: std::fmt::Arguments<'_>) {
        // Memory takes every letter.
        let _ = self.text.write_fmt(what);
    }
}

/// A whole picture as a file: so wide and high, what it is called, what it shows, and how its classes look.
pub(super) fn file(
    first: &str,
    (width, height): (i64, i64),
    said: [&str; 2],
    look: &str,
    of: &Svg,
) -> String {
    let [title, about] = said.map(inert);
    format!(
        "{first}<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {width} {height}\" role=\"img\" xml:space=\"preserve\" \
         aria-labelledby=\"title about\">\n<title id=\"title\">{title}</title>\n<desc id=\"about\">{about}</desc>\n\
         <style>\n{look}</style>\n{}</svg>\n",
        of.text
    )
}

/// A text as a picture holds it.
fn inert(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in kept_on_a_line(text).chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            c => out.push(c),
        }
    }
    out
}

/// How wide words are about, of letters so high: whoever draws them has his own.
pub(super) fn wide(words: &str, high: i64) -> i64 {
    let hundredths = |c: char| match c {
        'i' | 'j' | 'l' | '\'' | '|' | '.' | ',' | ':' | ';' | '!' => 27,
        ' ' | 'f' | 't' | 'r' | '(' | ')' | '/' | '"' | '-' => 36,
        'm' | 'w' | 'M' | 'W' | '@' | '%' => 90,
        'A'..='Z' => 70,
        c if c.is_ascii() => 57,
        _ => 100,
    };
    words.chars().map(hundredths).sum::<i64>() * high / 100
}

/// A text cut where it would be wider than that, with a mark.
pub(super) fn cut(text: &str, high: i64, most: i64) -> String {
    if wide(text, high) <= most {
        return text.to_owned();
    }
    let mut kept = String::new();
    for c in text.chars() {
        if wide(&kept, high) + 2 * high > most {
            break;
        }
        kept.push(c);
    }
    format!("{}…", kept.trim_end())
}

/// A text in lines that are no wider, parted between words.
pub(super) fn lines(text: &str, high: i64, most: i64) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        let word = cut(word, high, most);
        match lines.last_mut().filter(|line| wide(line, high) + wide(&word, high) + high / 2 <= most) {
            Some(line) => line.extend([" ", &word]),
            None => lines.push(word),
        }
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_text_does_nothing_in_a_picture() {
        let mut svg = Svg::default();
        let text = "</text><script>x</script>\" onload=\"y\" & \u{202e}\u{1b}\u{0}]]>\nend";
        svg.words(Dot::at(1, 2), Anchor::End, "name", &[("", text)]);
        svg.group("", text, |_| {});
        assert_eq!(svg.text.matches('<').count(), 6, "{}", svg.text);
        assert!(!svg.text.contains("<script") && !svg.text.contains("\" onload"), "{}", svg.text);
        assert!(svg.text.contains("&quot; onload=&quot;y&quot; &amp; ]]&gt; end"), "{}", svg.text);
    }

    #[test]
    fn a_long_text_is_parted_between_words_and_a_long_word_is_cut() {
        assert_eq!(lines("one two three", 10, 45), ["one two", "three"]);
        assert_eq!(lines("", 10, 40), Vec::<String>::new());
        let long = "w".repeat(60);
        assert!(lines(&long, 10, 100).concat().ends_with('…'));
        assert!(wide(&lines(&long, 10, 100)[0], 10) <= 110);
    }

    #[test]
    fn a_spot_aside_lies_to_the_right_of_the_way() {
        let (from, to) = (Dot::at(0, 0), Dot::at(100, 0));
        assert_eq!((from.toward(to, 10, 5), from.toward(to, -10, 0)), (Dot::at(10, 5), Dot::at(-10, 0)));
        assert_eq!(from.part_of_way(to, 1, 4), Dot::at(25, 0));
        assert_eq!(Dot::at(0, 0).far_from(Dot::at(3, 4)), 5);
    }
}
