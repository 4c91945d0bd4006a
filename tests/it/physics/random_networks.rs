//! Networks at random, most of them without sense: every one must settle and obey the laws.

use proptest::prelude::*;
use wetside_physics::network::{Link, Network, Part, solve};

use super::networks::{WATER, assert_lawful, link, pumped, run};

const NODES: usize = 12;

fn part() -> impl Strategy<Value = Part> {
    let bore = prop::sample::select(vec![0.0068, 0.0086, 0.0136, 0.0202, 0.0262]);
    prop_oneof![
        5 => (0.0..30.0, bore, 0.1..300.0).prop_map(|(length, bore, loss)| run(length, bore, loss)),
        1 => (1.0..30.0).prop_map(pumped),
    ]
}

fn any_link() -> impl Strategy<Value = Link> {
    (0..NODES, 0..NODES, part()).prop_map(|(from, to, part)| link(from, to, part))
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 600, failure_persistence: None, ..Default::default() })]

    /// Networks without sense settle too and obey the laws.
    #[test]
    fn any_network_settles_and_obeys_the_laws(
        links in prop::collection::vec(any_link(), 1..30),
        heads in prop::collection::vec(0.0..20.0, 1..4),
    ) {
        let mut fixed_heads: Vec<Option<f64>> = heads.into_iter().map(Some).collect();
        fixed_heads.resize(NODES, None);
        // What no path joins to a fixed head has none of its own.
        let mut joined: Vec<bool> = fixed_heads.iter().map(Option::is_some).collect();
        for _ in 0..NODES {
            for link in &links {
                let either = joined[link.from] || joined[link.to];
                (joined[link.from], joined[link.to]) = (either, either);
            }
        }
        for (fixed, joined) in fixed_heads.iter_mut().zip(joined) {
            if !joined {
                *fixed = Some(0.0);
            }
        }
        let network = Network { fixed_heads, links };
        let solution = solve(&network, WATER).unwrap();
        assert_lawful(&network, &solution, WATER);
    }
}
