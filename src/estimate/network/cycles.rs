//! Rings in a network: runs that join each other round and round (rule 2 of counting). Sought over `joins` and, through
//! places, over the runs whose `to` makes them, leaving out only the `to` of returns.
//!
//! Strongly connected components (Tarjan 1972) with a stack of our own: a chain of 20,000 runs must not end the
//! program's.

use std::collections::BTreeMap;

use super::Out;
use super::names::{Link, Names};
use crate::estimate::{PlaceId, RunId};
use crate::trade::Job;
use crate::trade::Service;

/// The rings, each with its runs by name.
pub(super) fn in_rings(job: &Job, names: &Names, out: &[Option<Out>]) -> Vec<Vec<RunId>> {
    let runs = job.runs.len();
    // Nodes: the runs, then the places; edges lead toward the main.
    let mut pairs: Vec<(u32, u32)> = Vec::with_capacity(runs * 2);
    let place_node = |place: PlaceId| u32::try_from(runs).unwrap_or(u32::MAX).saturating_add(place.0);
    for id in names.order.iter().filter(|id| out[id.index()].is_none()) {
        match names.joins(*id) {
            Link::Run(parent) => pairs.push((id.0, parent.0)),
            Link::Place(place) if !names.places[place.index()].always => {
                pairs.push((id.0, place_node(place)))
            }
            Link::Place(_) | Link::None | Link::Unknown => {}
        }
        if let Link::Place(place) = names.to(*id)
            && job.runs[id.index()].service != Service::Return
            && !names.places[place.index()].always
        {
            pairs.push((place_node(place), id.0));
        }
    }
    let edges = Edges::of(runs + names.places.len(), &pairs);
    let component = components(&edges);
    let mut size = vec![0_usize; edges.len()];
    for c in &component {
        size[*c] += 1;
    }
    let is_in_ring =
        |id: &RunId| size[component[id.index()]] > 1 || edges.of_node(id.index()).contains(&id.0);
    let mut rings: BTreeMap<usize, Vec<RunId>> = BTreeMap::new();
    for id in names.order.iter().filter(|id| out[id.index()].is_none() && is_in_ring(id)) {
        rings.entry(component[id.index()]).or_default().push(*id);
    }
    rings.into_values().collect()
}

/// The edges of all nodes in one list, each node's together.
struct Edges {
    first: Vec<u32>,
    to: Vec<u32>,
}

impl Edges {
    fn of(nodes: usize, pairs: &[(u32, u32)]) -> Self {
        let mut first = vec![0_u32; nodes + 1];
        for (from, _) in pairs {
            first[*from as usize + 1] += 1;
        }
        for node in 0..nodes {
            first[node + 1] += first[node];
        }
        let (mut next, mut to) = (first.clone(), vec![0; pairs.len()]);
        for (from, target) in pairs {
            to[next[*from as usize] as usize] = *target;
            next[*from as usize] += 1;
        }
        Self { first, to }
    }

    fn len(&self) -> usize {
        self.first.len() - 1
    }

    fn of_node(&self, node: usize) -> &[u32] {
        &self.to[self.first[node] as usize..self.first[node + 1] as usize]
    }
}

/// The component of each node.
fn components(edges: &Edges) -> Vec<usize> {
    const NEW: usize = usize::MAX;
    let mut number = vec![NEW; edges.len()];
    let mut low = vec![0; edges.len()];
    let mut component = vec![NEW; edges.len()];
    let (mut open, mut next_number, mut next_component) = (Vec::new(), 0, 0);
    for root in 0..edges.len() {
        if number[root] != NEW {
            continue;
        }
        let mut walk: Vec<(usize, usize)> = vec![(root, 0)];
        while let Some((node, edge)) = walk.pop() {
            if edge == 0 {
                (number[node], low[node]) = (next_number, next_number);
                next_number += 1;
                open.push(node);
            }
            match edges.of_node(node).get(edge) {
                Some(to) => {
                    let to = *to as usize;
                    walk.push((node, edge + 1));
                    if number[to] == NEW {
                        walk.push((to, 0));
                    } else if component[to] == NEW {
                        low[node] = low[node].min(number[to]);
                    }
                }
                None => {
                    if low[node] == number[node] {
                        while let Some(member) = open.pop() {
                            component[member] = next_component;
                            if member == node {
                                break;
                            }
                        }
                        next_component += 1;
                    }
                    if let Some((parent, _)) = walk.last() {
                        low[*parent] = low[*parent].min(low[node]);
                    }
                }
            }
        }
    }
    component
}

#[cfg(test)]
mod tests {
    use super::{Edges, components};

    #[test]
    fn a_ring_is_one_component_and_a_chain_is_many() {
        let ring = components(&Edges::of(4, &[(0, 1), (1, 2), (2, 0), (3, 0)]));
        assert!(ring[0] == ring[1] && ring[1] == ring[2] && ring[3] != ring[0]);
        let chain: Vec<(u32, u32)> = (1..200_000).map(|i| (i, i - 1)).collect();
        let mut found = components(&Edges::of(200_000, &chain));
        found.sort_unstable();
        found.dedup();
        assert_eq!(found.len(), 200_000);
    }
}
