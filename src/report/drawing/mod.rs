//! A job as a picture: the house to scale where runs have paths, a line diagram where they have not, with what the notices speak
//! of marked. It knows no arithmetic of counting and lays no alternative: all of it is the map's. Its verb is [`bytes`].

mod floors;
mod house;
mod labels;
mod legend;
mod lines;
mod notes;
mod projection;
mod style;
mod svg;
mod symbol;

use crate::estimate::RunId;
use crate::estimate::map::Map;
use crate::trade::Job;
use notes::Notes;
pub(super) use style::color as tint_of;
use style::{HEAD, NAME, Style, TITLE};
use svg::{Anchor, Dot, Svg};
use symbol::Part;

/// The ending of a picture's name.
pub(super) const ENDING: &str = ".svg";

/// The first line of every picture, by which this program knows its own.
pub(super) const FIRST: &str =
    "<!-- drawn by coilstick from a run list; drawn again, it is replaced unless somebody wrote in it -->\n";

/// How many runs a picture shows, and how.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Shows {
    /// Runs drawn to scale, by their paths.
    pub to_scale: usize,
    /// Runs in the line diagram.
    pub not_to_scale: usize,
    /// Runs of both that are left out of every count, drawn in gray.
    pub left_out: usize,
    /// Runs of alternates, which are not drawn.
    pub optional: usize,
}

impl Shows {
    /// What the picture of a map shows.
    pub fn of(job: &Job, map: &Map) -> Self {
        let count = |is: fn(&&crate::estimate::map::Mapped) -> bool| map.runs.iter().filter(is).count();
        Self {
            to_scale: count(|run| run.way.is_some()),
            not_to_scale: count(|run| run.way.is_none()),
            left_out: count(|run| run.out.is_some()),
            optional: job.alternates.runs.len(),
        }
    }

    /// In a sentence without its full stop.
    pub fn words(&self) -> String {
        let runs = |count: usize| if count == 1 { "1 run".to_owned() } else { format!("{count} runs") };
        let left_out = match self.left_out {
            0 => String::new(),
            1 => "; 1 of them is left out of the count, in gray".to_owned(),
            more => format!("; {more} of them are left out of the count, in gray"),
        };
        let left_out = match self.optional {
            0 => left_out,
            1 => format!("{left_out}; 1 run of an alternate is not drawn"),
            more => format!("{left_out}; {more} runs of alternates are not drawn"),
        };
        match (self.to_scale, self.not_to_scale) {
            (0, 0) => "the run list has no rows yet".to_owned(),
            (to_scale, 0) => format!("{} to scale by their paths{left_out}", runs(to_scale)),
            (0, all) => format!("{} as a line diagram, not to scale: no run has a path{left_out}", runs(all)),
            (to_scale, rest) => {
                format!(
                    "{} to scale by their paths, {rest} without a path below, not to scale{left_out}",
                    runs(to_scale)
                )
            }
        }
    }
}

/// Around the page.
const EDGE: i64 = 260;

/// The bytes of the picture: the same job gives the same bytes.
pub(super) fn bytes(job: &Job, map: &Map) -> Vec<u8> {
    let (style, notes) = (Style::of(job), Notes::of(job, map));
    let house = house::draw(job, map, &style, &notes);
    let (house, nameless) = house.map_or((None, Vec::new()), |(part, nameless)| (Some(part), nameless));
    let diagram = lines::draw(job, map, &style, &notes);
    let widest = [&house, &diagram].into_iter().flatten().map(|part| part.width).max().unwrap_or(0);
    let width = widest.max(6_400);
    let mut page = Page { svg: Svg::default(), at: EDGE, width };
    let name = if job.settings.name.is_empty() { "House" } else { &job.settings.name };
    page.at += TITLE;
    let title = svg::cut(name, TITLE, width);
    page.svg.words(Dot::at(EDGE, page.at), Anchor::Start, "title", &[("", &title)]);
    let shows = Shows::of(job, map).words();
    page.words(&[format!("Drawn from the run list: {shows}.")], "gray");
    page.put(legend::draw(&style, map, width));
    let both = house.is_some() && diagram.is_some();
    house.into_iter().for_each(|part| page.put(part));
    if map.runs.iter().filter_map(|run| run.way.as_ref()).any(|way| way.part > 0) {
        let apart = "What stands side by side shares no place that both reach by a path: how it lies to the rest is not known.";
        page.words(&[apart.to_owned()], "gray");
    }
    if both {
        page.head("Not to scale: runs without a path, by how far along they join");
    }
    diagram.into_iter().for_each(|part| page.put(part));
    page.nameless(job, &style, &nameless);
    page.notes(&notes);
    page.at += NAME;
    page.words(
        &["An aid, not a design: local code, the inspector and a licensed plumber decide.".to_owned()],
        "gray",
    );
    let size = (width + 2 * EDGE, page.at + EDGE);
    let mut all = Svg::default();
    all.shape("paper", &[Dot::at(0, 0), Dot::at(size.0, 0), Dot::at(size.0, size.1), Dot::at(0, size.1)]);
    all.text.push_str(&page.svg.text);
    let title = format!("{name}: the piping drawn from its run list");
    svg::file(FIRST, size, [&title, &shows], &style::look(), &all).into_bytes()
}

