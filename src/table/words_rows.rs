//! The words of this floor's notices about whole rows: comments, headings once more, sums, and what a spreadsheet hides.

use super::words::{Words, words};
use crate::ground::Severity;

/// What can be told of rows that are no rows, or that nobody sees.
#[derive(Debug)]
pub(super) enum RowTrouble<'a> {
    /// Rows that begin with `#`.
    Comments { rows: u32 },
    /// Rows whose first cell is `#` and a number, which may be a name.
    NumberedComments { rows: u32 },
    /// The headings once more.
    HeadingsAgain { rows: u32 },
    /// A row that is the sum of rows above.
    Sum,
    /// A row that is named as a sum and is none.
    NamedAsSum,
    /// The last row is the sum of all others and is not named so.
    LikeASum,
    /// Rows that a spreadsheet hides.
    HiddenRows { rows: &'a str, one: bool },
    /// A column that a spreadsheet hides.
    HiddenColumn { heading: &'a str },
}

impl RowTrouble<'_> {
    pub(super) fn words(self) -> Words {
        use Severity::{Error, Remark, Warning};
        match self {
            Self::Comments { rows } => words(
                Remark,
                "comment-rows",
                match rows {
                    1 => "a row begins with # and is passed over as a comment".to_owned(),
                    rows => format!("{rows} rows begin with # and are passed over as comments"),
                },
                "# before what is to be read by people alone",
                "nothing; where a row is meant, take its # away".to_owned(),
            ),
            Self::NumberedComments { rows } => words(
                Warning,
                "comment-or-name",
                match rows {
                    1 => "a row begins with # and a number and is passed over as a comment".to_owned(),
                    rows => format!("{rows} rows begin with # and a number and are passed over as comments"),
                },
                "a name without # before it, or a comment",
                "take the # away where the row is meant; type a space behind it where it is a comment"
                    .to_owned(),
            ),
            Self::HeadingsAgain { rows } => words(
                Remark,
                "headings-again",
                match rows {
                    1 => "the headings stand here once more: the row is passed over".to_owned(),
                    rows => {
                        format!("the headings stand here and in {} more rows: they are passed over", rows - 1)
                    }
                },
                "headings once, over the first row",
                "nothing, or take them out".to_owned(),
            ),
            Self::Sum => words(
                Error,
                "sum-row",
                "the row is the sum of rows above and is left out".to_owned(),
                "rows of the table alone: sums are made by the program",
                "take the row out".to_owned(),
            ),
            Self::NamedAsSum => words(
                Warning,
                "named-as-sum",
                "the row is named as a sum and is read as a row: its figures are not the sums of the rows above".to_owned(),
                "rows of the table alone: sums are made by the program",
                "take the row out if it is a sum; else give it another name".to_owned(),
            ),
            Self::LikeASum => words(
                Warning,
                "like-a-sum",
                "the last row is read, and its figures are the sums of all other rows".to_owned(),
                "rows of the table alone: sums are made by the program",
                "take the row out if it is a sum".to_owned(),
            ),
            Self::HiddenRows { rows, one } => words(
                Warning,
                "hidden-rows",
                match one {
                    true => format!("row {rows} is hidden and is read"),
                    false => format!("rows {rows} are hidden and are read"),
                },
                "what is read in sight",
                "show all rows and look at them: filters count too; take out what is not meant".to_owned(),
            ),
            Self::HiddenColumn { heading } => words(
                Warning,
                "hidden-column",
                format!("the column {heading} is hidden and is read"),
                "what is read in sight",
                "show the column and look at it; take it out if it is not meant".to_owned(),
            ),
        }
    }
}
