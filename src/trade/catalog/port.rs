//! The openings of a part as the table `parts` writes them: `joint, joint, male thread 3/4`, `hot return: joint`,
//! `mixed: plugged: joint`, `cold: site male thread 3/4`. Only the grammar; `part` reads the table.

use crate::ground::name::fold;
use crate::ground::size::canonical;
use crate::trade::lexicon::{Lexicon, Word};
use crate::trade::run::Service;
use crate::trade::run::Side;
use crate::trade::shape::words;

words! {
    /// The two sides of a thread.
    pub enum Sex {
        /// Outside thread.
        Male = "male",
        /// Inside thread.
        Female = "female",
    }
}

impl Sex {
    /// The one it screws into.
    pub const fn opposite(self) -> Self {
        match self {
            Self::Male => Self::Female,
            Self::Female => Self::Male,
        }
    }
}

/// How one opening of a part joins. A socket takes a tube end, whatever its shape (barb, cup, press...).
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Fit {
    /// `joint`: the socket of the run's system, or of the system named (`copper-solder joint`).
    Joint(Option<Word>),
    /// `tube end`: a male end of the run's system (a street end, a spigot), or of the system named.
    TubeEnd(Option<Word>),
    /// `male thread`, `female thread`.
    Thread(Sex),
    /// `compression`: a nut and ferrule over a tube end of any system; it asks for nothing more.
    Compression,
    /// `closed`: nothing can join it, nothing need.
    Closed,
    /// `closed tube end`: shut in its phase, a male end later (a stop goes over a stub-out).
    ClosedTubeEnd,
}

/// What a port is called where the part has sides.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub enum PortName {
    /// It takes any service.
    Unnamed,
    /// It takes these services.
    Services(Box<[Service]>),
    /// The inlet of a manifold.
    In,
}

/// One opening of a part.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub struct Port {
    /// What it is called.
    pub name: PortName,
    /// `plugged:` it is plugged where nothing fills it.
    pub plugged: bool,
    /// `site`: it is there on site already and is not bought.
    pub site: bool,
    /// How it joins.
    pub fit: Fit,
    /// A size of its own.
    pub size: Option<Word>,
}

impl Port {
    /// Whether it is of the water side or of the drain side; nothing of one that takes any service.
    pub fn side(&self) -> Option<Side> {
        match &self.name {
            PortName::Services(services) => services.first().map(|service| service.side()),
            PortName::Unnamed | PortName::In => None,
        }
    }
}

/// The openings in the order written, or what stands in the way of reading them.
pub(super) fn read(text: &str, lexicon: &mut Lexicon) -> Result<Vec<Port>, &'static str> {
    if text.trim().is_empty() {
        return Ok(Vec::new());
    }
    text.split(',').map(|one| read_one(&fold(one), lexicon)).collect()
}

fn read_one(text: &str, lexicon: &mut Lexicon) -> Result<Port, &'static str> {
    let mut name = PortName::Unnamed;
    let mut plugged = false;
    let mut rest = text;
    while let Some((front, back)) = rest.split_once(':') {
        match front.trim() {
            "plugged" => plugged = true,
            "in" => name = PortName::In,
            services => name = PortName::Services(read_services(services)?),
        }
        rest = back.trim();
    }
    let (site, rest) = match rest.strip_prefix("site ") {
        Some(rest) => (true, rest),
        None => (false, rest),
    };
    let (before, fit, after) = split_at_fit(rest).ok_or("an opening has no word for how it joins")?;
    let system = (!before.is_empty()).then(|| lexicon.word(before));
    let size = if after.is_empty() {
        None
    } else {
        Some(lexicon.word(&canonical(after).ok_or("a size cannot be read")?))
    };
    let fit = match (fit, system) {
        (Plain::Joint, system) => Fit::Joint(system),
        (Plain::TubeEnd, system) => Fit::TubeEnd(system),
        (Plain::Thread(sex), None) => Fit::Thread(sex),
        (Plain::Compression, None) => Fit::Compression,
        (Plain::Closed, None) => Fit::Closed,
        (Plain::ClosedTubeEnd, None) => Fit::ClosedTubeEnd,
        (Plain::Thread(_) | Plain::Compression | Plain::Closed | Plain::ClosedTubeEnd, Some(_)) => {
            return Err("only a joint and a tube end may name a system");
        }
    };
    Ok(Port { name, plugged, site, fit, size })
}

