//! Flows and heads in a network of pipes and pumps, in steady state.
//!
//! Contract: given nodes, some with a fixed head, and links between them, [`solve()`] finds the flow in
//! every link and the head at every node, such that what flows into a node flows out of it and every
//! loop's heads add up to nothing, each to 10⁻⁹ of the flow or metre. Every node must have a path to a fixed
//! head: what is shut is left out. A flow where rounding alone leaves some is exactly 0. The result depends
//! on nothing but the arguments.
//!
//! The method is the global gradient: Newton's method on all flows and heads at once.
//!
//! ```
//! use wetside_physics::network::{Link, Network, Part, solve};
//! use wetside_physics::{friction::Run, pump::Curve};
//! let curve = Curve { shut_off: 22.0, fall: 22.0 / 1.9e-3 / 1.9e-3, exponent: 2.0 };
//! let branch = |bore| Part::Run(Run { length: 10.0, bore, roughness: 1.5e-6, loss: 60.0 });
//! let network = Network {
//!     fixed_heads: vec![Some(0.6), None],
//!     links: vec![
//!         Link { from: 0, to: 1, part: Part::Pump(curve) },
//!         Link { from: 1, to: 0, part: branch(0.0136) },
//!         Link { from: 1, to: 0, part: branch(0.0202) },
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

mod parts;
mod solve;
mod sparse;

pub use parts::{Fault, Link, Network, Part, Solution};

/// Flows and heads of a network.
///
/// For every link `H_from − H_to = h(Q)`, for a pump `H_from − H_to = −(H₀ − r Qⁿ)`; at every free
/// node the flows add up to nothing. `H` heads in m, `Q` flows in m³/s, `h` the loss of
/// [`head_loss`](super::friction::head_loss) at the kinematic viscosity given, in m²/s.
///
/// Valid where the friction law is; see [`Fault`] for what is refused.
///
/// ```
/// use wetside_physics::{friction::Run, network::{Link, Network, Part, solve}};
/// // Two tanks, one 2 m above the other, and a pipe between them.
/// let run = Run { length: 10.0, bore: 0.0136, roughness: 1.5e-6, loss: 1.5 };
/// let network = Network {
///     fixed_heads: vec![Some(2.0), Some(0.0)],
///     links: vec![Link { from: 0, to: 1, part: Part::Run(run) }],
/// };
/// let solution = solve(&network, 6.5785e-7).unwrap();
/// assert!((solution.flows[0] - 2.08e-4).abs() < 1e-6);
/// ```
///
/// Source: see the head of this module.
pub fn solve(network: &Network, kinematic_viscosity: f64) -> Result<Solution, Fault> {
    solve::solve(network, kinematic_viscosity)
}
