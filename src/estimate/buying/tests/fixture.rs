//! A small invented house of lines and offers for tests of needs, buying, costing and comparison.

use std::ops::{Deref, DerefMut};

use rust_decimal::Decimal;

use super::super::{Bought, Market, buy, make_up};
use crate::estimate::item::Sizes;
use crate::estimate::takeoff::{Because, Line, Piece, Subject, Takeoff};
use crate::estimate::{Color, Item, ItemId, Items, RunId};
use crate::ground::spot::Source;
use crate::ground::{Length, LengthUnit, RowAt, SourceId, Sources};
use crate::trade::*;

/// A decimal number.
pub(crate) fn d(text: &str) -> Decimal {
    Decimal::from_str_exact(text).unwrap()
}

/// An invented house. One system, `pex-clamp` on the tube `pex`, in all its sizes.
pub(crate) struct House {
    pub(crate) job: Job,
    pub(crate) items: Items,
    pub(crate) lines: Vec<Line>,
    pub(crate) pieces: Vec<Piece>,
    /// One row of each table, as it is read where only its first cells are filled.
    rows: (Part, Offer, Supplier, OnHand, Held),
}

impl Deref for House {
    type Target = Job;

    fn deref(&self) -> &Job {
        &self.job
    }
}

impl DerefMut for House {
    fn deref_mut(&mut self) -> &mut Job {
        &mut self.job
    }
}

impl House {
    pub(crate) fn new() -> Self {
        let mut job = Job::from_texts(&[
            ("runs", "run,service,size,length\nC1,cold,3/4,10\n"),
            ("prices", "supplier,part,size,price\nInvented Supply,elbow,3/4,1\n"),
            ("suppliers", "supplier,delivery fee,least order\nInvented Supply,0,0\n"),
            ("on hand", "part,size,quantity\nelbow,3/4,1\n"),
            ("held", "part,size,offer,packs\nelbow,3/4,\"Invented Supply, each\",1\n"),
        ]);
        let part = job.catalog.part(job.catalog.parts_called(job.prices.offers[0].part)[0]).clone();
        let row = RowAt { source: SourceId(0), row: 1 };
        let part =
            Part { row, used_as: Box::default(), also: Box::default(), systems: Box::default(), ..part };
        let rows = (
            Part { note: "".into(), section: Word::EMPTY, ..part },
            job.prices.offers.remove(0),
            job.suppliers.remove(0),
            job.on_hand.remove(0),
            job.held.remove(0),
        );
        let (name, tube) = (job.lexicon.word("pex-clamp"), job.lexicon.word("pex"));
        let system = job.catalog.systems.iter().find(|system| system.name == name).unwrap().clone();
        let (sold_in, in_words) = Default::default();
        let (variant, least_piece) = (Word::EMPTY, Length::whole(2, LengthUnit::Inch));
        let system = System { stock_length: None, colors: false, sold_in, in_words, ..system };
        let mut catalog = Catalog::default();
        catalog.systems.push(System { variant, least_piece, ..system });
        catalog.sizes = job.catalog.sizes.iter().filter(|size| size.tube == tube).cloned().collect();
        let mut sources = Sources::default();
        for file in ["prices.csv", "runs.csv"] {
            sources.add(Source { file: file.into(), sheet: None, built_in: false, headings: Vec::new() });
        }
        job.catalog = catalog;
        job.sources = sources;
        job.runs[0].row = RowAt { source: SourceId(1), row: 7 };
        (job.settings.units, job.settings.currency) = (LengthUnit::Foot, Box::from("USD"));
        job.settings.allowances.clear();
        let mut house = Self { job, items: Items::default(), lines: Vec::new(), pieces: Vec::new(), rows };
        house.index();
        house
    }

    /// Brings the indices of the catalog up to date.
    pub(crate) fn index(&mut self) {
        self.job.catalog.index(&mut self.job.lexicon);
    }

    /// The item of a part in the house's system; the part is made where there is none of that name.
    pub(crate) fn item(&mut self, name: &str, sizes: &[&str], class: Class, unit: &str) -> ItemId {
        let word = self.job.lexicon.word(name);
        let known = self.catalog.parts.iter().position(|part| part.word == word);
        let at = known.unwrap_or_else(|| {
            let part = self.part(name, word, class);
            self.catalog.parts.push(part);
            self.index();
            self.catalog.parts.len() - 1
        });
        let sizes: Vec<Word> = sizes.iter().map(|size| self.job.lexicon.word(size)).collect();
        let is_tee = name == "tee";
        self.items.id(Item {
            part: PartId(u32::try_from(at).unwrap()),
            system: Some(SystemId(0)),
            sizes: Sizes::of(&sizes, is_tee),
            variant: Word::EMPTY,
            color: Color::None,
            class,
            unit: self.job.lexicon.word(unit),
        })
    }

    fn part(&mut self, name: &str, word: Word, class: Class) -> Part {
        let port =
            Port { name: PortName::Unnamed, plugged: false, site: false, fit: Fit::Joint(None), size: None };
        let (ports, used_as, also) = match name {
            "tee" => (3, vec![UsedAs::Tee], vec![self.job.lexicon.word("branch tee")]),
            "reducing coupling" => {
                (2, vec![UsedAs::ReducingCoupling], vec![self.job.lexicon.word("reducer")])
            }
            "solder" => (0, vec![], vec![]),
            _ => (2, vec![], vec![]),
        };
        Part {
            name: name.into(),
            word,
            ports: vec![port; ports].into(),
            class,
            used_as: used_as.into(),
            also: also.into(),
            ..self.rows.0.clone()
        }
    }

