//! What is near to a word that nobody knows: a command, a part, a sum, a table. It prints nothing.

use crate::ground::name::{fold, natural, nearest};

/// The most that is suggested.
pub(super) const MOST: usize = 5;

/// The nearest of some names: those that differ by a few letters, then those that begin with what was asked for or have all of its
/// words; at most [`MOST`], and never what was asked for.
pub(super) fn near<'a>(asked: &str, names: impl Iterator<Item = &'a str> + Clone) -> Vec<String> {
    let wanted = fold(asked);
    let has_all = |name: &str| {
        let name = fold(name);
        let words: Vec<&str> = name.split([' ', ',']).collect();
        wanted.chars().count() > 1
            && (name.starts_with(&wanted)
                || wanted.split([' ', ',']).all(|word| word.is_empty() || words.contains(&word)))
    };
    let mut found: Vec<&str> = nearest(asked, names.clone());
    let mut with_words: Vec<&str> = names.filter(|name| has_all(name)).collect();
    with_words.sort_by(|a, b| a.chars().count().cmp(&b.chars().count()).then_with(|| natural(a, b)));
    found.extend(with_words);
    let mut near: Vec<String> = Vec::new();
    for name in found {
        let is_new = fold(name) != wanted && near.iter().all(|known| fold(known) != fold(name));
        if is_new && near.len() < MOST {
            near.push(name.to_owned());
        }
    }
    near
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_few_near_names_are_given_and_never_the_word_itself() {
        let names = [
            "estimate",
            "explain",
            "check",
            "tee 3/4",
            "tee 1/2",
            "tee 1 x 1/2",
            "tee 1",
            "tee 2",
            "tee 3",
            "tee",
        ];
        assert_eq!(near("estimat", names.iter().copied()), ["estimate"]);
        assert_eq!(near("est", names.iter().copied()), ["estimate"]);
        assert!(!near("check", names.iter().copied()).contains(&"check".to_owned()));
        let tees = near("tee", names.iter().copied());
        assert!(tees.len() == MOST && tees.iter().all(|name| name.starts_with("tee ")), "{tees:?}");
        assert_eq!(near("1/2 tee", names.iter().copied()), ["tee 1/2", "tee 1 x 1/2"]);
        assert!(
            near("zeppelin", names.iter().copied()).is_empty() && near("", names.iter().copied()).is_empty()
        );
    }
}
