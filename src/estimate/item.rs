//! Items: what is counted, bought and priced — a part in a system, with its sizes, variant and color.

use rustc_hash::FxHashMap;

use crate::trade::{Catalog, Class, PartId, SystemId, Word};

/// The id of an item in [`Items`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct ItemId(pub u32);

/// The sizes of an item in reading order, written as short as they can be: one for a part whose ports are all of one
/// size (a tee is always written out), none for a part without a size. See [`Sizes::of`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Sizes {
    list: [Word; Self::MOST],
    len: u8,
}

impl Sizes {
    /// More sizes than any fitting names.
    pub const MOST: usize = 4;

    /// The short form of a part's port sizes. What runs meet in (a tee, a wye) names them all; other parts of up to three
    /// ports keep one size a port unless all are the same, and parts of more ports name each size once, in reading order.
    pub fn of(ports: &[Word], is_meeting: bool) -> Self {
        let mut sizes = Self::default();
        let all_same = ports.windows(2).all(|pair| pair[0] == pair[1]);
        for size in ports {
            let skip = !is_meeting
                && (all_same && sizes.len == 1 || ports.len() > 3 && sizes.as_slice().contains(size));
            if !skip && usize::from(sizes.len) < Self::MOST {
                sizes.list[usize::from(sizes.len)] = *size;
                sizes.len += 1;
            }
        }
        sizes
    }

    /// The sizes.
    pub fn as_slice(&self) -> &[Word] {
        &self.list[..usize::from(self.len)]
    }
}

/// The color in which tube is bought.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub enum Color {
    /// Sold without regard to color.
    #[default]
    None,
    /// Hot, return and mixed.
    Red,
    /// Cold.
    Blue,
}

impl Color {
    /// The word for it in every table.
    pub const fn word(self) -> &'static str {
        match self {
            Self::None => "",
            Self::Red => "red",
            Self::Blue => "blue",
        }
    }
}

/// What is counted, bought and priced.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Item {
    /// The part.
    pub part: PartId,
    /// The system, where what is bought depends on it.
    pub system: Option<SystemId>,
    /// Its sizes.
    pub sizes: Sizes,
    /// Its variant: type L, brass...
    pub variant: Word,
    /// The color of tube.
    pub color: Color,
    /// What allowances and the order go by.
    pub class: Class,
    /// The unit it is counted in: empty for pieces and for lengths of tube, `lb`, `oz`... for what joints consume.
    pub unit: Word,
}

impl Item {
    /// A part in a system, its sizes in reading order: what is consumed has no size, and what is the same in all systems
    /// names none.
    pub(in crate::estimate) fn of_part(
        catalog: &Catalog,
        id: PartId,
        system: SystemId,
        sizes: &[Word],
    ) -> Self {
        let part = catalog.part(id);
        let sizes = match part.class.is_used_up() {
            true => Sizes::default(),
            false => Sizes::of(sizes, part.is_meeting()),
        };
        let systematic =
            part.takes_system() || matches!(part.class, Class::Tube | Class::Ring | Class::Support);
        Self {
            part: id,
            system: systematic.then_some(system),
            sizes,
            variant: part.variant,
            color: Color::None,
            class: part.class,
            unit: Word::EMPTY,
        }
    }

    /// Whether it is counted in lengths.
    pub fn is_length(&self) -> bool {
        self.class == Class::Tube
    }
}

/// All items of an estimate, each once; every alternative counts in them.
#[derive(Debug, Clone, Default)]
pub struct Items {
    list: Vec<Item>,
    index: FxHashMap<Item, ItemId>,
}

impl Items {
    /// The id of an item, taken up if it is new.
    pub fn id(&mut self, item: Item) -> ItemId {
        if let Some(id) = self.index.get(&item) {
            return *id;
        }
        let id = ItemId(u32::try_from(self.list.len()).unwrap_or(u32::MAX));
        self.list.push(item);
        self.index.insert(item, id);
        id
    }

    /// The id of an item that is taken up already.
    pub(super) fn find(&self, item: &Item) -> Option<ItemId> {
        self.index.get(item).copied()
    }

    /// Takes in all items of another list; gives for each of its ids the id here.
    pub(super) fn take_in(&mut self, other: &Self) -> Vec<ItemId> {
        other.list.iter().map(|item| self.id(*item)).collect()
    }

    /// The item of an id.
    pub fn get(&self, id: ItemId) -> &Item {
        &self.list[id.0 as usize]
    }

    /// All ids.
    pub fn ids(&self) -> impl Iterator<Item = ItemId> + use<> {
        (0..u32::try_from(self.list.len()).unwrap_or(u32::MAX)).map(ItemId)
    }

    /// How many there are.
    pub fn len(&self) -> usize {
        self.list.len()
    }

    /// Whether there are none.
    pub fn is_empty(&self) -> bool {
        self.list.is_empty()
    }
}
