//! Places that are like another: a row of the table `places` whose column `like` names a place, or a room with all that
//! is in it. The runs of what it names are there once more, under names of their own. A row of the run list that has the
//! name of such a run and neither service nor size says what is its own: where it joins and ends, and how long it is.
//! Nothing is counted.

use std::collections::{BTreeSet, HashMap, HashSet};

use super::lexicon::Word;
use super::reading::Reading;
use super::run::{ALWAYS_THERE, OwnRow, PlaceRow, Run, Service};
use super::shape::unknown_names;
use crate::ground::directory::Directory;
use crate::ground::name::fold;
use crate::ground::notice::{Finding, findings};

/// So many runs that a row brings are named.
const MOST_NAMED: usize = 40;

/// Adds to runs and places what rows of `like` bring, each behind the row that it is like. `own` are the rows of the run list
/// that say only what is a run's own; one that no place brings is a run of which service and size are missing.
pub(super) fn bring(
    runs: &mut Vec<Run>,
    places: &mut Vec<PlaceRow>,
    mut own: Vec<OwnRow>,
    reading: &mut Reading,
) {
    let likes = places.iter().any(|place| !place.like.is_empty());
    if likes {
        let mut house = House::of(std::mem::take(runs), std::mem::take(places));
        house.repeat(reading);
        own = house.give_own(own, reading);
        (*runs, *places) = house.into_rows();
    }
    for row in own {
        runs.push(row.incomplete(reading));
    }
    // Rows stand as the tables have them.
    runs.sort_by_key(|run| run.row);
    places.sort_by_key(|place| place.row);
}

/// Runs and places while rows are added, with what names and rooms hold.
struct House {
    runs: Vec<Run>,
    places: Vec<PlaceRow>,
    /// Where the runs that were written end, and those that are like them begin.
    written: usize,
    /// The runs that name something in `to`, and in `joins`, by its folded name.
    ending: HashMap<String, Vec<usize>>,
    joining: HashMap<String, Vec<usize>>,
    run_names: HashSet<String>,
    /// The places that have a row, by folded name.
    rows: HashMap<String, usize>,
    /// The runs and the places of a room.
    runs_in: HashMap<Word, Vec<usize>>,
    places_in: HashMap<Word, Vec<usize>>,
    /// The rows that stand for a room.
    rooms: BTreeSet<usize>,
}

/// What became of a row.
enum Brought {
    /// All is there once more.
    All,
    /// There is nothing of the name that it is like.
    Unknown,
    /// There is no room for more rows.
    Full,
}

/// What is there once more.
struct Group {
    /// Its runs, in the order of their rows.
    runs: BTreeSet<usize>,
    /// Its places that have a row.
    places: Vec<usize>,
    /// The folded names of all its places.
    names: BTreeSet<String>,
}

impl House {
    fn of(runs: Vec<Run>, places: Vec<PlaceRow>) -> Self {
        let written = runs.len();
        let mut house = Self {
            runs: Vec::with_capacity(written),
            places: Vec::with_capacity(places.len()),
            written,
            ending: HashMap::new(),
            joining: HashMap::new(),
            run_names: HashSet::new(),
            rows: HashMap::new(),
            runs_in: HashMap::new(),
            places_in: HashMap::new(),
            rooms: BTreeSet::new(),
        };
        runs.into_iter().for_each(|run| house.add_run(run));
        places.into_iter().for_each(|place| house.add_place(place));
        house
    }

    fn add_run(&mut self, run: Run) {
        let at = self.runs.len();
        self.run_names.insert(fold(&run.name));
        for (named, list) in [(&run.to, &mut self.ending), (&run.joins, &mut self.joining)] {
            if let Some(name) = named {
                list.entry(fold(name)).or_default().push(at);
            }
        }
        self.runs_in.entry(run.area).or_default().push(at);
        self.runs.push(run);
    }

    fn add_place(&mut self, place: PlaceRow) {
        let at = self.places.len();
        self.rows.entry(fold(&place.name)).or_insert(at);
        self.places_in.entry(place.area).or_default().push(at);
        self.places.push(place);
    }

