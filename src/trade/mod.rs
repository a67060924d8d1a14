//! What users write down, typed: runs, patterns, parts, systems, price lists, terms of the job. No arithmetic.
//!
//! Each table has one file here that holds its columns, the type a row becomes, and the reading of it. [`Job::read`]
//! reads them all. Names are [`Word`]s of one [`Lexicon`], so that the floors above compare numbers, not texts.

pub mod alternate;
pub mod bid_terms;
pub mod built_in;
pub mod catalog;
mod check;
mod check_labor;
mod covered;
pub mod crew;
pub mod fixture;
mod folder;
pub mod held;
pub mod job;
pub mod joint;
pub mod labor;
pub mod lexicon;
mod merge;
pub mod on_hand;
pub mod order_terms;
mod pack;
pub mod part;
pub mod pattern;
pub mod place;
mod port;
pub mod price_list;
mod repriced;
mod row;
pub mod run;
pub mod run_column;
mod shape;
pub mod supplier;
pub mod support;
pub mod system;
pub mod table_list;
pub mod terms;
pub mod tool;
pub mod tube_size;
pub mod used;
mod words;

pub use alternate::{Alternates, Scope};
pub use bid_terms::{BidTerms, Fee, ProfitAs, Taxed};
pub use catalog::Catalog;
pub use crew::Crew;
pub use fixture::Fixture;
pub use held::Held;
pub use job::Job;
pub use joint::Consumption;
pub use labor::{LaborRow, WorkPer};
pub use lexicon::{Lexicon, Word};
pub use on_hand::OnHand;
pub use order_terms::{CutTerms, Kerf, OrderTerms};
pub use part::{Class, Fit, Part, PartId, Port, PortName, Sex, UsedAs};
pub use pattern::{Adds, Pattern, PatternId, PatternRow, Per, Where};
pub use place::PlaceRow;
pub use price_list::{Offer, Pack, PriceList, PricedPer, SoldAs};
pub use run::{Lie, Phase, Run, Service};
pub use supplier::Supplier;
pub use support::SupportRule;
pub use system::{Side, System, SystemId, TurnsAs};
pub use table_list::SHAPES;
pub use terms::{Substitutes, Terms, TubeAllowance};
pub use tool::{Had, ToolRow};
pub use tube_size::TubeSize;
pub use used::Used;
