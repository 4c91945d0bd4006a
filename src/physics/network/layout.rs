//! The shape of a network: which heads are sought, and in what order they are eliminated.

use super::parts::{Fault, Link, Network};
use super::sparse::Pattern;

/// The shape of a network made ready: which nodes are free, and the order in which their heads are
/// eliminated.
pub(super) struct Layout {
    /// The place of every node's unknown, or `NO_PLACE` for a fixed head.
    pub(super) places: Vec<u32>,
    /// The entry that the two ends of every link share, or `NO_PLACE`.
    pub(super) slots: Vec<u32>,
    pub(super) pattern: Pattern,
}

/// Marks a node without unknown, or a link without an entry.
pub(super) const NO_PLACE: u32 = u32::MAX;

/// Makes the shape ready, by elimination of the unknown with the fewest neighbours first.
pub(super) fn layout(network: &Network) -> Result<Layout, Fault> {
    let nodes = network.nodes.len();
    for (link, Link { from, to, .. }) in network.links.iter().enumerate() {
        if let Some(node) = [*from, *to].into_iter().find(|node| *node >= nodes) {
            return Err(Fault::NoSuchNode { link, node });
        }
    }
    let mut unknowns = 0;
    let mut numbers = Vec::with_capacity(nodes);
    for node in &network.nodes {
        numbers.push(if node.fixed_head.is_some() {
            NO_PLACE
        } else {
            unknowns += 1;
            unknowns - 1
        });
    }
    if unknowns as usize == nodes {
        return Err(Fault::NoFixedHead);
    }
    let pair = |link: &Link| (numbers[link.from], numbers[link.to]);
    let shared = |(one, other): &(u32, u32)| *one != NO_PLACE && *other != NO_PLACE && one != other;
    let pairs: Vec<_> = network.links.iter().map(pair).filter(shared).collect();
    let pattern = Pattern::new(unknowns as usize, &pairs);
    let slot = |(one, other)| {
        if shared(&(one, other)) {
            pattern.slot(one, other)
        } else {
            NO_PLACE
        }
    };
    let place = |number: &u32| match *number {
        NO_PLACE => NO_PLACE,
        number => pattern.place[number as usize],
    };
    Ok(Layout {
        places: numbers.iter().map(place).collect(),
        slots: network.links.iter().map(|l| slot(pair(l))).collect(),
        pattern,
    })
}
