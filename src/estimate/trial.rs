//! Prices tried: changes that stand in no price list, and choices kept while prices move. It works on the job before it
//! is estimated, and leaves a notice in it, so that nothing that comes of it is taken for real.

use std::fmt;

use rust_decimal::Decimal;

use super::buying::{HELD_ELSEWHERE, Market};
use super::revision::Side;
use crate::ground::money::to_net;
use crate::ground::name::{fold, nearest};
use crate::ground::notice::warning;
use crate::ground::size::canonical_list;
use crate::ground::spot::Source;
use crate::ground::{Notice, RowAt, Spot};
use crate::trade::{Catalog, Class, Held, Job, Lexicon, Offer, PartId, SystemId, Word};

/// Why a change of price was not made.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Refused {
    /// No part is named.
    NoPart,
    /// No part and no class goes by the word.
    UnknownPart {
        /// As written.
        word: String,
        /// What comes near it.
        near: Vec<String>,
    },
    /// No offer is of such a system, size, variant, color, supplier or code.
    UnknownWord {
        /// As written.
        word: String,
        /// What comes near it.
        near: Vec<String>,
    },
    /// The points are no number, or out of range.
    Points {
        /// As written.
        found: String,
    },
    /// No offer is all that is named.
    NoSuchOffer {
        /// As written.
        words: String,
    },
}

impl fmt::Display for Refused {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let near = |near: &[String]| match near {
            [] => String::new(),
            some => format!(
                "; nearest: {}",
                some.iter().map(|one| format!("\"{one}\"")).collect::<Vec<_>>().join(", ")
            ),
        };
        match self {
            Self::NoPart => f.write_str(
                "--price-change names no part; write the part, what narrows it behind commas, and the points apart: \
                 --price-change \"tube, copper\" 12",
            ),
            Self::UnknownPart { word, near: list } => {
                write!(f, "--price-change: no part and no class of parts is called \"{word}\"{}", near(list))
            }
            Self::UnknownWord { word, near: list } => write!(
                f,
                "--price-change: no offer has the system, size, variant, color, supplier or code \"{word}\"{}",
                near(list)
            ),
            Self::Points { found } => write!(
                f,
                "--price-change: \"{found}\" is no change in points; write a number above -100 and up to 1000: 12 or -5"
            ),
            Self::NoSuchOffer { words } => {
                write!(f, "--price-change: no offer of the price lists is for \"{words}\"; nothing would change")
            }
        }
    }
}

/// Words that stand for every part.
const ALL: [&str; 3] = ["all", "everything", "all parts"];

/// Changes the prices of all offers that some words name, by so many points: `tube, copper` and `12`. The first words
/// name a part or a class of parts, those behind commas narrow it: a system or tube family, sizes, a variant, a color, a
/// supplier or a code. The price and its breaks move, discounts stay; the new price is rounded to 4 places.
///
/// # Errors
///
/// Why nothing was changed: an unknown part or word, points that are none, or no such offer.
pub fn try_price(job: &mut Job, words: &str, points: &str) -> Result<(), Refused> {
    let by = read_points(points)?;
    let asked = Asked::read(job, words)?;
    let factor = Decimal::ONE_HUNDRED + by;
    let (lexicon, catalog) = (&job.lexicon, &job.catalog);
    let mut changed = 0_usize;
    for offer in job.prices.offers.iter_mut().filter(|offer| asked.names(lexicon, catalog, offer)) {
        changed += 1;
        let moved = |price: Decimal| {
            price.checked_mul(factor).map_or(price, |more| to_net(more / Decimal::ONE_HUNDRED).normalize())
        };
        offer.price = moved(offer.price);
        for (_, price) in &mut offer.breaks {
            *price = moved(*price);
        }
    }
    if changed == 0 {
        return Err(Refused::NoSuchOffer { words: words.trim().to_owned() });
    }
    let sign = if by.is_sign_negative() { "" } else { "+" };
    let text = format!("{} {sign}{} %", asked.shown, by.normalize());
    let spot = Spot::file("--price-change");
    job.notices.push(prices_tried(&text, changed, spot));
    job.prices.tried.push(text.into());
    job.mark_changed();
    Ok(())
}

