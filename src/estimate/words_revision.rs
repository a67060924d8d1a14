//! What is said of prices that are tried, and of workbooks that were filled in on site: every text of these stands here.

use std::fmt;

use crate::ground::{Notice, Severity, Spot};

/// Why a change of price was not made.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Refused {
    /// No part is named.
    NoPart,
    /// No part and no class goes by the word.
    UnknownPart {
        /// As written.
        word: String,
        /// What comes near it.
        near: Vec<String>,
    },
    /// No offer is of such a system, size, variant, color, supplier or code.
    UnknownWord {
        /// As written.
        word: String,
        /// What comes near it.
        near: Vec<String>,
    },
    /// The points are no number, or out of range.
    Points {
        /// As written.
        found: String,
    },
    /// No offer is all that is named.
    NoSuchOffer {
        /// As written.
        words: String,
    },
}

impl fmt::Display for Refused {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let near = |near: &[String]| match near {
            [] => String::new(),
            some => format!(
                "; nearest: {}",
                some.iter().map(|one| format!("\"{one}\"")).collect::<Vec<_>>().join(", ")
            ),
        };
        match self {
            Self::NoPart => f.write_str(
                "--price-change names no part; write the part, what narrows it behind commas, and the points apart: \
                 --price-change \"tube, copper\" 12",
            ),
            Self::UnknownPart { word, near: list } => {
                write!(f, "--price-change: no part and no class of parts is called \"{word}\"{}", near(list))
            }
            Self::UnknownWord { word, near: list } => write!(
                f,
                "--price-change: no offer has the system, size, variant, color, supplier or code \"{word}\"{}",
                near(list)
            ),
            Self::Points { found } => write!(
                f,
                "--price-change: \"{found}\" is no change in points; write a number above -100 and up to 1000: 12 or -5"
            ),
            Self::NoSuchOffer { words } => {
                write!(f, "--price-change: no offer of the price lists is for \"{words}\"; nothing would change")
            }
        }
    }
}

/// That an estimate stands on prices of no list.
pub(super) fn prices_tried(text: &str, offers: usize, spot: Spot) -> Notice {
    let offers = if offers == 1 { "1 offer".to_owned() } else { format!("{offers} offers") };
    Notice::new(
        Severity::Warning,
        "prices-changed",
        vec![spot],
        format!("prices are changed for a trial: {text}, {offers}"),
        "the prices of the lists, where anything is ordered or bid".to_owned(),
        "take it for a trial, and run it without --price-change before you order or bid".to_owned(),
    )
}

/// Something wrong or doubtful in a workbook that was filled in.
pub(super) enum Doubt<'a> {
    /// It was written for another job.
    OtherJob {
        /// The job it says.
        found: &'a str,
        /// The job it is held against.
        job: &'a str,
        /// Lines of it that the job has.
        matched: usize,
        /// All of its lines.
        lines: usize,
    },
    /// Nothing was filled in.
    NothingFilled,
    /// A filled line that the estimate has not.
    UnknownLine {
        /// What it says it is.
        called: &'a str,
        /// What the line of its number is now.
        of_number: Option<String>,
    },
    /// The same item stands on two lines that are filled.
    Twice {
        /// The item.
        called: &'a str,
        /// Where the first stands.
        first: Spot,
    },
    /// The estimate needs another quantity than when the workbook was written.
    NeedMoved {
        /// The item.
        called: &'a str,
        /// What the workbook says.
        then: String,
        /// What the estimate says.
        now: String,
    },
}

impl Doubt<'_> {
    pub(super) fn word(&self, spots: Vec<Spot>) -> Notice {
        let (severity, kind, found, expected, remedy) = match self {
            Self::OtherJob { found, job, matched, lines } => {
                let hold = *matched * 2 >= *lines;
                let severity = if hold { Severity::Warning } else { Severity::Error };
                let more = if hold { "" } else { "; nothing is compared" };
                let unnamed = |name: &str| {
                    if name.is_empty() { "a job without a name".to_owned() } else { format!("the job \"{name}\"") }
                };
                (
                    severity,
                    if hold { "used-of-another-name" } else { "used-of-another-job" },
                    format!(
                        "the workbook was written for {}, and this is {}; {matched} of its {lines} lines are those \
                         of this estimate{more}",
                        unnamed(found),
                        unnamed(job)
                    ),
                    "the workbook of this job, in the system that is chosen".to_owned(),
                    "name the job that the workbook was written for".to_owned(),
                )
            }
            Self::NothingFilled => (
                Severity::Warning,
                "used-nothing-filled",
                "no line says how much was used".to_owned(),
                "numbers under the heading used".to_owned(),
                "write down what was used, in the unit of each line; leave empty what nobody counted".to_owned(),
            ),
            Self::UnknownLine { called, of_number } => (
                Severity::Warning,
                "used-unknown-line",
                match of_number {
                    Some(now) => format!("the estimate has no {called}; the line of this number is {now}"),
                    None => format!("the estimate has no {called}"),
                },
                "part, size, system and variant as the workbook wrote them".to_owned(),
                "put back what the line said, or leave `used` empty; what was bought besides belongs in a note".to_owned(),
            ),
            Self::Twice { called, first } => (
                Severity::Warning,
                "used-line-twice",
                format!("{called} is filled in {first} already; this line is not taken"),
                "one line for each item".to_owned(),
                "add the two up on one line and leave the other empty".to_owned(),
            ),
            Self::NeedMoved { called, then, now } => (
                Severity::Warning,
                "used-need-moved",
                format!("the workbook was written when {called} needed {then}; the estimate needs {now} now"),
                "the job as it was built".to_owned(),
                "compare with the job as it was when the workbook was written, or read the variance with that in mind"
                    .to_owned(),
            ),
        };
        Notice::new(severity, kind, spots, found, expected, remedy)
    }
}
