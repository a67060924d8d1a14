//! How a table and a closed list of trade words are written down in code: a table has one line a column (its heading, its
//! other headings, whether it must be there, what it holds, its help), a list one line a word. No reading.

/// Defines a table: `pub(crate) const $shape: Shape`, and an enum `$columns` whose members are the columns in order.
macro_rules! shape {
    (
        $(#[$meta:meta])*
        $shape:ident = $name:literal, $further:ident, $columns:ident {
            $($column:ident = $heading:literal $([$($also:literal),+])?, $needed:ident, $holds:ident, $help:literal;)+
        }
    ) => {
        #[derive(Debug, Clone, Copy)]
        #[allow(dead_code, reason = "a note may be read by people alone")]
        pub(super) enum $columns {
            $($column,)+
        }

        $(#[$meta])*
        pub(crate) const $shape: crate::table::Shape = crate::table::Shape {
            name: $name,
            further: crate::table::Further::$further,
            columns: &[
                $(crate::table::Column {
                    heading: $heading,
                    also: &[$($($also),+)?],
                    required: crate::trade::shape::shape!(@$needed),
                    holds: crate::table::Holds::$holds,
                    help: $help,
                },)+
            ],
        };

        impl From<$columns> for usize {
            fn from(column: $columns) -> Self {
                column as Self
            }
        }
    };
    (@required) => { true };
    (@optional) => { false };
}

/// Defines a closed list of trade words: an enum, all its members in order, and the word for each with other spellings.
macro_rules! words {
    (
        $(#[$meta:meta])*
        $vis:vis enum $name:ident {
            $($(#[$of:meta])* $member:ident = $word:literal $([$($also:literal),+])?,)+
        }
    ) => {
        $(#[$meta])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        $vis enum $name {
            $($(#[$of])* $member,)+
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

        impl crate::trade::reading::Words for $name {
            const KNOWN: &'static [(Self, &'static str)] =
                &[$((Self::$member, $word),)+ $($($((Self::$member, $also),)+)?)+];
        }
    };
}

pub(super) use {shape, words};