/// That an estimate stands on prices of no list.
fn prices_tried(text: &str, offers: usize, spot: Spot) -> Notice {
    let offers = if offers == 1 { "1 offer".to_owned() } else { format!("{offers} offers") };
    warning(
        "prices-changed",
        format!("prices are changed for a trial: {text}, {offers}"),
        "the prices of the lists, where anything is ordered or bid",
        "take it for a trial, and run it without --price-change before you order or bid",
    )
    .at([spot])
}

fn read_points(text: &str) -> Result<Decimal, Refused> {
    let plain = text.trim().trim_end_matches('%').trim();
    let points = Decimal::from_str_exact(plain.strip_prefix('+').unwrap_or(plain)).ok();
    let fits = |points: &Decimal| *points > -Decimal::ONE_HUNDRED && *points <= Decimal::ONE_THOUSAND;
    points.filter(fits).ok_or_else(|| Refused::Points { found: text.to_owned() })
}

/// What a change of price names.
struct Asked {
    shown: String,
    /// Nothing: every part.
    parts: Option<Vec<PartId>>,
    narrowed: Vec<String>,
}

impl Asked {
    fn read(job: &Job, words: &str) -> Result<Self, Refused> {
        let mut words: Vec<String> =
            words.split(',').map(|one| one.split_whitespace().collect::<Vec<_>>().join(" ")).collect();
        words.retain(|one| !one.is_empty());
        let Some((part, narrowed)) = words.split_first() else { return Err(Refused::NoPart) };
        let parts = match ALL.contains(&&*fold(part)) {
            true => None,
            false => Some(parts_named(job, part).ok_or_else(|| unknown_part(job, part))?),
        };
        let mut known = Vec::new();
        for word in narrowed {
            if !job.prices.offers.iter().any(|offer| narrows(&job.lexicon, &job.catalog, offer, word)) {
                let names = narrowing_words(job);
                let near = nearest(word, names.iter().map(String::as_str));
                let near = near.into_iter().map(str::to_owned).collect();
                return Err(Refused::UnknownWord { word: word.clone(), near });
            }
            known.push(word.clone());
        }
        Ok(Self { shown: words.join(", "), parts, narrowed: known })
    }

    fn names(&self, lexicon: &Lexicon, catalog: &Catalog, offer: &Offer) -> bool {
        let of_part = self.parts.as_ref().is_none_or(|parts| {
            catalog.parts_called_or_used(offer.part).iter().any(|part| parts.contains(part))
        });
        of_part && self.narrowed.iter().all(|word| narrows(lexicon, catalog, offer, word))
    }
}

/// The parts that go by a word, or that are of a class; a plural is as good.
fn parts_named(job: &Job, word: &str) -> Option<Vec<PartId>> {
    let singular = word.strip_suffix('s').unwrap_or(word);
    for word in [word, singular] {
        if let Some(known) = job.lexicon.find(word) {
            let parts = job.catalog.parts_called_or_used(known);
            if !parts.is_empty() {
                return Some(parts.to_vec());
            }
        }
        if let Some(class) = Class::ALL.into_iter().find(|class| class.word() == fold(word)) {
            let all = (0_u32..).zip(&job.catalog.parts).filter(|(_, part)| part.class == class);
            return Some(all.map(|(id, _)| PartId(id)).collect());
        }
    }
    None
}

fn unknown_part(job: &Job, word: &str) -> Refused {
    // "copper tube" is the part behind what narrows it.
    let turned = word.rsplit_once(' ').filter(|(_, part)| parts_named(job, part).is_some());
    let turned = turned.map(|(narrowed, part)| format!("{part}, {narrowed}"));
    let names = job.catalog.part_names(&job.lexicon).chain(Class::ALL.map(Class::word));
    let mut near: Vec<String> = turned.into_iter().collect();
    near.extend(nearest(word, names).into_iter().map(str::to_owned));
    Refused::UnknownPart { word: word.to_owned(), near }
}

