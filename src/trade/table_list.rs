//! The list of all tables of a job, each with its columns and their help: what `new` writes and the README prints.

use crate::table::Shape;

/// The tables that a job may hold, in the order in which documents list them.
pub const SHAPES: [&Shape; 17] = [
    &super::terms::JOB,
    &super::run::RUNS,
    &super::place::PLACES,
    &super::price_list::PRICES,
    &super::pattern::PATTERNS,
    &super::part::PARTS,
    &super::system::SYSTEMS,
    &super::tube_size::SIZES,
    &super::joint::JOINTS,
    &super::support::SUPPORTS,
    &super::fixture::FIXTURES,
    &super::labor::LABOR,
    &super::tool::TOOLS,
    &super::supplier::SUPPLIERS,
    &super::on_hand::ON_HAND,
    &super::held::HELD,
    &super::ordinary::ORDINARY,
];
