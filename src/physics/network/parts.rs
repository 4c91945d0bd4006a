//! What a network is made of, what is found of it, and why it may be refused.

use crate::OutOfRange;
use crate::friction::Run;
use crate::pump::Curve;
use std::fmt;

/// A pipe or pump between two nodes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Link {
    /// The node from which a positive flow comes: a number in [`Network::fixed_heads`].
    pub from: usize,
    /// The node to which a positive flow goes.
    pub to: usize,
    pub part: Part,
}

/// What a link is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Part {
    Run(Run),
    /// A pump that lifts from `from` to `to`.
    Pump(Curve),
}

/// Nodes, where links meet, and the links between them.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Network {
    /// The head held at each node, in m above the common datum: the level of an open tank, or the
    /// pressure of a filling or expansion point. `None` where the head is sought.
    pub fixed_heads: Vec<Option<f64>>,
    pub links: Vec<Link>,
}

/// Flows and heads of a network at rest in time.
#[derive(Clone, Debug, PartialEq)]
pub struct Solution {
    /// Flow in each link, in m³/s, positive from `from` to `to`. A pump may be driven backwards or past
    /// its flow at no head; its figures are then extended from the curve.
    pub flows: Vec<f64>,
    /// Head at each node, in m above the datum.
    pub heads: Vec<f64>,
    /// How many times the equations were solved.
    pub iterations: usize,
}

/// Why a network could not be solved.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Fault {
    /// A quantity of this link is out of range.
    Link { link: usize, cause: OutOfRange },
    /// The fixed head of this node is out of range.
    Node { node: usize, cause: OutOfRange },
    /// This link names a node that there is not.
    NoSuchNode { link: usize, node: usize },
    /// This link has neither length nor loss, so nothing limits its flow.
    NoResistance { link: usize },
    /// The search did not come to rest, or some node has no path to a fixed head; `miss` is the worst
    /// head, in m, that is still unexplained.
    NotSettled { iterations: usize, miss: f64 },
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Fault::Link { link, cause } => write!(f, "in link {link}, {cause}"),
            Fault::Node { node, cause } => write!(f, "at node {node}, {cause}"),
            Fault::NoSuchNode { link, node } => {
                write!(f, "link {link} leads to node {node}, which there is not")
            }
            Fault::NoResistance { link } => {
                write!(f, "link {link} has neither length nor loss")
            }
            Fault::NotSettled { iterations, miss } => write!(
                f,
                "the network did not settle in {iterations} steps; a head of {miss} m is unexplained"
            ),
        }
    }
}

impl std::error::Error for Fault {}