/// Whether a word narrows a change down to an offer: by system or tube family, sizes, variant, color, supplier or code.
fn narrows(lexicon: &Lexicon, catalog: &Catalog, offer: &Offer, word: &str) -> bool {
    let same = |text: &str| fold(text) == fold(word);
    let is_word = |one: Word| !one.is_empty() && same(lexicon.text(one));
    let wanted = lexicon.find(word);
    let by_system = || {
        let named = |name: Word, tube: Word| wanted == Some(name) || wanted == Some(tube);
        let mut systems = (0_u32..).zip(&catalog.systems).filter(|(_, one)| named(one.name, one.tube));
        !offer.systems.is_empty()
            && (offer.systems.iter().any(|one| is_word(*one))
                || systems.any(|(id, _)| catalog.takes_in(&offer.systems, crate::trade::SystemId(id))))
    };
    let by_size = || {
        let Some(sizes) = canonical_list(word) else { return false };
        let offered: Vec<&str> = offer.sizes.iter().map(|size| lexicon.text(*size)).collect();
        !offered.is_empty()
            && (offered == sizes || sizes.len() == 1 && offered.iter().all(|one| *one == sizes[0]))
    };
    is_word(offer.variant)
        || is_word(offer.color)
        || is_word(offer.supplier)
        || (!offer.code.is_empty() && same(&offer.code))
        || by_size()
        || by_system()
}

/// Every word that could narrow a change in these price lists.
fn narrowing_words(job: &Job) -> Vec<String> {
    let mut words: Vec<String> = job.catalog.system_names(&job.lexicon).map(str::to_owned).collect();
    for offer in &job.prices.offers {
        let one_each = [offer.variant, offer.color, offer.supplier];
        words.extend(one_each.iter().chain(&offer.sizes).map(|word| job.lexicon.text(*word).to_owned()));
    }
    words.retain(|word| !word.is_empty());
    words.sort();
    words.dedup();
    words
}

/// Keeps in a job the choices that another estimate made: the offer of every item, and how many of its packs. Where the
/// runs are others, the number of coils and sticks is left to the cut plan. Rows of the job's own table `held` stand instead.
pub fn hold(job: &mut Job, from: Side<'_>, same_runs: bool) {
    let source = Source { file: HELD_ELSEWHERE.into(), sheet: None, built_in: true, headings: Vec::new() };
    let source = job.sources.add(source);
    job.mark_changed();
    let market = Market::open(from.job);
    let mut kept: Vec<Held> = Vec::new();
    for alternative in &from.estimate.alternatives {
        for line in &alternative.order {
            let item = from.estimate.items.get(line.item);
            let name = |system: SystemId| from.job.lexicon.text(from.job.catalog.system(system).name);
            let built = alternative.built.iter().filter(|built| built.item == line.item);
            let built = built
                .filter(|_| line.picks.is_empty())
                .map(|built| (market.made_up_as(&from.estimate.items, built), None));
            let picked = line.picks.iter().map(|pick| {
                let packs = pick.packs.is_integer().then(|| pick.packs.normalize().to_string().parse().ok());
                let counted = same_runs || !item.is_length();
                (market.kept_as(pick.offer), packs.flatten().filter(|_| counted))
            });
            for (offer, packs) in picked.chain(built) {
                let row =
                    RowAt { source, row: u32::try_from(kept.len()).unwrap_or(u32::MAX).saturating_add(1) };
                let mut word = |text: &str| job.lexicon.word(text);
                kept.push(Held {
                    row,
                    in_error: false,
                    alternative: word(from.job.lexicon.text(alternative.name)),
                    part: word(&from.job.catalog.part(item.part).name),
                    sizes: item
                        .sizes
                        .as_slice()
                        .iter()
                        .map(|size| word(from.job.lexicon.text(*size)))
                        .collect(),
                    system: word(item.system.map_or("", name)),
                    variant: word(from.job.lexicon.text(item.variant)),
                    color: word(item.color.word()),
                    offer: offer.into(),
                    packs,
                    // What a break or a least order made more of the smallest packs stays so many.
                    plan: if same_runs { "at least" } else { "" }.into(),
                });
            }
        }
    }
    let or_any = |own: Word, kept: Word| own.is_empty() || own == kept;
    let speaks_of = |own: &Held, kept: &Held| {
        (own.part, &own.sizes) == (kept.part, &kept.sizes)
            && or_any(own.alternative, kept.alternative)
            && or_any(own.system, kept.system)
            && or_any(own.variant, kept.variant)
            && or_any(own.color, kept.color)
    };
    let own = std::mem::take(&mut job.held);
    kept.retain(|one| !own.iter().any(|other| speaks_of(other, one)));
    kept.extend(own);
    job.held = kept;
}
