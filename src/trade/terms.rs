//! The terms of a job: what the table `job` says, item by item.

use rust_decimal::Decimal;

use super::lexicon::Word;
use super::part::Class;
use super::system::TurnsAs;
use crate::ground::{Date, LengthUnit, RowAt};

/// What the table `job` says; what it leaves out has the value a first job needs.
#[derive(Debug, Clone)]
pub struct Terms {
    /// The name of the job.
    pub name: Box<str>,
    /// The day prices must be good on; without it validity is not judged.
    pub date: Option<Date>,
    /// The currency, as written before or after sums: `USD`.
    pub currency: Box<str>,
    /// The system of water runs that name none.
    pub water_system: Word,
    /// The system of drain runs that name none.
    pub drain_system: Word,
    /// The systems to compare it with, in the order written.
    pub compare_with: Vec<Word>,
    /// Allowance by class, in points, with the row that says so.
    pub allowances: Vec<(Class, Decimal, Option<RowAt>)>,
    /// Added for what cannot be foreseen, in points of material.
    pub contingency: Decimal,
    /// Overhead in points.
    pub overhead: Decimal,
    /// Profit as a markup, in points.
    pub profit: Decimal,
    /// Sales tax in points of material.
    pub sales_tax: Decimal,
    /// Turns in systems that bend: nothing where the system decides.
    pub turns_in_plastic: TurnsAs,
    /// Whether tube is bought by color where the system sells it so.
    pub colors: bool,
    /// What a bare length is, and what lengths are shown in.
    pub units: LengthUnit,
    /// Static pressure in psi, if stated.
    pub static_pressure: Option<Decimal>,
    /// Code family, as written.
    pub code_family: Box<str>,
    /// What becomes of the tube allowance beside a cut plan.
    pub tube_allowance: TubeAllowance,
}

/// What becomes of the tube allowance where a cut plan stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TubeAllowance {
    /// The plan replaces it: nothing is added.
    Plan,
    /// A percentage on each piece.
    Piece,
    /// Spare length at the end: a percentage of the sum, cut as one more piece or more.
    End,
}
