//! How things look in a picture: color and dashes by service, thickness by size, the classes of words and marks. The colors of
//! services keep apart for eyes that do not tell red from green, and vents and returns are told by their dashes too.

use std::fmt::Write as _;

use super::svg::{Span, cut, wide};
use crate::estimate::map::{Mapped, whole};
use crate::ground::name::natural_key;
use crate::ground::size::sixteenths;
use crate::ground::{Length, LengthUnit};
use crate::report::facts::wording::tape;
use crate::report::form::{FONT, tint};
use crate::trade::{Job, Run, Service, Word};

/// How high words are: names of runs and places, what stands beside them, headings, the title.
pub(super) const NAME: i64 = 88;
pub(super) const SMALL: i64 = 74;
pub(super) const HEAD: i64 = 110;
pub(super) const TITLE: i64 = 170;

/// No name is written wider: what it is called stands where one points at it.
pub(super) const LONGEST_NAME: i64 = 2_000;

/// The thinnest and the thickest run, and what more a larger size has.
const THIN: i64 = 18;
const THICK: i64 = 76;
const STEP: i64 = 10;

/// How the runs of a job look.
pub(super) struct Style<'a> {
    job: &'a Job,
    /// The sizes of the job, the smallest first.
    pub(super) sizes: Vec<Word>,
    /// The services of the job.
    pub(super) services: Vec<Service>,
}

impl<'a> Style<'a> {
    /// The sizes and services of a job.
    pub(super) fn of(job: &'a Job) -> Self {
        let runs = || job.runs.iter();
        let mut sizes: Vec<Word> = runs().flat_map(|run| [Some(run.size), run.reduce_to]).flatten().collect();
        sizes.retain(|size| !size.is_empty());
        sizes.sort_unstable();
        sizes.dedup();
        // By the number in a size; of other names by their text, with the numbers in it by value.
        sizes.sort_by_cached_key(|size| {
            let text = job.lexicon.text(*size);
            (sixteenths(text), natural_key(text))
        });
        let services = Service::ALL.into_iter().filter(|of| runs().any(|run| run.service == *of));
        Self { job, sizes, services: services.collect() }
    }

    /// How thick a size is drawn.
    pub(super) fn width(&self, size: Word) -> i64 {
        let rank = self.sizes.iter().position(|known| *known == size).unwrap_or(0);
        let steps = i64::try_from(self.sizes.len()).unwrap_or(i64::MAX).saturating_sub(1).max(1);
        THIN + i64::try_from(rank).unwrap_or(0) * STEP.min((THICK - THIN) / steps)
    }

    /// The text of a word.
    pub(super) fn word(&self, word: Word) -> &'a str {
        self.job.lexicon.text(word)
    }

    /// The unit that lengths are said in.
    pub(super) fn unit(&self) -> LengthUnit {
        if self.job.settings.units == LengthUnit::Metre { LengthUnit::Metre } else { LengthUnit::Foot }
    }

    /// A length as a person says it.
    pub(super) fn length(&self, length: Length) -> String {
        let unit = self.unit();
        if unit == LengthUnit::Metre {
            return format!("{} {}", length.shown(unit).normalize(), unit.abbreviation());
        }
        tape(length).replace("' 0\"", "'")
    }

    /// A distance, to the nearest foot or half metre.
    pub(super) fn about(&self, nanometres: i64) -> String {
        let unit = self.unit();
        let step = if unit == LengthUnit::Metre { unit.nanometres() / 2 } else { unit.nanometres() };
        self.length(Length::from_nanometres((nanometres.saturating_add(step / 2)) / step * step))
    }

    /// The size of a run, and of its tail.
    pub(super) fn size(&self, run: &Run) -> String {
        match run.reduce_to {
            Some(tail) => format!("{} to {}", self.word(run.size), self.word(tail)),
            None => self.word(run.size).to_owned(),
        }
    }

    /// What is written along a run: its name, its size, its length.
    pub(super) fn label(&self, run: &Run) -> [String; 2] {
        let name = cut(&run.name, NAME, LONGEST_NAME);
        [name, format!("  {}  {}", self.size(run), self.length(whole(run)))]
    }

    /// What a run is, when one points at it.
    pub(super) fn told(&self, run: &Run, mapped: &Mapped) -> String {
        let [name, rest] = self.label(run);
        let mut told = format!("{name}: {}, {}", run.service.word(), rest.trim());
        let joins = run.joins.as_deref().map(|joins| match run.at {
            Some(at) => format!("joins {joins} at {}", self.length(at)),
            None => format!("joins {joins}"),
        });
        let path = run.path.as_ref().map(|path| path.as_typed(self.job.settings.units));
        let to = run.to.as_deref().map(|to| format!("to {to}"));
        let words = [run.level, run.area].map(|word| Some(self.word(word).to_owned()));
        let units = Some(mapped.units.normalize()).filter(|units| !units.is_zero());
        let units = units.map(|units| format!("{units} drainage units"));
        let out = mapped.out.as_ref().map(|why| format!("left out: {why}"));
        for part in [joins, path, to].into_iter().chain(words).chain([units, out]).flatten() {
            if !part.is_empty() {
                let _ = write!(told, "; {part}");
            }
        }
        told
    }
}

