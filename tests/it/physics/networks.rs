//! Networks: against the EPANET 2.2 engine, against another solver with our friction law, and
//! against the laws that every solution must obey.

use std::collections::{BTreeMap, BTreeSet};

use wetside_physics::friction::{Run, head_loss};
use wetside_physics::network::{Link, Network, Part, Solution, solve};
use wetside_physics::{pump::Curve, water};

use super::table::{Row, rows};

/// Flow and head where a pump meets a run of pipe, with a lift in m between two open tanks.
pub(super) fn operating_point(pump: Curve, run: Run, lift: f64, viscosity: f64) -> (f64, f64) {
    let network = Network {
        fixed_heads: vec![Some(0.0), None, Some(lift)],
        links: vec![link(0, 1, Part::Pump(pump)), link(1, 2, Part::Run(run))],
    };
    let solution = solve(&network, viscosity).unwrap();
    // Where the lift is beyond the pump, its check valve holds the water.
    let flow = solution.flows[1].max(0.0);
    (flow, pump.shut_off - pump.fall * flow.powf(pump.exponent))
}

#[test]
fn operating_points_agree_with_a_root_finder() {
    for row in rows("pumps.csv") {
        let pump = parabola(
            row.number("shut_off_m"),
            row.number("greatest_l_s") / 1000.0,
        );
        let viscosity = water::kinematic_viscosity(row.number("celsius")).unwrap();
        let (flow, head) = operating_point(pump, run_of(&row), row.number("lift_m"), viscosity);
        row.agrees("flow_l_s", 1000.0 * flow, 1e-6);
        row.agrees("head_m", head, 1e-6);
    }
}

/// The systems, each with the temperature of its water in °C and the share by which a flow may differ
/// from the engine's. A weak pump beside a strong one doubles what another friction law makes of it.
const SYSTEMS: [(&str, f64, f64); 5] = [
    ("two_pipe", 40.0, 0.01),
    ("microbore", 20.0, 0.01),
    ("one_pipe", 60.0, 0.01),
    ("ring", 75.0, 0.01),
    ("valves", 30.0, 0.02),
];

/// The engine lets a shut valve leak up to this, in l/s, so the sign of less means nothing.
const ENGINE_LEAK: f64 = 2e-5;

/// A network with the names of its parts.
struct Named {
    network: Network,
    nodes: BTreeMap<String, usize>,
    links: BTreeMap<String, usize>,
    /// The links that are check valves.
    one_way: BTreeSet<usize>,
}

fn read(system: &str) -> Named {
    let mut nodes = BTreeMap::new();
    let mut network = Network::default();
    for row in rows(&format!("networks/{system}_nodes.csv")) {
        nodes.insert(row.text("node").to_owned(), network.fixed_heads.len());
        let fixed = row.has("fixed_head_m").then(|| row.number("fixed_head_m"));
        network.fixed_heads.push(fixed);
    }
    let (mut links, mut one_way) = (BTreeMap::new(), BTreeSet::new());
    for row in rows(&format!("networks/{system}_links.csv")) {
        if row.text("kind") == "cv" {
            one_way.insert(network.links.len());
        }
        links.insert(row.text("link").to_owned(), network.links.len());
        network.links.push(Link {
            from: nodes[row.text("from")],
            to: nodes[row.text("to")],
            part: part(&row),
        });
    }
    Named {
        network,
        nodes,
        links,
        one_way,
    }
}

fn part(row: &Row) -> Part {
    if row.text("kind") == "pump" {
        let greatest = row.number("greatest_l_s") / 1000.0;
        return Part::Pump(parabola(row.number("shut_off_m"), greatest));
    }
    Part::Run(run_of(row))
}

fn run_of(row: &Row) -> Run {
    Run {
        length: row.number("length_m"),
        bore: row.number("bore_mm") / 1000.0,
        roughness: row.number("roughness_mm") / 1000.0,
        loss: row.number("loss"),
    }
}

/// The network as it stands in a state, but for the links that carry nothing there.
fn in_state(system: &Named, state: &Row) -> Network {
    let mut network = system.network.clone();
    if state.text("reversed") == "1" {
        let (supply, back) = (system.links["HOSE_S"], system.links["HOSE_R"]);
        let (far, near) = (network.links[supply].to, network.links[back].from);
        network.links[supply].to = near;
        network.links[back].from = far;
    }
    for change in state
        .text("losses")
        .split(';')
        .filter(|change| !change.is_empty())
    {
        let (link, loss) = change.split_once('=').expect("link=loss");
        if let Part::Run(run) = &mut network.links[system.links[link]].part {
            run.loss = loss.parse().unwrap();
        }
    }
    network
}