fn read_services(text: &str) -> Result<Box<[Service]>, &'static str> {
    let services: Option<Vec<Service>> = text
        .split_whitespace()
        .map(|word| Service::ALL.into_iter().find(|service| service.word() == word))
        .collect();
    match services {
        Some(list) if !list.is_empty() => Ok(list.into()),
        Some(_) | None => Err("before a colon comes a service, \"in\" or \"plugged\""),
    }
}

/// How an opening joins, before the system it may name.
#[derive(Clone, Copy)]
enum Plain {
    Joint,
    TubeEnd,
    Thread(Sex),
    Compression,
    Closed,
    ClosedTubeEnd,
}

/// Longer words before the words they hold.
const FITS: [(&str, Plain); 7] = [
    ("closed tube end", Plain::ClosedTubeEnd),
    ("tube end", Plain::TubeEnd),
    ("female thread", Plain::Thread(Sex::Female)),
    ("male thread", Plain::Thread(Sex::Male)),
    ("compression", Plain::Compression),
    ("closed", Plain::Closed),
    ("joint", Plain::Joint),
];

/// What stands before the word of a fit, the fit, and what stands after it.
fn split_at_fit(text: &str) -> Option<(&str, Plain, &str)> {
    FITS.iter().find_map(|(word, fit)| {
        let start = text.find(word)?;
        let (before, rest) = text.split_at(start);
        let after = rest.get(word.len()..)?;
        let whole =
            (before.is_empty() || before.ends_with(' ')) && (after.is_empty() || after.starts_with(' '));
        whole.then(|| (before.trim(), *fit, after.trim()))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read_all(text: &str) -> (Result<Vec<Port>, &'static str>, Lexicon) {
        let mut lexicon = Lexicon::default();
        let ports = read(text, &mut lexicon);
        (ports, lexicon)
    }

    fn plain(fit: Fit) -> Port {
        Port { name: PortName::Unnamed, plugged: false, site: false, fit, size: None }
    }

    #[test]
    fn every_way_to_write_an_opening_is_read() {
        for (text, fit) in [
            ("joint", Fit::Joint(None)),
            ("Tube  End", Fit::TubeEnd(None)),
            ("male thread", Fit::Thread(Sex::Male)),
            ("female thread", Fit::Thread(Sex::Female)),
            ("compression", Fit::Compression),
            ("closed", Fit::Closed),
            ("closed tube end", Fit::ClosedTubeEnd),
        ] {
            assert_eq!(read_all(text).0, Ok(vec![plain(fit)]), "{text}");
        }
    }

    #[test]
    fn an_opening_may_have_a_system_and_a_size_of_its_own() {
        let (ports, lexicon) = read_all("joint, copper-solder joint, female thread 3/4\"");
        let ports = ports.unwrap();
        assert_eq!(ports[1].fit, Fit::Joint(lexicon.find("copper-solder")));
        assert_eq!(ports[2].size, lexicon.find("3/4"));
        assert_eq!(ports.len(), 3);
    }

    #[test]
    fn names_services_plugs_and_site_are_read_in_front_of_an_opening() {
        let (ports, _) =
            read_all("hot return: joint, mixed: plugged: joint, in: joint, cold: site male thread 3/4");
        let ports = ports.unwrap();
        assert_eq!(ports[0].name, PortName::Services([Service::Hot, Service::Return].into()));
        assert!(ports[1].plugged && ports[1].name == PortName::Services([Service::Mixed].into()));
        assert_eq!(ports[2].name, PortName::In);
        assert!(ports[3].site && ports[3].fit == Fit::Thread(Sex::Male));
    }

    #[test]
    fn what_is_no_opening_is_refused() {
        for text in
            ["joint,", "threaded", "warm: joint", "copper-solder male thread", "jointed", ": joint", "site"]
        {
            assert!(read_all(text).0.is_err(), "{text}");
        }
    }

    #[test]
    fn a_part_without_openings_has_an_empty_list() {
        assert_eq!(read_all("  ").0, Ok(Vec::new()));
    }
}
