//! Facts in the order in which they are first named, each once.
//!
//! Contract: the order is that of the first naming. The cost of another fact does not grow with those
//! that are there.

use super::FactId;
use std::collections::HashSet;

/// So few are looked through sooner than looked up.
const FEW: usize = 64;

/// A list of facts that names none twice.
#[derive(Debug, Default)]
pub struct EachOnce {
    order: Vec<FactId>,
    /// The same, once they are many.
    known: HashSet<FactId>,
}

impl EachOnce {
    /// Whether the fact was not there yet.
    pub fn push(&mut self, fact: FactId) -> bool {
        if self.order.len() == FEW && self.known.is_empty() {
            self.known.extend(&self.order);
        }
        let fresh = if self.known.is_empty() {
            !self.order.contains(&fact)
        } else {
            self.known.insert(fact)
        };
        if fresh {
            self.order.push(fact);
        }
        fresh
    }

    pub fn into_vec(self) -> Vec<FactId> {
        self.order
    }
}

/// The facts in their order, each once.
pub fn each_once(facts: impl IntoIterator<Item = FactId>) -> Vec<FactId> {
    let mut all = EachOnce::default();
    for fact in facts {
        all.push(fact);
    }
    all.into_vec()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn many_facts_keep_their_order_as_few_do() {
        let named = |most: u32| (0..3 * most).map(move |at| FactId(at * 11 % most));
        for most in [1, 5, 63, 64, 65, 200] {
            let all = each_once(named(most));
            let first: Vec<FactId> = named(most).take(most as usize).collect();
            assert_eq!(all, first, "{most}");
        }
    }
}