    /// Brings what each row is like, what others are like first.
    fn repeat(&mut self, reading: &mut Reading) {
        let asking: Vec<usize> =
            (0..self.places.len()).filter(|at| !self.places[*at].like.is_empty()).collect();
        let by_name: HashMap<String, usize> =
            asking.iter().rev().map(|at| (fold(&self.places[*at].name), *at)).collect();
        let mut met: HashSet<usize> = HashSet::new();
        let mut done: HashSet<usize> = HashSet::new();
        let mut unknown = Vec::new();
        for first in asking {
            // The way to what is written: each is brought after what it is like.
            let (mut way, mut at) = (Vec::new(), Some(first));
            while let Some(here) = at.filter(|here| met.insert(*here)) {
                way.push(here);
                at = by_name.get(&fold(&self.places[here].like)).copied();
            }
            let is_ring = at.is_some_and(|at| !done.contains(&at));
            for here in way.into_iter().rev() {
                done.insert(here);
                match is_ring {
                    true => self.refuse(here, like_itself(&self.places[here].like), reading),
                    false => match self.bring(here, reading) {
                        Brought::All => {}
                        Brought::Unknown => unknown.push(here),
                        Brought::Full => return,
                    },
                }
            }
        }
        self.tell_unknown(&unknown, reading);
    }

    /// Tells of rows that are like nothing there is, with what is near.
    fn tell_unknown(&mut self, unknown: &[usize], reading: &mut Reading) {
        let rooms = self.places.iter().map(|place| place.area).chain(self.runs.iter().map(|run| run.area));
        let rooms: BTreeSet<Word> = rooms.filter(|room| !room.is_empty()).collect();
        let names = self.places.iter().map(|place| &*place.name);
        let names = Directory::of(names.chain(rooms.iter().map(|room| reading.lexicon.text(*room))));
        let finding = |at: &usize| {
            let like = &self.places[*at].like;
            (*at, like_nothing(like, names.nearest(like).into_iter()))
        };
        let findings: Vec<(usize, Finding)> = unknown.iter().map(finding).collect();
        for (at, finding) in findings {
            self.refuse(at, finding, reading);
        }
    }

    /// All runs and places; a row that stands for a room is no place of its own.
    fn into_rows(self) -> (Vec<Run>, Vec<PlaceRow>) {
        let rows = self.places.into_iter().enumerate();
        let places = rows.filter(|(at, _)| !self.rooms.contains(at)).map(|(_, place)| place);
        (self.runs, places.collect())
    }

    fn is_place(&self, folded: &str) -> bool {
        let is_end = self.ending.contains_key(folded) && !self.run_names.contains(folded);
        self.rows.get(folded).is_some_and(|row| !self.rooms.contains(row))
            || is_end && !ALWAYS_THERE.contains(&folded)
    }

    /// The room of a name in which something is.
    fn room(&self, name: &str, reading: &Reading) -> Option<Word> {
        let word = reading.lexicon.find(name).filter(|word| !word.is_empty())?;
        (self.runs_in.contains_key(&word) || self.places_in.contains_key(&word)).then_some(word)
    }

    /// Brings what one row is like.
    fn bring(&mut self, at: usize, reading: &mut Reading) -> Brought {
        let like = self.places[at].like.clone();
        let folded = fold(&like);
        let row = self.places[at].row;
        if self.is_place(&folded) {
            let group = self.group(BTreeSet::from([folded.clone()]), Word::EMPTY);
            if group.runs.is_empty() {
                reading.trouble(row, "like", nothing_to_repeat(&like));
            }
            self.fill(at, &folded);
            return self.copy(&group, at, &like, None, reading);
        }
        let Some(room) = self.room(&like, reading) else {
            return Brought::Unknown;
        };
        self.rooms.insert(at);
        let place = &self.places[at];
        let said = [
            ("fixture", !place.fixture.is_empty()),
            ("pattern", !place.patterns.is_empty()),
            ("area", !place.area.is_empty()),
        ];
        for (heading, _) in said.into_iter().filter(|(_, is_said)| *is_said) {
            reading.trouble(row, heading, said_of_a_room(heading, &like));
        }
        let named = reading.lexicon.word(&place.name.clone());
        let inside = self.places_in.get(&room).into_iter().flatten();
        let names = inside.map(|place| fold(&self.places[*place].name)).collect();
        let group = self.group(names, room);
        self.copy(&group, at, &like, Some(named), reading)
    }