/// A page that is filled from above.
struct Page {
    svg: Svg,
    at: i64,
    width: i64,
}

impl Page {
    fn put(&mut self, part: Part) {
        self.svg.part(Dot::at(EDGE, self.at + 60), &part.svg);
        self.at += part.height + 60;
    }

    fn head(&mut self, words: &str) {
        self.at += 2 * HEAD;
        self.svg.words(Dot::at(EDGE, self.at), Anchor::Start, "head", &[("", words)]);
    }

    fn words(&mut self, paragraphs: &[String], class: &str) {
        for line in paragraphs.iter().flat_map(|words| svg::lines(words, NAME, self.width)) {
            self.at += NAME * 3 / 2;
            self.svg.words(Dot::at(EDGE, self.at), Anchor::Start, class, &[("", &line)]);
        }
    }

    /// Runs whose names found no room in the picture.
    fn nameless(&mut self, job: &Job, style: &Style<'_>, runs: &[RunId]) {
        if runs.is_empty() {
            return;
        }
        self.head("Drawn without its name, for want of room");
        let label = |id: &RunId| style.label(&job.runs[id.index()]).concat().replace("  ", " ");
        let all: Vec<String> = runs.iter().map(label).collect();
        self.words(&[all.join("; ")], "");
    }

    /// What is marked, by its numbers.
    fn notes(&mut self, notes: &Notes<'_>) {
        const INDENT: i64 = 260;
        if !notes.shown.is_empty() {
            self.head("What is marked");
        }
        for (notice, number) in notes.shown.iter().zip(1..) {
            let cell = notice.spots.first().map(ToString::to_string).unwrap_or_default();
            let severity = crate::report::facts::wording::severity(notice.severity);
            let words = format!("{severity} {cell}: {}; {}", notice.found, notice.remedy);
            self.at += NAME * 2;
            notes::badges(&mut self.svg, Dot::at(EDGE + 80, self.at - 30), &[number]);
            for (line, step) in svg::lines(&words, NAME, self.width - INDENT).iter().zip(0..) {
                self.at += if step > 0 { NAME * 5 / 4 } else { 0 };
                let class = if notice.is_error() { "warn" } else { "" };
                self.svg.words(Dot::at(EDGE + INDENT, self.at), Anchor::Start, class, &[("", line)]);
            }
        }
        if notes.more > 0 {
            let more = match (notes.shown.is_empty(), notes.more) {
                (false, more) => format!("and {more} more: coilstick check"),
                (true, 1) => "1 notice speaks of no run: coilstick check".to_owned(),
                (true, more) => format!("{more} notices speak of no run: coilstick check"),
            };
            self.at += NAME / 2;
            self.words(&[more], "gray");
        }
    }
}

/// A run as a chart draws it.
pub(super) struct Plotted {
    pub(super) run: RunId,
    /// Its points, to the right and up.
    pub(super) points: Vec<(i64, i64)>,
    /// The middle of its longest leg.
    pub(super) middle: (i64, i64),
}

/// How wide and high the house is drawn, and the runs whose way is known, by name; what is left out is not among them.
pub(super) fn plot(map: &Map) -> (i64, i64, Vec<Plotted>) {
    let Some(on_paper) = projection::Projection::of(map, &[]) else { return (0, 0, Vec::new()) };
    let up = |dot: Dot| (dot.x, on_paper.height - dot.y);
    let runs = map.order.iter().filter_map(|id| {
        let mapped = map.run(*id);
        let way = mapped.way.as_ref().filter(|_| mapped.out.is_none())?;
        let dots: Vec<Dot> = way.points().map(|point| on_paper.dot(way.part, point)).collect();
        let (from, to) = house::longest(&dots)?;
        let middle = up(from.half_way(to));
        Some(Plotted { run: *id, points: dots.into_iter().map(up).collect(), middle })
    });
    let runs = runs.collect();
    (on_paper.width, on_paper.height, runs)
}
