//! How tables, closed lists of trade words and notices of unknown names are written down in code: a table has one entry a
//! column (its heading, its other headings, whether it must be there, what it holds, its help), a list one line a word.
//! No reading.

use crate::ground::name::fold_heading;
use crate::ground::notice::Finding;

/// Defines a table: `pub(crate) const $shape: Shape`, and an enum `$columns` whose members are the columns in order.
macro_rules! shape {
    (
        $(#[$meta:meta])*
        $shape:ident = $name:literal, $further:ident, $columns:ident {
            $($column:ident = $heading:literal $([$($also:literal),+])?, $needed:ident, $holds:ident, $help:literal;)+
        }
    ) => {
        #[derive(Debug, Clone, Copy)]
        #[allow(dead_code, non_camel_case_types, reason = "a note is read by people alone; a column goes by its field")]
        pub(super) enum $columns {
            $($column,)+
        }

        $(#[$meta])*
        pub(crate) const $shape: crate::table::Shape = crate::table::Shape {
            name: $name,
            further: crate::table::Further::$further,
            columns: &[
                $(crate::trade::shape::shape!(@column $heading [$($($also),+)?] $needed $holds $help),)+
            ],
        };

        impl From<$columns> for usize {
            fn from(column: $columns) -> Self {
                column as Self
            }
        }
    };
    (@column $heading:literal [$($also:literal),*] $needed:ident $holds:ident $help:literal) => {
        crate::table::Column {
            heading: $heading,
            also: &[$($also),*],
            required: crate::trade::shape::shape!(@$needed),
            unless: crate::trade::shape::shape!(@unless $needed),
            holds: crate::table::Holds::$holds,
            help: $help,
        }
    };
    (@required) => { true };
    (@required_or_path) => { true };
    (@optional) => { false };
    (@unless required) => { None };
    (@unless required_or_path) => { Some("path") };
    (@unless optional) => { None };
}

/// Defines a table whose rows are read cell by cell: its shape, its columns, the type that a row becomes, and the reading of
/// a row. Each column is one entry: field and type, heading and other headings, whether it must be there, what it holds,
/// its help, and how its cell is read, where the fields before it are known. Behind `given` stands what a row is read
/// with; behind `first` and `unread` are columns that become no field, behind `beside` fields that are no column. Rows in error are
/// kept where the type has a field that says so.
macro_rules! table {
    (
        $(#[$meta:meta])*
        $shape:ident = $name:literal, $further:ident, $columns:ident $(first {
            $($lead:ident = $lead_heading:literal, $lead_needed:ident, $lead_holds:ident, $lead_help:literal;)+
        })?;
        $(#[$of:meta])*
        $row:ident $(($in_error:ident))? $(given $given:ident: $asked:ty)? {
            $($field:ident: $type:ty = $heading:literal $([$($also:literal),+])?, $needed:ident, $holds:ident, $help:literal;
                $read:expr;)+
        } $(unread {
            $($unread:ident = $written:literal, $unneeded:ident, $unheld:ident, $why:literal;)+
        })? $(beside {
            $($(#[$about:meta])* $other:ident: $kind:ty; $found:expr;)+
        })?
    ) => {
        crate::trade::shape::shape! {
            $(#[$meta])*
            $shape = $name, $further, $columns {
                $($($lead = $lead_heading, $lead_needed, $lead_holds, $lead_help;)+)?
                $($field = $heading $([$($also),+])?, $needed, $holds, $help;)+
                $($($unread = $written, $unneeded, $unheld, $why;)+)?
            }
        }

        $(#[$of])*
        #[derive(Debug, Clone)]
        pub struct $row {
            /// Where it stands.
            pub row: crate::ground::RowAt,
            $(
                /// Whether a cell of the row was misread or contradicts another: it is not used.
                pub $in_error: bool,
            )?
            $(#[doc = $help] pub $field: $type,)+
            $($($(#[$about])* pub $other: $kind,)+)?
        }

        impl $row {
            /// Reads a row cell by cell.
            pub(super) fn read(row: &mut Row<'_, '_> $(, $given: $asked)?) -> Self {
                $(let $field: $type = row.cell($columns::$field, $read);)+
                $($(let $other: $kind = row.beside($found);)+)?
                Self { row: row.at(), $($in_error: row.in_error(),)? $($field,)+ $($($other,)+)? }
            }
        }
    };
}

/// Defines a closed list of trade words: an enum, all its members in order, the word for each with other spellings, and what
/// each means: its doc comment.
macro_rules! words {
    (@about) => { "" };
    (@about [doc = $about:literal] $($rest:tt)*) => {
        concat!($about, crate::trade::shape::words!(@about $($rest)*))
    };
    (@about [$($other:tt)*] $($rest:tt)*) => { crate::trade::shape::words!(@about $($rest)*) };
    (
        $(#[$meta:meta])*
        $vis:vis enum $name:ident {
            $($(#[$($of:tt)+])* $member:ident = $word:literal $([$($also:literal),+])?,)+
        }
    ) => {
        $(#[$meta])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        $vis enum $name {
            $($(#[$($of)+])* $member,)+
        }

        #[allow(dead_code, reason = "not every list is shown or gone through")]
        impl $name {
            /// All of them in the order in which sheets list them.
            $vis const ALL: [Self; [$($word),+].len()] = [$(Self::$member),+];

            /// The word for it in every table.
            $vis const fn word(self) -> &'static str {
                match self {
                    $(Self::$member => $word,)+
                }
            }
        }

        impl crate::trade::shape::Words for $name {
            const KNOWN: &'static [(Self, &'static str)] =
                &[$((Self::$member, $word),)+ $($($((Self::$member, $also),)+)?)+];
            const ABOUT: &'static [(&'static str, &'static str)] =
                &[$(($word, crate::trade::shape::words!(@about $([$($of)+])*)),)+];
        }
    };
}

/// A closed list of trade words, as the macro `words!` writes one.
pub(crate) trait Words: Copy + 'static {
    /// Each with its word, then with other spellings.
    const KNOWN: &'static [(Self, &'static str)];
    /// The word for each and what it means.
    const ABOUT: &'static [(&'static str, &'static str)];

    /// What a word means.
    fn of_word(text: &str) -> Option<Self> {
        pick(text, Self::KNOWN)
    }

    /// All words, for a notice.
    fn all_words() -> Vec<&'static str> {
        Self::KNOWN.iter().map(|(_, word)| *word).collect()
    }
}

/// The meaning of a trade word, without regard to case, spaces and hyphens.
pub(super) fn pick<T: Copy>(text: &str, known: &[(T, &'static str)]) -> Option<T> {
    let plain = known.iter().find(|(_, word)| word.eq_ignore_ascii_case(text));
    plain
        .or_else(|| {
            let folded = fold_heading(text);
            known.iter().find(|(_, word)| fold_heading(word) == folded)
        })
        .map(|(value, _)| *value)
}

/// Defines notices of names that nothing has: as `findings!`, but the last text is what to do where no other name is near,
/// and the function takes the names that there are. Behind `meant` stand those whose cell holds one name alone: the
/// nearest is what may have been meant in it.
macro_rules! unknown_names {
    ($(
        $(#[$doc:meta])*
        $vis:vis fn $name:ident($($arg:ident),+) =
            $weight:ident($kind:literal, $text:literal, $expected:literal, $otherwise:literal) $($meant:ident)?;
    )+) => {$(
        $(#[$doc])*
        $vis fn $name<'a>($($arg: &str),+, names: impl Iterator<Item = &'a str>) -> crate::ground::notice::Finding {
            let near = crate::ground::name::nearest(crate::trade::shape::last(&[$($arg),+]), names);
            let remedy = crate::trade::shape::type_nearest(&near, $otherwise);
            let finding = crate::ground::notice::$weight($kind, format!($text), $expected, remedy);
            $(let finding = crate::trade::shape::$meant(finding, &near);)?
            finding
        }
    )+};
}

/// The last of some texts.
pub(super) fn last<'a>(texts: &[&'a str]) -> &'a str {
    texts.last().copied().unwrap_or_default()
}

/// The remedy where a name may be another one misspelled: the nearest names, or else something to do.
pub(super) fn type_nearest(near: &[&str], otherwise: &str) -> String {
    let quoted: Vec<String> = near.iter().map(|name| format!("\"{name}\"")).collect();
    match quoted.join(" or ") {
        none if none.is_empty() => otherwise.to_owned(),
        some => format!("type {some} if that is meant, or {otherwise}"),
    }
}

/// The finding, with the nearest name as what may have been meant, where there is one.
pub(super) fn meant(finding: Finding, near: &[&str]) -> Finding {
    match near.first() {
        Some(first) => finding.meaning(*first),
        None => finding,
    }
}

pub(super) use {shape, table, unknown_names, words};
