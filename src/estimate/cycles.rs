//! Rings in a network: runs that join each other round and round (rule 2 of counting). Sought over `joins` and, through
//! places, over the runs whose `to` makes them, leaving out only the `to` of returns.
//!
//! Strongly connected components (Tarjan 1972) with a stack of our own: a chain of 20,000 runs must not end the
//! program's.

use super::names::{Link, Names};
use super::network::{Out, RunId};
use crate::trade::Service;
use crate::trade::job::Job;

/// Every run that is in a ring, with all runs of its ring by name.
pub(super) fn in_rings(job: &Job, names: &Names, out: &[Option<Out>]) -> Vec<(RunId, Vec<RunId>)> {
    let runs = job.runs.len();
    // Nodes: the runs, then the places; edges lead toward the main.
    let mut edges: Vec<Vec<usize>> = vec![Vec::new(); runs + names.places.len()];
    for id in names.order.iter().filter(|id| out[id.index()].is_none()) {
        match names.joins(*id) {
            Link::Run(parent) => edges[id.index()].push(parent.index()),
            Link::Place(place) if !names.places[place.index()].always => {
                edges[id.index()].push(runs + place.index())
            }
            Link::Place(_) | Link::None | Link::Unknown => {}
        }
        if let Link::Place(place) = names.to(*id)
            && job.runs[id.index()].service != Service::Return
            && !names.places[place.index()].always
        {
            edges[runs + place.index()].push(id.index());
        }
    }
    let component = components(&edges);
    let mut rings: Vec<Vec<RunId>> = vec![Vec::new(); edges.len()];
    for id in names.order.iter().filter(|id| out[id.index()].is_none()) {
        rings[component[id.index()]].push(*id);
    }
    let mut size = vec![0_usize; edges.len()];
    for c in &component {
        size[*c] += 1;
    }
    let mut found = Vec::new();
    for id in names.order.iter().filter(|id| out[id.index()].is_none()) {
        let own = component[id.index()];
        if size[own] > 1 || edges[id.index()].contains(&id.index()) {
            found.push((*id, rings[own].clone()));
        }
    }
    found
}

/// The component of each node.
fn components(edges: &[Vec<usize>]) -> Vec<usize> {
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
            match edges[node].get(edge) {
                Some(&to) => {
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
    use super::components;

    #[test]
    fn a_ring_is_one_component_and_a_chain_is_many() {
        let ring = components(&[vec![1], vec![2], vec![0], vec![0]]);
        assert!(ring[0] == ring[1] && ring[1] == ring[2] && ring[3] != ring[0]);
        let chain: Vec<Vec<usize>> =
            (0..200_000_usize).map(|i| i.checked_sub(1).into_iter().collect()).collect();
        let mut found = components(&chain);
        found.sort_unstable();
        found.dedup();
        assert_eq!(found.len(), 200_000);
    }
}