    /// A row of the joints table; its index.
    pub(crate) fn joint_row(&mut self, part: &str, amount: &str, unit: &str, per: u32) -> u32 {
        let part = self.job.lexicon.word(part);
        let unit = self.job.lexicon.word(unit);
        self.catalog.joints.push(Consumption {
            row: RowAt { source: SourceId(0), row: 1 },
            joint: Word::EMPTY,
            size: Word::EMPTY,
            part,
            amount: d(amount),
            unit,
            per,
            source: "".into(),
        });
        u32::try_from(self.catalog.joints.len() - 1).unwrap()
    }

    /// A line of the takeoff.
    pub(crate) fn line(
        &mut self,
        item: ItemId,
        count: i64,
        joint: Option<u32>,
        run: u32,
        phase: Phase,
        service: Option<Service>,
    ) {
        let subject = Subject::Run(RunId(run));
        let because = Because::Length;
        self.lines.push(Line { item, count, joint, subject, because, service, phase, area: Word::EMPTY });
    }

    /// So many of an item.
    pub(crate) fn need(&mut self, item: ItemId, count: i64) {
        self.line(item, count, None, 0, Phase::RoughIn, Some(Service::Cold));
    }

    /// Pieces of tube, their length in feet, and their lines.
    pub(crate) fn tube(&mut self, item: ItemId, feet: &str, copies: u32, no_joint: bool) {
        let length = Length::from_decimal(d(feet), LengthUnit::Foot).unwrap();
        let (part, cut) = (Default::default(), Default::default());
        self.pieces.push(Piece { item, length, run: RunId(0), copies, no_joint, part, cut });
        self.need(item, length.nanometres() * i64::from(copies));
    }

    /// An offer of one each; the caller changes what it wants.
    pub(crate) fn offer(&mut self, supplier: &str, part: &str, sizes: &[&str], price: &str) -> &mut Offer {
        let row = u32::try_from(self.prices.offers.len()).unwrap() + 2;
        let sizes = sizes.iter().map(|size| self.job.lexicon.word(size)).collect();
        self.job.prices.offers.push(Offer {
            row: RowAt { source: SourceId(0), row },
            supplier: self.job.lexicon.word(supplier),
            part: self.job.lexicon.word(part),
            sizes,
            price: d(price),
            ..self.rows.1.clone()
        });
        self.prices.offers.last_mut().unwrap()
    }

    /// A bag of so many for so much.
    pub(crate) fn bag(&mut self, supplier: &str, part: &str, sizes: &[&str], count: i64, price: &str) {
        let offer = self.offer(supplier, part, sizes, price);
        (offer.sold_as, offer.pack, offer.per) = (SoldAs::Bag, Pack::Count(count), PricedPer::Pack);
    }

    /// A coil or stick of so many feet for so much.
    pub(crate) fn length(
        &mut self,
        supplier: &str,
        size: &str,
        sold_as: SoldAs,
        feet: i64,
        price: &str,
    ) -> &mut Offer {
        let offer = self.offer(supplier, "tube", &[size], price);
        let pack = Pack::Length(Length::whole(feet, LengthUnit::Foot));
        (offer.sold_as, offer.pack, offer.per) = (sold_as, pack, PricedPer::Pack);
        offer
    }

    /// What a supplier charges for a delivery, and the minimum of its orders.
    pub(crate) fn supplier(&mut self, name: &str, fee: &str, least: &str) {
        let supplier = self.job.lexicon.word(name);
        let (delivery_fee, minimum_order) = (d(fee), d(least));
        self.job.suppliers.push(Supplier { supplier, delivery_fee, minimum_order, ..self.rows.2.clone() });
    }

    pub(crate) fn takeoff(&self) -> Takeoff {
        let (lines, pieces) = (self.lines.clone(), self.pieces.clone());
        Takeoff {
            lines,
            pieces,
            ..Takeoff::empty(Sides { name: Word::EMPTY, water: SystemId(0), drain: None })
        }
    }

    pub(crate) fn buy(&self) -> Bought {
        let (market, takeoff, mut items) = (Market::open(&self.job), self.takeoff(), self.items.clone());
        let built = make_up(&market, &mut items, &takeoff);
        buy(&market, &items, &takeoff, built)
    }

    /// A held choice of so many packs of the offer at a place in the price list.
    pub(crate) fn hold(&mut self, part: &str, size: &str, offer: u32, packs: u32) {
        let offer = Market::open(&self.job).kept_as(crate::estimate::order::OfferId(offer));
        let held = Held {
            part: self.job.lexicon.word(part),
            sizes: [self.job.lexicon.word(size)].into(),
            offer: offer.into(),
            packs: Some(packs),
            ..self.rows.4.clone()
        };
        self.job.held.push(held);
    }

    /// Stock on the shelf.
    pub(crate) fn shelf(&mut self, part: &str, size: &str, quantity: &str, length: Option<Length>) {
        let stock = OnHand {
            part: self.job.lexicon.word(part),
            sizes: [self.job.lexicon.word(size)].into(),
            quantity: d(quantity),
            length,
            ..self.rows.3.clone()
        };
        self.job.on_hand.push(stock);
    }
}
