//! The words of the picture: what each run is, what hangs at it, how far along it others tie in.

use super::super::labels::Area;
use super::super::style::{NAME, SMALL, wide_spans};
use super::super::svg::{Anchor, Dot, Span, wide};
use super::House;
use super::spots::{around, beside_legs, longest_legs};
use crate::estimate::map::{Along, Begins};

impl House<'_> {
    /// What each run is, along it.
    pub(super) fn names(&mut self) {
        for id in self.drawn().collect::<Vec<_>>() {
            let [name, rest] = self.style.label(self.run(id));
            let spans: [Span<'_>; 2] = [("bold", &name), ("", &rest)];
            let class = format!("over {}", self.class(id));
            let dots = self.dots[id.index()].clone();
            let high = NAME + 24;
            let width = wide_spans(&spans, NAME);
            let thick = self.style.width(self.run(id).size);
            let close = beside_legs(&dots, (width, high), thick);
            let middle = longest_legs(&dots).first().map_or(Dot::default(), |leg| leg.0.half_way(leg.1));
            let away = around(middle, (width, high), &[260, 420, 620]);
            let boxes =
                |spots: &[Dot]| spots.iter().map(|spot| Area::around(*spot, width, high)).collect::<Vec<_>>();
            let (close_boxes, away_boxes) = (boxes(&close), boxes(&away));
            let found = self.labels.best(&close_boxes, 0).map(|at| (close[at], false));
            let found = found.or_else(|| self.labels.best(&away_boxes, 0).map(|at| (away[at], true)));
            let found = found.or_else(|| self.labels.best(&close_boxes, 2).map(|at| (close[at], false)));
            let found = found.or_else(|| self.labels.best(&away_boxes, 3).map(|at| (away[at], true)));
            let Some((spot, leads)) = found else {
                self.nameless.push(id);
                continue;
            };
            if leads {
                let to = Dot::at(
                    middle.x.clamp(spot.x - width / 2, spot.x + width / 2),
                    middle.y.clamp(spot.y - high / 2, spot.y + high / 2),
                );
                self.svg.line("edge", (6, ""), &[middle, to]);
            }
            self.svg.words(spot.by(0, NAME / 3), Anchor::Middle, &class, &spans);
        }
    }

    /// Runs whose way nobody knows, where they join one that is drawn: the rest of them is below.
    pub(super) fn hanging(&mut self) {
        for id in self.map.order.clone() {
            let mapped = self.map.run(id);
            let from = match mapped.begins {
                Begins::Run(Along { run, at, .. }) if mapped.way.is_none() => {
                    self.map.run(run).way.as_ref().map(|way| self.on_paper.dot(way.part, way.point_at(at)))
                }
                Begins::Place(place) if mapped.way.is_none() && !self.map.place(place).always => {
                    self.clusters(self.map.place(place)).first().map(|(_, dot)| *dot)
                }
                Begins::Run(_) | Begins::Place(_) | Begins::Nothing => None,
            };
            let Some(from) = from else { continue };
            let class = self.class(id);
            let to = from.by(120, 150);
            let width = self.style.width(self.run(id).size);
            let told = format!(
                "{}; its path is not known: see below, not to scale",
                self.style.told(self.run(id), mapped)
            );
            self.svg.group("", &told, |svg| {
                svg.line("halo", (width + 24, ""), &[from, to]);
                svg.line(&format!("run {class}"), (width.min(26), "36 22"), &[from, to]);
            });
            self.labels.line(from, to);
            let [name, rest] = self.style.label(self.run(id));
            let spans: [Span<'_>; 3] = [("bold", &name), ("", &rest), ("gray", "  not to scale")];
            if !self.near(to, &spans, &format!("over {class}"), NAME) {
                self.nameless.push(id);
            }
        }
    }

    /// How far along its parent each run ties in, where there is room for it.
    pub(super) fn distances(&mut self) {
        for id in self.map.order.clone() {
            let Begins::Run(Along { at, is_end: false, .. }) = self.map.run(id).begins else { continue };
            let Some(dot) = self.dots[id.index()].first().copied() else { continue };
            let words = format!("at {}", self.style.length(at));
            let size = (wide(&words, SMALL) + 10, SMALL + 10);
            let spots = around(dot, size, &[30, 60, 110]);
            let boxes: Vec<Area> = spots.iter().map(|spot| Area::around(*spot, size.0, size.1)).collect();
            if let Some(at) = self.labels.best(&boxes, 0) {
                self.svg.words(
                    spots[at].by(0, SMALL / 3),
                    Anchor::Middle,
                    "over small gray",
                    &[("", &words)],
                );
            }
        }
    }

    /// Words near a spot, with a line to it where they stand away. Whether there was room.
    pub(super) fn near(&mut self, dot: Dot, spans: &[Span<'_>], class: &str, high: i64) -> bool {
        let size = (wide_spans(spans, high) + 16, high + 16);
        let spots = around(dot, size, &[50, 110, 220, 380, 560]);
        let boxes: Vec<Area> = spots.iter().map(|spot| Area::around(*spot, size.0, size.1)).collect();
        let found = self.labels.best(&boxes, 0).or_else(|| self.labels.best(&boxes, 2));
        let Some(at) = found else { return false };
        let spot = spots[at];
        let to = Dot::at(
            dot.x.clamp(spot.x - size.0 / 2, spot.x + size.0 / 2),
            dot.y.clamp(spot.y - size.1 / 2, spot.y + size.1 / 2),
        );
        if to.far_from(dot) > 150 {
            self.svg.line("edge", (6, ""), &[dot, to]);
        }
        let class = if high == SMALL { format!("{class} small") } else { class.to_owned() };
        self.svg.words(spot.by(0, high / 3), Anchor::Middle, &class, spans);
        true
    }

    /// Words along a line of two spots.
    pub(super) fn beside(&mut self, leg: (Dot, Dot), spans: &[Span<'_>], class: &str, high: i64) {
        let size = (wide_spans(spans, high) + 16, high + 16);
        let spots = beside_legs(&[leg.0, leg.1], size, 30);
        let boxes: Vec<Area> = spots.iter().map(|spot| Area::around(*spot, size.0, size.1)).collect();
        if let Some(at) = self.labels.best(&boxes, 2) {
            self.svg.words(spots[at].by(0, high / 3), Anchor::Middle, class, spans);
        }
    }
}