    fn refuse(&mut self, at: usize, finding: Finding, reading: &mut Reading) {
        self.places[at].in_error = true;
        reading.trouble(self.places[at].row, "like", finding);
    }

    /// What a place is that says nothing of itself: as the one that it is like.
    fn fill(&mut self, at: usize, like: &str) {
        let Some(of) = self.rows.get(like).and_then(|row| self.places.get(*row)).cloned() else { return };
        let place = &mut self.places[at];
        let blank = |own: &mut Word, of: Word| {
            if own.is_empty() {
                *own = of;
            }
        };
        blank(&mut place.fixture, of.fixture);
        blank(&mut place.area, of.area);
        blank(&mut place.level, of.level);
        if place.patterns.is_empty() {
            place.patterns = of.patterns;
        }
        if !place.scope.is_said() {
            place.scope = of.scope;
        }
        place.in_error |= of.in_error;
    }

    /// The runs of some places or of a room: those that end there, mixed ones that begin there, and what joins a run of
    /// them unless it leads to another place.
    fn group(&self, names: BTreeSet<String>, room: Word) -> Group {
        let mut names = names;
        let mut runs: BTreeSet<usize> = BTreeSet::new();
        let in_room = self.runs_in.get(&room).filter(|_| !room.is_empty());
        let ending = names.iter().filter_map(|name| self.ending.get(name)).flatten();
        let mut next: Vec<usize> = in_room.into_iter().flatten().chain(ending).copied().collect();
        next.extend(names.iter().flat_map(|name| self.mixed_from(name)));
        while let Some(at) = next.pop() {
            if !runs.insert(at) {
                continue;
            }
            let run = &self.runs[at];
            let joining = self.joining.get(&fold(&run.name)).into_iter().flatten();
            next.extend(joining.copied().filter(|child| !self.leads_to_a_place(*child)));
            // A place that only these runs name is theirs: the head over a tub.
            if let Some(end) = run.to.as_deref().map(fold)
                && !names.contains(&end)
                && self.is_place(&end)
                && self.ending.get(&end).into_iter().flatten().all(|other| runs.contains(other))
            {
                next.extend(self.mixed_from(&end));
                names.insert(end);
            }
        }
        let mut places: Vec<usize> = names.iter().filter_map(|name| self.rows.get(name).copied()).collect();
        places.sort_unstable();
        Group { runs, places, names }
    }

    fn mixed_from(&self, place: &str) -> impl Iterator<Item = usize> {
        let joining = self.joining.get(place).into_iter().flatten().copied();
        joining.filter(|run| self.runs[*run].service == Service::Mixed)
    }

    fn leads_to_a_place(&self, run: usize) -> bool {
        self.runs[run].to.as_deref().is_some_and(|to| self.rows.contains_key(&fold(to)))
    }

    /// Adds the runs and places of a group once more, for the row of a place or of a room.
    fn copy(
        &mut self,
        group: &Group,
        at: usize,
        like: &str,
        room: Option<Word>,
        reading: &mut Reading,
    ) -> Brought {
        let of = self.places[at].clone();
        let alone = fold(like);
        let in_group: BTreeSet<String> = group.runs.iter().map(|run| fold(&self.runs[*run].name)).collect();
        let again = |name: &str, reading: &mut Reading| {
            let folded = fold(name);
            if room.is_none() && folded == alone {
                return of.name.clone();
            }
            match group.names.contains(&folded) || in_group.contains(&folded) {
                true => reading.texts.kept(&once_more(name, like, &of.name)),
                false => name.into(),
            }
        };
        // Of the place that is repeated by itself the row is there already.
        let others = |place: &&usize| room.is_some() || fold(&self.places[**place].name) != alone;
        let places: Vec<PlaceRow> =
            group.places.iter().filter(others).map(|place| self.places[*place].clone()).collect();
        let was = match room {
            Some(_) => self.room(like, reading),
            None => self.rows.get(&alone).map(|row| self.places[*row].area),
        };
        let was = was.unwrap_or(Word::EMPTY);
        for mut place in places {
            place.name = again(&place.name, reading);
            place.row = of.row;
            place.like = Default::default();
            own_or(&mut place.area, room.unwrap_or(of.area));
            place.in_error |= of.in_error;
            own_or(&mut place.level, of.level);
            if of.scope.is_said() {
                place.scope = of.scope.clone();
            }
            self.add_place(place);
        }
        let first = self.runs.len();
        for run in group.runs.iter().copied() {
            if let Some(finding) = reading.budget.take(0, of.name.len()) {
                reading.trouble(of.row, "like", finding);
                return Brought::Full;
            }
            let mut run = self.runs[run].clone();
            run.name = again(&run.name, reading);
            run.joins = run.joins.map(|joined| again(&joined, reading));
            run.to = run.to.map(|to| again(&to, reading));
            if run.area == was {
                own_or(&mut run.area, room.unwrap_or(of.area));
            }
            own_or(&mut run.level, of.level);
            if of.scope.is_said() {
                run.scope = of.scope.clone();
            }
            run.in_error |= of.in_error;
            self.add_run(run);
        }
        let brought = &self.runs[first..];
        if !brought.is_empty() {
            let names: Vec<&str> = brought.iter().take(MOST_NAMED).map(|run| &*run.name).collect();
            let more = brought.len().saturating_sub(MOST_NAMED);
            let more = if more == 0 { String::new() } else { format!(" and {more} more") };
            reading.trouble(of.row, "like", brought_by_like(like, &names.join("; "), &more));
        }
        Brought::All
    }

