//! Flows and heads in a network of pipes and pumps, in steady state.
//!
//! Contract: given nodes, some with a fixed head, and links between them, [`solve`] finds the flow in
//! every link and the head at every node, such that what flows into a node flows out of it and every
//! loop's heads add up to nothing, each to 10⁻⁹ of the flow or metre. A one-way link that would run
//! backwards is held shut and its flow is exactly 0; so is the flow of a closed link. A part of the
//! network without a path to a fixed head is left at rest and its heads are unknown; that includes
//! what lies behind nothing but a link that is held shut. The result depends on nothing but the
//! arguments.
//!
//! The method is the global gradient: Newton's method on all flows and heads at once.
//!
//! ```
//! use wetside_physics::{friction::Run, network::{Gate, Link, Network, Node, Part, solve}, pump};
//! let branch = |bore| Part::Run(Run { length: 10.0, bore, roughness: 1.5e-6, loss: 60.0 });
//! let network = Network {
//!     nodes: vec![Node::fixed(0.6), Node::free()],
//!     links: vec![
//!         Link { from: 0, to: 1, part: Part::Pump(pump::parabola(22.0, 1.9e-3)?), gate: Gate::Open },
//!         Link { from: 1, to: 0, part: branch(0.0136), gate: Gate::Open },
//!         Link { from: 1, to: 0, part: branch(0.0202), gate: Gate::OneWay },
//!     ],
//! };
//! let solution = solve(&network, 6.5785e-7)?;
//! let [pumped, small, large] = solution.flows[..] else { unreachable!() };
//! assert!((pumped - small - large).abs() < 1e-15 && large > 2.0 * small);
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```
//!
//! Source: E. Todini and S. Pilati, "A gradient algorithm for the analysis of pipe networks", 1988
//! (from memory), checked against the EPANET 2.2 engine on five heating systems in 39 states.

mod law;
mod solve;
mod sparse;

use std::fmt;

use super::OutOfRange;
use super::friction::Run;
use super::pump::Curve;
use sparse::Pattern;

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
    /// The layout was made for a network with other nodes or links.
    OtherLayout,
    /// The search did not come to rest; `miss` is the worst head, in m, that is still unexplained.
    NotSettled { iterations: usize, miss: f64 },
    /// The one-way links opened and shut in turn without coming to rest.
    ValvesNotSettled { iterations: usize },
}

/// The shape of a network made ready: which nodes are free, and the order in which their heads are
/// eliminated. It serves every state of that network: gates, sizes and heads may change, but not
/// which node a link joins nor which nodes have a fixed head.
#[derive(Clone, Debug)]
pub struct Layout {
    /// The ends of every link, to know the network again.
    ends: Vec<(usize, usize)>,
    /// The place of every node's unknown, or `NO_PLACE` for a fixed head.
    places: Vec<u32>,
    /// The entry that the two ends of every link share, or `NO_PLACE`.
    slots: Vec<u32>,
    pattern: Pattern,
}

/// Marks a node without unknown, or a link without an entry.
const NO_PLACE: u32 = u32::MAX;

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

/// Flows and heads of a network.
///
/// For every link `H_from − H_to = h(Q)`, for a pump `H_from − H_to = −(H₀ − r Qⁿ)`; at every free
/// node the flows add up to minus the draw. `H` heads in m, `Q` flows in m³/s, `h` the loss of
/// [`head_loss`](super::friction::head_loss) at the kinematic viscosity given, in m²/s.
///
/// Valid where the friction law is; see [`Fault`] for what is refused.
///
/// ```
/// use wetside_physics::{friction::Run, network::{Gate, Link, Network, Node, Part, solve}};
/// // Two tanks, one 2 m above the other, and a pipe between them.
/// let run = Run { length: 10.0, bore: 0.0136, roughness: 1.5e-6, loss: 1.5 };
/// let network = Network {
///     nodes: vec![Node::fixed(2.0), Node::fixed(0.0)],
///     links: vec![Link { from: 0, to: 1, part: Part::Run(run), gate: Gate::Open }],
/// };
/// let solution = solve(&network, 6.5785e-7).unwrap();
/// assert!((solution.flows[0] - 2.08e-4).abs() < 1e-6);
/// ```
///
/// Source: see the head of this module.
pub fn solve(network: &Network, kinematic_viscosity: f64) -> Result<Solution, Fault> {
    solve_on(&layout(network)?, network, kinematic_viscosity)
}

/// Makes the shape of a network ready for many solutions.
///
/// Valid for a network with a fixed head and links between nodes that there are.
///
/// ```
/// use wetside_physics::network::{Fault, Network, Node, layout};
/// let network = Network { nodes: vec![Node::free()], links: vec![] };
/// assert_eq!(layout(&network).unwrap_err(), Fault::NoFixedHead);
/// ```
///
/// Source: elimination of the unknown with the fewest neighbours first (textbook, from memory).
pub fn layout(network: &Network) -> Result<Layout, Fault> {
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
    let slot = |(one, other)| match shared(&(one, other)) {
        true => pattern.slot(one, other),
        false => NO_PLACE,
    };
    let place = |number: &u32| match *number {
        NO_PLACE => NO_PLACE,
        number => pattern.place[number as usize],
    };
    Ok(Layout {
        ends: network.links.iter().map(|l| (l.from, l.to)).collect(),
        places: numbers.iter().map(place).collect(),
        slots: network.links.iter().map(|l| slot(pair(l))).collect(),
        pattern,
    })
}

/// Flows and heads of a network whose layout was made before: [`solve`] without its first part.
///
/// Valid as [`solve`], for the network of the layout with other gates, sizes, heads or draws.
///
/// ```
/// use wetside_physics::{friction::Run, network::{Gate, Link, Network, Node, Part, layout, solve_on}};
/// let run = Run { length: 10.0, bore: 0.0136, roughness: 1.5e-6, loss: 1.5 };
/// let mut network = Network {
///     nodes: vec![Node::fixed(2.0), Node::fixed(0.0)],
///     links: vec![Link { from: 0, to: 1, part: Part::Run(run), gate: Gate::Open }],
/// };
/// let layout = layout(&network).unwrap();
/// network.links[0].gate = Gate::Closed;
/// assert_eq!(solve_on(&layout, &network, 6.5785e-7).unwrap().flows, [0.0]);
/// ```
///
/// Source: as [`solve`].
pub fn solve_on(
    layout: &Layout,
    network: &Network,
    kinematic_viscosity: f64,
) -> Result<Solution, Fault> {
    solve::solve(layout, network, kinematic_viscosity)
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
            Fault::OtherLayout => write!(f, "the layout belongs to another network"),
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
