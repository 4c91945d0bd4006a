//! What a network is made of, what is found of it, and why it may be refused.
//!
//! Contract: data only; nodes and links are known by their places in the lists.

use std::fmt;

use crate::OutOfRange;
use crate::friction::Run;
use crate::pump::Curve;

/// A place where links meet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Node {
    /// The head held here, in m above the common datum: the level of an open tank, or the pressure
    /// of a filling or expansion point. `None` where the head is sought.
    pub fixed_head: Option<f64>,
    /// Flow taken out of the network here, in m³/s; negative where water is let in.
    pub draw: f64,
}

/// A pipe or pump between two nodes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Link {
    /// The node from which a positive flow comes: a number in [`Network::nodes`].
    pub from: usize,
    /// The node to which a positive flow goes.
    pub to: usize,
    pub part: Part,
    pub gate: Gate,
}

/// What a link is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Part {
    Run(Run),
    /// A pump that lifts from `from` to `to`.
    Pump(Curve),
}

/// Which way a link lets water through.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Gate {
    Open,
    /// From `from` to `to` only.
    OneWay,
    Closed,
}

/// Nodes and the links between them.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Network {
    pub nodes: Vec<Node>,
    pub links: Vec<Link>,
}

/// Flows and heads of a network at rest in time.
#[derive(Clone, Debug, PartialEq)]
pub struct Solution {
    /// Flow in each link, in m³/s, positive from `from` to `to`.
    pub flows: Vec<f64>,
    /// Head at each node, in m above the datum; `None` without a path to a fixed head.
    pub heads: Vec<Option<f64>>,
    /// The one-way links that are held shut, rising.
    pub shut: Vec<usize>,
    /// The pumps driven beyond their curve: backwards, or past the flow at no head. Their figures
    /// are extended from the curve and are not to be trusted.
    pub beyond_curve: Vec<usize>,
    /// How many times the equations were solved.
    pub iterations: usize,
}

/// Why a network could not be solved.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Fault {
    /// A quantity of this link is out of range.
    Link { link: usize, cause: OutOfRange },
    /// A quantity of this node is out of range.
    Node { node: usize, cause: OutOfRange },
    /// This link names a node that there is not.
    NoSuchNode { link: usize, node: usize },
    /// No node has a fixed head, so no pressure is known anywhere.
    NoFixedHead,
    /// This link has neither length nor loss, so nothing limits its flow.
    NoResistance { link: usize },
    /// Water is drawn at this node, but no open path leads there.
    DrawCutOff { node: usize },
    /// The search did not come to rest; `miss` is the worst head, in m, that is still unexplained.
    NotSettled { iterations: usize, miss: f64 },
    /// The one-way links opened and shut in turn without coming to rest.
    ValvesNotSettled { iterations: usize },
}

impl Node {
    /// A node whose head is sought and where nothing is drawn.
    pub fn free() -> Node {
        Node {
            fixed_head: None,
            draw: 0.0,
        }
    }

    /// A node with a fixed head, in m above the datum.
    pub fn fixed(head: f64) -> Node {
        Node {
            fixed_head: Some(head),
            draw: 0.0,
        }
    }
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Fault::Link { link, cause } => write!(f, "in link {link}, {cause}"),
            Fault::Node { node, cause } => write!(f, "at node {node}, {cause}"),
            Fault::NoSuchNode { link, node } => {
                write!(f, "link {link} leads to node {node}, which there is not")
            }
            Fault::NoFixedHead => write!(f, "no node of the network has a fixed head"),
            Fault::NoResistance { link } => {
                write!(f, "link {link} has neither length nor loss")
            }
            Fault::DrawCutOff { node } => {
                write!(
                    f,
                    "water is drawn at node {node}, but no open path leads there"
                )
            }
            Fault::ValvesNotSettled { iterations } => {
                write!(f, "the one-way links did not settle in {iterations} steps")
            }
            Fault::NotSettled { iterations, miss } => write!(
                f,
                "the network did not settle in {iterations} steps; a head of {miss} m is unexplained"
            ),
        }
    }
}

impl std::error::Error for Fault {}