    /// Gives the runs that were brought what rows of the run list say of them; the rows that speak of none are left.
    fn give_own(&mut self, own: Vec<OwnRow>, reading: &mut Reading) -> Vec<OwnRow> {
        let brought = self.runs.iter().enumerate().skip(self.written);
        let mut brought: HashMap<String, usize> = brought.map(|(at, run)| (fold(&run.name), at)).collect();
        let mut left = Vec::new();
        for row in own {
            // A second row of one name is none of it.
            match brought.remove(&fold(&row.run.name)).and_then(|at| self.runs.get_mut(at)) {
                Some(run) => row.give(run, reading),
                None => left.push(row),
            }
        }
        left
    }
}

/// Takes a value that somebody says for that which stands there.
fn own_or(stands: &mut Word, said: Word) {
    if !said.is_empty() {
        *stands = said;
    }
}

/// The name of what is there once more: that of the new place instead of the old one, or else behind it.
fn once_more(name: &str, old: &str, new: &str) -> String {
    let is_end = |c: Option<char>| c.is_none_or(|c| !c.is_alphanumeric());
    let found = name.char_indices().map(|(at, _)| at).find(|at| {
        let (before, behind) = name.split_at(*at);
        behind.get(..old.len()).is_some_and(|part| part.eq_ignore_ascii_case(old))
            && is_end(before.chars().next_back())
            && is_end(behind.get(old.len()..).and_then(|rest| rest.chars().next()))
    });
    match found {
        Some(at) => format!("{}{new}{}", &name[..at], &name[at + old.len()..]),
        None => format!("{name} {new}"),
    }
}

unknown_names! {
    /// A place or room that there is not.
    fn like_nothing(found) = error("like-nothing",
        "like is \"{found}\", and no place and no room has that name",
        "a place of this table or of the run list, or a room (area) with all that is in it",
        "correct the name") meant;
}

findings! {
    /// A place that is like itself, or several like each other.
    fn like_itself(found: &str) = error("like-itself",
        "like is \"{found}\", which is like this row again",
        "a place or room whose runs are written",
        "let one of them be written, and the others be like it");

    /// What a row says of itself that stands for a room.
    fn said_of_a_room(heading: &str, room: &str) = error("said-of-a-room",
        "{heading} is given, and this row is like the room \"{room}\": it is no place of its own",
        "the name of the new room, and a level or an alternate for all that is in it",
        "empty {heading}");

    /// The runs that a row brings, by the names that their own rows have.
    fn brought_by_like(like: &str, names: &str, more: &str) = remark("brought-by-like",
        "the runs of \"{like}\" are there once more: {names}{more}",
        "rows of runs with such a name for what is its own: joins, at, to, to at, length or path",
        "add a row with the name of the run where it ties in elsewhere");

    /// A place without runs to repeat.
    fn nothing_to_repeat(like: &str) = warning("nothing-to-repeat",
        "no run ends at \"{like}\": this row repeats nothing",
        "a place that runs end at by their column to",
        "type in like the place or the room whose runs are to be there once more");
}
