//! Networks at random, most of them without sense: every one must settle and obey the laws.

use proptest::prelude::*;
use wetside_physics::network::{Gate, Link, Network, Node, Part, solve};

use super::networks::{WATER, assert_lawful, link, pumped, run};

const NODES: usize = 12;

fn part() -> impl Strategy<Value = Part> {
    let bore = prop::sample::select(vec![0.0068, 0.0086, 0.0136, 0.0202, 0.0262]);
    prop_oneof![
        5 => (0.0..30.0, bore, 0.1..300.0).prop_map(|(length, bore, loss)| run(length, bore, loss)),
        1 => (1.0..30.0).prop_map(pumped),
    ]
}

fn gate() -> impl Strategy<Value = Gate> {
    prop_oneof![
        6 => Just(Gate::Open),
        2 => Just(Gate::OneWay),
        1 => Just(Gate::Closed),
    ]
}

fn any_link() -> impl Strategy<Value = Link> {
    (0..NODES, 0..NODES, part(), gate())
        .prop_map(|(from, to, part, gate)| link(from, to, part, gate))
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 600, failure_persistence: None, ..Default::default() })]

    /// Networks without sense settle too, obey the laws, and hold no valve shut that is driven
    /// forwards.
    #[test]
    fn any_network_settles_and_obeys_the_laws(
        links in prop::collection::vec(any_link(), 1..30),
        heads in prop::collection::vec(0.0..20.0, 1..4),
    ) {
        let mut nodes = vec![Node::free(); NODES];
        for (node, head) in nodes.iter_mut().zip(&heads) {
            *node = Node::fixed(*head);
        }
        let network = Network { nodes, links };
        let solution = solve(&network, WATER).unwrap();
        assert_lawful(&network, &solution, WATER);
        for (at, link) in network.links.iter().enumerate() {
            if link.gate == Gate::OneWay {
                prop_assert!(solution.flows[at] >= 0.0);
            }
            if solution.shut.contains(&at)
                && let (Some(from), Some(to)) = (solution.heads[link.from], solution.heads[link.to])
            {
                let lift = match link.part {
                    Part::Run(_) => 0.0,
                    Part::Pump(curve) => curve.shut_off,
                };
                prop_assert!(from - to + lift <= 1e-8);
            }
        }
    }
}