/// The class of a service, which its color goes by.
pub(super) fn class(service: Service, is_out: bool) -> &'static str {
    if is_out { "out" } else { service.word() }
}

/// The dashes of a service on a line so wide.
pub(super) fn dash(service: Service, is_out: bool, width: i64) -> String {
    match (is_out, service) {
        (true, _) => "40 40".to_owned(),
        (false, Service::Vent) => format!("{} {}", 60 + width, 30 + width / 2),
        (false, Service::Return) => format!("1 {}", 16 + width * 3 / 2),
        (false, Service::Cold | Service::Hot | Service::Mixed | Service::Drain) => String::new(),
    }
}

/// How wide spans are; the first is bold.
pub(super) fn wide_spans(spans: &[Span<'_>], high: i64) -> i64 {
    spans.iter().map(|(_, words)| wide(words, high)).sum::<i64>() * 53 / 50
}

/// The color of a service.
pub(in crate::report) const fn color(service: Service) -> u32 {
    match service {
        Service::Cold => 0x1B_6CA8,
        Service::Hot => 0xD2_5A12,
        Service::Mixed => 0x7B_4FA3,
        Service::Return => 0xA0_7608,
        Service::Drain => 0x3C_464C,
        Service::Vent => 0x1F_8A70,
    }
}

/// How the classes of a picture look.
pub(super) fn look() -> String {
    let mut look = format!(
        "text{{font-family:{FONT},Helvetica,sans-serif;font-size:{NAME}px;fill:#2b3236}}\n\
         .over{{paint-order:stroke;stroke:#fff;stroke-width:34px;stroke-linejoin:round}}\n\
         .run,.halo,.edge,.thin{{fill:none;stroke-linejoin:round}}\n\
         .halo{{stroke:#fff}}\n.bold{{font-weight:bold}}\n.small{{font-size:{SMALL}px}}\n\
         .head{{font-size:{HEAD}px;font-weight:bold;fill:#{accent:06x}}}\n\
         .title{{font-size:{TITLE}px;font-weight:bold;fill:#{accent:06x}}}\n\
         .gray{{fill:#{gray:06x};font-weight:normal}}\n.warn{{fill:#{warn:06x}}}\n\
         .paper{{fill:#fff}}\n.floor{{fill:#{light:06x};fill-opacity:.35;stroke:#{middle:06x};stroke-width:7}}\n\
         .level{{fill:#{accent:06x};font-style:italic}}\n\
         .edge{{stroke:#{middle:06x};stroke-width:8}}\n.thin{{stroke:#{rule:06x};stroke-width:7}}\n\
         .open{{fill:#fff;stroke:#2b3236;stroke-width:14}}\n.place{{fill:#2b3236;stroke:#fff;stroke-width:10}}\n\
         .part{{fill:none;stroke:#{warn:06x};stroke-width:22}}\n\
         .ring{{fill:none;stroke:#{warn:06x};stroke-width:28}}\n.badge{{fill:#{warn:06x};stroke:#fff;stroke-width:10}}\n\
         .number{{fill:#fff;font-weight:bold;font-size:{SMALL}px}}\n\
         .box{{fill:#{warn_light:06x};stroke:#{warn:06x};stroke-width:8}}\n\
         .run.out{{stroke:#{gray:06x}}}\n.tee.out{{fill:#fff;stroke:#{gray:06x}}}\n.arrow.out,text.out{{fill:#{gray:06x}}}\n\
         .tee{{stroke-width:16}}\n.arrow{{stroke:#fff;stroke-width:6}}\n",
        accent = tint::ACCENT,
        middle = tint::ACCENT_MIDDLE,
        light = tint::ACCENT_LIGHT,
        rule = tint::RULE,
        gray = tint::GRAY,
        warn = tint::WARN,
        warn_light = tint::WARN_LIGHT,
    );
    for service in Service::ALL {
        let (word, color) = (service.word(), color(service));
        let _ = writeln!(
            look,
            ".run.{word}{{stroke:#{color:06x}}}.tee.{word}{{fill:#fff;stroke:#{color:06x}}}.arrow.{word},text.{word}{{fill:#{color:06x}}}"
        );
    }
    look.push_str(".run.return{stroke-linecap:round}\n");
    look
}