/// The head gained or lost by a link, computed apart from the solver.
fn loss(link: &Link, flow: f64, viscosity: f64) -> f64 {
    match link.part {
        Part::Run(run) => head_loss(&run, flow, viscosity).unwrap(),
        Part::Pump(curve) => {
            curve.fall * flow.abs().powf(curve.exponent).copysign(flow) - curve.shut_off
        }
    }
}

/// Continuity at every free node and energy along every link.
pub(super) fn assert_lawful(network: &Network, solution: &Solution, viscosity: f64) {
    let largest = solution
        .flows
        .iter()
        .fold(0.0_f64, |most, flow| most.max(flow.abs()));
    let mut sums = vec![0.0; network.fixed_heads.len()];
    for (at, link) in network.links.iter().enumerate() {
        let flow = solution.flows[at];
        sums[link.from] += flow;
        sums[link.to] -= flow;
        let (from, to) = (solution.heads[link.from], solution.heads[link.to]);
        let miss = from - to - loss(link, flow, viscosity);
        assert!(miss.abs() < 1e-10, "link {at} leaves {miss} m unexplained");
    }
    for (at, sum) in sums.iter().enumerate() {
        if network.fixed_heads[at].is_none() {
            assert!(
                sum.abs() <= 1e-9 * largest,
                "node {at} gains {sum} m³/s of {largest}"
            );
        }
    }
}

/// Leaves out the links that are shut in a state, by hand or as check valves, and what lies behind
/// nothing but them.
fn without(network: &mut Network, shut: &BTreeSet<usize>, cut_off: &BTreeSet<usize>) -> Vec<usize> {
    for node in cut_off {
        network.fixed_heads[*node] = Some(0.0);
    }
    let ends = |link: &Link| [link.from, link.to];
    let (mut at, mut kept) = (0, Vec::new());
    network.links.retain(|link| {
        let carries = !shut.contains(&at) && !ends(link).iter().any(|node| cut_off.contains(node));
        kept.extend(carries.then_some(at));
        at += 1;
        carries
    });
    kept
}

#[test]
fn every_state_agrees_with_the_engine_and_with_the_other_solver() {
    let mut states_judged = 0;
    for (name, celsius, share) in SYSTEMS {
        let system = read(name);
        let viscosity = water::kinematic_viscosity(celsius).unwrap();
        let flows = rows(&format!("networks/{name}_flows.csv"));
        let heads = rows(&format!("networks/{name}_heads.csv"));
        for state in rows(&format!("networks/{name}_states.csv")) {
            let here = |row: &&Row| row.text("state") == state.text("state");
            let closed = state.text("closed").split(';');
            let closed = closed.filter(|link| !link.is_empty());
            let mut shut: BTreeSet<usize> = closed.map(|link| system.links[link]).collect();
            let unknown = heads.iter().filter(here);
            let unknown = unknown.filter(|row| !row.has("same_law_m"));
            let cut_off = unknown.map(|row| system.nodes[row.text("node")]).collect();
            let head = |node: usize| {
                let mut all = heads.iter().filter(here);
                let row = all.find(|row| system.nodes[row.text("node")] == node);
                row.filter(|row| row.has("same_law_m"))
                    .map(|row| row.number("same_law_m"))
            };
            // A check valve is shut where it stands against the fall of the heads.
            shut.extend(system.one_way.iter().filter(|at| {
                let link = &system.network.links[**at];
                head(link.from)
                    .zip(head(link.to))
                    .is_some_and(|(from, to)| from < to)
            }));
            let mut network = in_state(&system, &state);
            let kept = without(&mut network, &shut, &cut_off);
            let solution = solve(&network, viscosity).unwrap();
            assert_lawful(&network, &solution, viscosity);
            states_judged += 1;
            for row in flows.iter().filter(here) {
                let link = system.links[row.text("link")];
                let flow = kept.binary_search(&link).map(|at| solution.flows[at]);
                judge_flow(row, 1000.0 * flow.unwrap_or(0.0), share);
            }
            for row in heads.iter().filter(here) {
                let node = system.nodes[row.text("node")];
                if !cut_off.contains(&node) {
                    row.agrees_or("same_law_m", solution.heads[node], 0.0, 2e-5);
                }
            }
        }
    }
    assert_eq!(states_judged, 39);
}

fn judge_flow(row: &Row, have: f64, share: f64) {
    row.agrees_or("same_law_l_s", have, 1e-7, 2e-8);
    let want = row.number("same_law_l_s");
    if want == 0.0 {
        // A link that is shut or stagnant is so exactly.
        assert_eq!(have, 0.0, "{}", row.at());
    }
    // A near-stagnant link is judged by what it carries, not by a share of nearly nothing.
    row.agrees_or("epanet_l_s", have, share, 5e-5);
    let engine = row.number("epanet_l_s");
    if engine.abs() > ENGINE_LEAK {
        assert_eq!(have > 0.0, engine > 0.0, "{} has the other sign", row.at());
    }
}

