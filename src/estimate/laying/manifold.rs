//! Manifolds: the smallest one of a name that has an opening for each run at its place (rule 23 of counting).

use super::super::network::{Place, PlaceId, RunId};
use super::super::takeoff::Missing;
use super::super::words::Trouble;
use super::Laying;
use crate::trade::part::PortName;
use crate::trade::{Catalog, Class, Fit, Lexicon, PartId, PatternRow, SystemId, Word};

/// The manifold that a row's words begin the name of: the one with the fewest openings. Which one serves is chosen
/// where the runs are known.
pub(super) fn manifold_named(
    catalog: &Catalog,
    lexicon: &Lexicon,
    word: Word,
    system: SystemId,
) -> Option<PartId> {
    manifolds(catalog, lexicon, word, system).first().copied()
}

fn manifolds(catalog: &Catalog, lexicon: &Lexicon, word: Word, system: SystemId) -> Vec<PartId> {
    let words = crate::ground::name::fold(lexicon.text(word));
    let mut found: Vec<PartId> = (0_u32..)
        .zip(&catalog.parts)
        .filter(|(_, part)| {
            part.class == Class::Manifold
                && catalog.takes_in(&part.systems, system)
                && crate::ground::name::fold(&part.name).starts_with(&words)
        })
        .map(|(id, _)| PartId(id))
        .collect();
    found.sort_by_key(|id| catalog.part(*id).ports.len());
    found
}

impl Laying<'_, '_> {
    /// Rule 23: the smallest manifold that serves; where none does, the largest, and the last runs by name are errors.
    pub(super) fn manifold(
        &mut self,
        id: PlaceId,
        word: Word,
        system: SystemId,
        rule: &PatternRow,
        brought_by: Option<RunId>,
    ) -> Option<PartId> {
        let network = self.network;
        let place = &network.places[id.index()];
        let made = manifolds(&self.job.catalog, &self.job.lexicon, word, system);
        let (inlets, outlets) = self.by_side(place);
        let openings = |part: &PartId, inlet: bool| {
            let ports = &self.job.catalog.part(*part).ports;
            ports
                .iter()
                .filter(|port| (port.name == PortName::In) == inlet && port.fit != Fit::Closed)
                .count()
        };
        let serves =
            |part: &&PartId| openings(part, true) >= inlets.len() && openings(part, false) >= outlets.len();
        if let Some(part) = made.iter().find(serves) {
            return Some(*part);
        }
        let Some(part) = made.last() else {
            if brought_by.is_none() {
                let what = self.job.lexicon.text(word).to_owned();
                self.sheet.takeoff.missing.push(Missing { run: RunId(0), what, system });
            }
            return None;
        };
        for (runs, inlet) in [(&inlets, true), (&outlets, false)] {
            for run in runs.iter().skip(openings(part, inlet)) {
                let row = self.job.runs[run.index()].row;
                self.sheet
                    .bar(*run, Trouble::ManifoldTooSmall { run: row, rule: rule.row, place: &place.name });
            }
        }
        Some(*part)
    }

    /// The runs at a manifold's inlets and at its outlets, by name: water comes in by ends and leaves by beginnings.
    fn by_side(&self, place: &Place) -> (Vec<RunId>, Vec<RunId>) {
        let (mut inlets, mut outlets) = (place.ends.clone(), place.starts.clone());
        for list in [&mut inlets, &mut outlets] {
            list.sort_by_key(|id| self.rank[id.index()]);
        }
        (inlets, outlets)
    }
}
