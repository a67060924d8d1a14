//! What users write down, typed: runs, patterns, parts, systems, price lists, settings of the job. No arithmetic.
//!
//! Each table has one file here that holds its columns, the type a row becomes, and the reading of it. [`Job::read`]
//! reads them all. Names are [`Word`]s of one [`Lexicon`], so that the floors above compare numbers, not texts.

mod alternates;
mod catalog;
mod check;
mod closed;
mod doubtful;
mod forgotten;
mod job;
pub mod kept;
mod labor;
mod lexicon;
mod like;
mod pack;
mod price_list;
mod reading;
mod run;
mod scope;
mod settings;
mod shape;
mod sides;
mod supplies;
mod tables;
mod tool;
pub mod used;

pub use alternates::Alternates;
pub use catalog::Catalog;
pub use catalog::code_rules::{Case, CheckOf, CodeRule, RuleUnit, Status};
pub use catalog::drains::{DrainUnits, MeetingRow, TurningRow};
pub use catalog::fits::{MeantFor, Thing};
pub use catalog::part::{Class, Part, PartId, UsedAs};
pub use catalog::pattern::{Adds, Pattern, PatternId, PatternRow, Per, Where};
pub use catalog::port::{Fit, Port, PortName, Sex};
pub use catalog::published::{Consumption, Fixture, SupportRule, TubeSize};
pub use catalog::system::{Seam, System, SystemId, TurnsAs};
pub use catalog::take_out::{TakeOut, Way};
pub use catalog::test_day::{PressureTest, TestGauge, TestMethod, Water};
pub use closed::{CLOSED, Closed};
pub use forgotten::OftenForgotten;
pub use job::Job;
pub use labor::{LaborRow, Nearness, WorkPer};
pub use lexicon::{Lexicon, Word};
pub use pack::{Pack, PricedPer, SoldAs};
pub use price_list::{Offer, PriceList};
pub(crate) use run::if_a_vent_is_meant;
pub use run::{
    ALWAYS_THERE, Angle, Attitude, Bearing, COLUMNS, Cell, Change, Course, Leg, Lie, Meeting, Met, Path,
    Phase, PlaceRow, ROOF, Run, RunColumn, Service, Side, Slope, Turned,
};
pub use scope::Scope;
pub(crate) use settings::JOB;
pub use settings::{
    Accepted, BidPaper, BidSettings, Crew, Customer, CutSettings, Firm, ITEMS, Item, Kerf, OrderNumber,
    OrderPaper, OrderSettings, Parties, ProfitAs, SaidFor, Settings, SlopeFor, StatedSum, Substitutes, SumAs,
    Taxed, TubeAllowance,
};
pub use sides::Sides;
pub use supplies::{Held, OnHand, Supplier};
pub use tables::{LISTS, SHAPES, TABLES};
pub use tool::{Had, ToolRow};
pub use used::Used;
