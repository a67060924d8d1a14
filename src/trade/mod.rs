//! What users write down, typed: runs, patterns, parts, systems, price lists, terms of the job. No arithmetic.
//!
//! Each table has one file here that holds its columns, the type a row becomes, and the reading of it. [`job::read`]
//! reads them all. Names are [`Word`]s of one [`Lexicon`], so that the floors above compare numbers, not texts.

pub mod catalog;
pub mod job;
pub mod lexicon;
pub mod part;
pub mod pattern;
pub mod place;
pub mod price_list;
pub mod run;
pub mod system;
pub mod terms;

pub use catalog::Catalog;
pub use job::Job;
pub use lexicon::{Lexicon, Word};
pub use part::{Class, Fit, Part, PartId, Port, Sex, UsedAs};
pub use pattern::{Pattern, PatternId, PatternRow, Per, Where};
pub use place::{Fixture, PlaceRow};
pub use price_list::{Offer, Pack, PriceList, PricedPer, SoldAs};
pub use run::{Lie, Phase, Run, Service};
pub use system::{Consumption, Side, SupportRule, System, SystemId, TubeSize, TurnsAs};
pub use terms::Terms;
