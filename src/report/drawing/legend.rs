//! What the lines and marks of a picture mean.

use super::style::{NAME, Style, dash};
use super::svg::{Anchor, Dot, Svg, wide};
use super::symbol::Part;
use crate::estimate::map::Map;
use crate::trade::Service;

/// How high a row of it is, and how long a sample.
const ROW: i64 = 170;
const SAMPLE: i64 = 360;

/// Draws the legend in rows no wider than that.
pub(super) fn draw(style: &Style<'_>, map: &Map, width: i64) -> Part {
    let mut legend = Legend { svg: Svg::default(), at: Dot::at(0, ROW / 2), width };
    for service in &style.services {
        let words = match service {
            Service::Drain => "drain, arrows to the sewer",
            Service::Cold | Service::Hot | Service::Mixed | Service::Return | Service::Vent => service.word(),
        };
        legend.one(SAMPLE, words, |svg, at| {
            let ends = [at, at.by(SAMPLE, 0)];
            svg.line(&format!("run {}", service.word()), (34, &dash(*service, false, 34)), &ends);
        });
    }
    if map.runs.iter().any(|run| run.out.is_some()) {
        legend.one(SAMPLE, "left out of the count", |svg, at| {
            svg.line("run out", (34, &dash(Service::Cold, true, 34)), &[at, at.by(SAMPLE, 0)]);
        });
    }
    for size in &style.sizes {
        let width = style.width(*size);
        legend.one(SAMPLE / 2, style.word(*size), |svg, at| {
            svg.line("run out", (width, ""), &[at, at.by(SAMPLE / 2, 0)]);
        });
    }
    legend.one(90, "ties in", |svg, at| svg.ring("tee out", at.by(45, 0), 36));
    legend.one(90, "place", |svg, at| {
        let at = at.by(45, 0);
        svg.shape("place", &[at.by(-44, -44), at.by(44, -44), at.by(44, 44), at.by(-44, 44)]);
    });
    legend.one(90, "open end", |svg, at| svg.ring("open", at.by(45, 0), 44));
    Part { svg: legend.svg, width, height: legend.at.y + ROW / 2 }
}

struct Legend {
    svg: Svg,
    at: Dot,
    width: i64,
}

impl Legend {
    /// A sample so long, and what it means.
    fn one(&mut self, long: i64, words: &str, draw: impl FnOnce(&mut Svg, Dot)) {
        let across = long + 70 + wide(words, NAME) + 130;
        if self.at.x > 0 && self.at.x + across > self.width {
            self.at = Dot::at(0, self.at.y + ROW);
        }
        draw(&mut self.svg, self.at);
        self.svg.words(self.at.by(long + 70, NAME / 3), Anchor::Start, "", &[("", words)]);
        self.at = self.at.by(across, 0);
    }
}
