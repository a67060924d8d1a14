//! Choices drawn from bytes. It never fails: where the bytes are used up, the first choice is taken, so that a shorter
//! input is a simpler one.

use arbitrary::Unstructured;

/// The bytes that are left to choose by.
pub(crate) struct Draw<'a>(Unstructured<'a>);

impl<'a> Draw<'a> {
    pub(crate) fn of(bytes: &'a [u8]) -> Self {
        Self(Unstructured::new(bytes))
    }

    /// A number below another; 0 where that is 0.
    pub(crate) fn below(&mut self, end: usize) -> usize {
        self.0.int_in_range(0..=end.saturating_sub(1)).unwrap_or(0)
    }

    /// A byte.
    pub(crate) fn byte(&mut self) -> u8 {
        self.0.int_in_range(0..=u8::MAX).unwrap_or(0)
    }

    /// True once in so many times.
    pub(crate) fn once_in(&mut self, times: usize) -> bool {
        self.below(times) + 1 == times
    }

    /// One of a list that is not empty.
    pub(crate) fn one<'b, T: ?Sized>(&mut self, list: &'b [&'b T]) -> &'b T {
        list[self.below(list.len())]
    }

    /// How many of something: mostly one, seldom many.
    pub(crate) fn few(&mut self) -> usize {
        match self.below(8) {
            0..=3 => 1,
            4 | 5 => 2,
            6 => 3 + self.below(4),
            _ => 8 + self.below(24),
        }
    }

    /// A character: mostly of a keyboard, seldom of anywhere.
    pub(crate) fn character(&mut self) -> char {
        match self.below(4) {
            0 => char::from(b' ' + u8::try_from(self.below(95)).unwrap()),
            1 => char::from(b'0' + u8::try_from(self.below(10)).unwrap()),
            2 => {
                let odd: Vec<char> = crate::hard::CHARACTERS.chars().collect();
                odd[self.below(odd.len())]
            }
            _ => {
                let code = u32::try_from(self.below(0x11_0000)).unwrap();
                char::from_u32(code).unwrap_or('\u{fffd}')
            }
        }
    }
}
