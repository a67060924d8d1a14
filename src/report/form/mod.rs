//! The forms of files: columns and their cells, CSV, JSON, a sheet and how it looks, and a folder of files put in its place
//! whole. It knows no table; `files`, `book`, `revised` and the starter are written with it.

pub(super) mod column;
pub(super) mod csv;
pub(super) mod json;
pub(super) mod look;
pub(super) mod page;
pub(super) mod whole;
