//! How a table of this floor is written down in code: one line a column, that is its heading, its other headings,
//! whether it must be there, what it holds and its help. No reading; the files of the tables use it.

/// Defines a table: `pub const $shape: Shape`, and an enum `$columns` whose members are the columns in order.
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
        pub const $shape: crate::table::Shape = crate::table::Shape {
            name: $name,
            further: crate::table::Further::$further,
            columns: &[
                $(crate::table::Column {
                    heading: $heading,
                    also: &[$($($also),+)?],
                    required: shape!(@$needed),
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

pub(super) use shape;
