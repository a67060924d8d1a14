//! A small source of chance: splitmix64, so that one seed makes one house on every machine.

/// Numbers from a seed.
#[derive(Debug, Clone)]
pub(crate) struct Chance(u64);

impl Chance {
    pub(crate) fn new(seed: u64) -> Self {
        Self(seed)
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        mixed ^ (mixed >> 31)
    }

    /// A number from 0 up to, but not, `below`.
    pub(crate) fn below(&mut self, below: u64) -> u64 {
        self.next() % below.max(1)
    }

    /// A number from `least` to `most`.
    pub(crate) fn from(&mut self, least: i64, most: i64) -> i64 {
        let span = u64::try_from(most - least + 1).unwrap_or(1);
        least + i64::try_from(self.below(span)).unwrap_or(0)
    }

    /// True so many times in a hundred.
    pub(crate) fn percent(&mut self, percent: u64) -> bool {
        self.below(100) < percent
    }

    pub(crate) fn pick<'a, T>(&mut self, list: &'a [T]) -> &'a T {
        let index = self.below(list.len() as u64);
        &list[usize::try_from(index).unwrap_or(0)]
    }

    pub(crate) fn shuffle<T>(&mut self, list: &mut [T]) {
        for last in (1..list.len()).rev() {
            let other = usize::try_from(self.below(last as u64 + 1)).unwrap_or(0);
            list.swap(last, other);
        }
    }
}