pub(super) fn run(length: f64, bore: f64, loss: f64) -> Part {
    Part::Run(Run {
        length,
        bore,
        roughness: 1.5e-6,
        loss,
    })
}

pub(super) fn link(from: usize, to: usize, part: Part) -> Link {
    Link { from, to, part }
}

pub(super) fn pumped(shut_off: f64) -> Part {
    Part::Pump(parabola(shut_off, 1.0e-3))
}

/// A pump by its head at no flow and its flow at no head.
fn parabola(shut_off: f64, greatest_flow: f64) -> Curve {
    Curve {
        shut_off,
        fall: shut_off / (greatest_flow * greatest_flow),
        exponent: 2.0,
    }
}

pub(super) const WATER: f64 = 6.5785e-7;

/// A strong and a weak pump side by side: the weak one is driven backwards.
#[test]
fn a_weak_pump_beside_a_strong_one_is_driven_backwards() {
    let network = Network {
        fixed_heads: vec![Some(0.0), None, None],
        links: vec![
            link(0, 1, pumped(10.0)),
            link(0, 1, pumped(3.0)),
            link(1, 2, run(10.0, 0.0136, 60.0)),
            link(2, 0, run(10.0, 0.0202, 2.0)),
        ],
    };
    let solution = solve(&network, WATER).unwrap();
    assert!(solution.flows[1] < 0.0);
    assert_lawful(&network, &solution, WATER);
}

#[test]
fn a_bridge_without_flow_and_a_dead_end_do_no_harm() {
    let half = || run(5.0, 0.0136, 30.0);
    let network = Network {
        fixed_heads: vec![Some(1.0), None, None, None, None],
        links: vec![
            link(0, 1, half()),
            link(0, 2, half()),
            link(1, 3, half()),
            link(2, 3, half()),
            // Nothing drives water through this bridge, and it has no straight pipe either.
            link(1, 2, run(0.0, 0.0136, 5.0)),
            link(3, 0, pumped(10.0)),
            link(3, 4, run(2.0, 0.0136, 1.0)),
        ],
    };
    let solution = solve(&network, WATER).unwrap();
    assert!(solution.flows[4].abs() < 1e-8 && solution.flows[6].abs() < 1e-12);
    assert_lawful(&network, &solution, WATER);
}

#[test]
fn bad_networks_are_refused_in_words() {
    let good = Network {
        fixed_heads: vec![Some(1.0), None],
        links: vec![link(0, 1, pumped(10.0)), link(1, 0, run(5.0, 0.0136, 30.0))],
    };
    let refusal = |change: &dyn Fn(&mut Network)| {
        let mut bad = good.clone();
        change(&mut bad);
        solve(&bad, WATER).unwrap_err().to_string()
    };
    assert_eq!(
        refusal(&|bad| bad.links[1].to = 7),
        "link 1 leads to node 7, which there is not"
    );
    let floating = refusal(&|bad| bad.fixed_heads[0] = None);
    assert!(
        floating.starts_with("the network did not settle in 0 steps"),
        "{floating}"
    );
    assert_eq!(
        refusal(&|bad| bad.links[1].part = run(5.0, 0.0, 30.0)),
        "in link 1, bore is 0 m, and must be a number above 0 m"
    );
    assert_eq!(
        refusal(&|bad| bad.links[1].part = run(0.0, 0.0136, 0.0)),
        "link 1 has neither length nor loss"
    );
    assert_eq!(
        refusal(&|bad| bad.fixed_heads[0] = Some(f64::NAN)),
        "at node 0, fixed head is NaN m, and must be a number from -1e18 to 1e18"
    );
}

/// A grid of pipes with a pump between two tanks, as large as wanted; sizes vary but not by chance.
fn grid(side: usize) -> Network {
    let mut network = Network {
        fixed_heads: vec![None; side * side],
        links: Vec::new(),
    };
    network.fixed_heads[0] = Some(20.0);
    network.fixed_heads[side * side - 1] = Some(12.0);
    let bores = [0.0136, 0.0202, 0.0262, 0.0086];
    for at in 0..side * side {
        let bore = |salt: usize| bores[(7 * at + salt) % 4];
        let length = 2.0 + ((13 * at) % 9) as f64;
        if at % side + 1 < side {
            network
                .links
                .push(link(at, at + 1, run(length, bore(0), 2.0)));
        }
        if at / side + 1 < side {
            network
                .links
                .push(link(at, at + side, run(length, bore(3), 40.0)));
        }
    }
    network.links.push(link(0, side * side / 2, pumped(12.0)));
    network
}

#[test]
fn large_grids_settle_and_obey_the_laws() {
    for side in [4, 11, 32] {
        let network = grid(side);
        let solution = solve(&network, WATER).unwrap();
        assert!(
            solution.iterations < 25,
            "{} iterations",
            solution.iterations
        );
        assert_lawful(&network, &solution, WATER);
    }
}
