//! A directory of many names, in which those nearest to a name that nothing has are looked up without going through all.
//!
//! A slip of the pen leaves the beginning of a name or its end. So the names stand in two orders, by their first letters
//! and by their last, and only those that stand beside the one that is sought are compared with it, letter by letter.

use std::collections::BTreeSet;

use super::name::{TELLING, beginning, fold, nearest};

/// So few names are all compared.
const FEW: usize = 200;
/// Names beside the one that is sought, on each side of it in each order.
const BESIDE: usize = 40;

/// Names in two orders.
#[derive(Debug)]
pub(crate) struct Directory<'a> {
    names: Vec<&'a str>,
    /// The first letters of each name with its place, and the last letters from the end; none where there are few names.
    orders: [Vec<(String, usize)>; 2],
}

impl<'a> Directory<'a> {
    /// A directory of some names. Of those that begin alike the first given come first.
    pub(crate) fn of(names: impl Iterator<Item = &'a str>) -> Self {
        let names: Vec<&str> = names.collect();
        let orders = [first_letters, last_letters].map(|letters| {
            let many = if names.len() > FEW { names.as_slice() } else { &[] };
            let mut order: Vec<(String, usize)> =
                many.iter().enumerate().map(|(place, name)| (letters(name), place)).collect();
            order.sort_unstable();
            order
        });
        Self { names, orders }
    }

    /// The names nearest to one that nothing has, as [`nearest`] says it.
    pub(crate) fn nearest(&self, wanted: &str) -> Vec<&'a str> {
        if self.names.len() <= FEW {
            return nearest(wanted, self.names.iter().copied());
        }
        let sought = [first_letters(wanted), last_letters(wanted)];
        let mut beside = BTreeSet::new();
        for (order, sought) in self.orders.iter().zip(sought) {
            let at = order.partition_point(|(letters, _)| *letters < sought);
            let near = &order[at.saturating_sub(BESIDE)..order.len().min(at + BESIDE)];
            beside.extend(near.iter().map(|(_, place)| *place));
        }
        nearest(wanted, beside.into_iter().map(|place| self.names[place]))
    }
}

fn first_letters(name: &str) -> String {
    fold(beginning(name, TELLING))
}

fn last_letters(name: &str) -> String {
    let letters: String = name.chars().rev().take(TELLING).collect();
    fold(&letters)
}

#[cfg(test)]
mod tests {
    use super::Directory;

    #[test]
    fn a_slip_at_the_beginning_or_the_end_is_found_among_many() {
        let names: Vec<String> = (0..50_000).map(|n| format!("run {n:05} of unit {}", n % 97)).collect();
        let directory = Directory::of(names.iter().map(String::as_str));
        for wanted in
            ["rum 04711 of unit 55", "run 04711 of unit 5", "run 0471 of unit 55", "run 04711 of umit 55"]
        {
            assert_eq!(directory.nearest(wanted).first(), Some(&"run 04711 of unit 55"), "{wanted}");
        }
    }

    /// Each compared with each these would be ten thousand million pairs.
    #[test]
    fn a_hundred_thousand_unknown_names_are_looked_up_among_as_many() {
        let names: Vec<String> = (0..100_000).map(|n| format!("P{n}")).collect();
        let directory = Directory::of(names.iter().map(String::as_str));
        let found = (0..100_000).filter(|n| !directory.nearest(&format!("nobody{n}")).is_empty()).count();
        assert_eq!(found, 0);
        let long = "n".repeat(100_000);
        let names: Vec<String> = (0..300).map(|n| format!("{long}{n}")).collect();
        let directory = Directory::of(names.iter().map(String::as_str));
        assert!((0..300).all(|n| directory.nearest(&format!("{long}{n}x")).is_empty()));
    }
}
