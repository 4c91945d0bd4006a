//! The networks that the solver and the reference engine are both given, one call a piece of work.
//! `tests/bench/run` calls it; `README.md` in the folder above says what is measured.
//!
//! ```text
//! networks input KIND SIZE     the network as an input file of the engine
//! networks flows KIND SIZE     the flow in every link, in L/s, one a line
//! networks solve KIND SIZE     solves it twice, the second time where the counter looks
//! ```
//!
//! A `house` of so many radiators has a flow and a return main with branches of ten radiators each;
//! a `grid` of so many nodes a side is all loops, which a house is not.

#![expect(clippy::print_stdout, reason = "it writes what it was asked for")]

use std::hint::black_box;
use std::{env, process};

use wetside_physics::friction::Run;
use wetside_physics::network::{Link, Network, Part, Solution, solve};
use wetside_physics::pump::Curve;

/// Of water at 40 °C, in m²/s.
const VISCOSITY: f64 = 6.5785e-7;
/// Of a smooth pipe, in m.
const ROUGHNESS: f64 = 1.5e-6;

const USAGE: &str = "networks input|flows|solve house|grid SIZE";

fn main() {
    let words: Vec<String> = env::args()
        .skip(1)
        .filter(|word| word != "--bench")
        .collect();
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    let [work, kind, size] = words[..] else {
        fail()
    };
    let size: usize = size.parse().unwrap_or_else(|_| fail());
    let network = match kind {
        "house" => house(size),
        "grid" => grid(size),
        _ => fail(),
    };
    match work {
        "input" => print!("{}", input(&network)),
        "flows" => flows(&measured_solve(&network)),
        "solve" => {
            black_box(solve(&network, VISCOSITY).expect("it has a solution"));
            black_box(measured_solve(&network));
        }
        _ => fail(),
    }
}

fn fail() -> ! {
    println!("{USAGE}");
    process::exit(2)
}

#[inline(never)]
fn measured_solve(network: &Network) -> Solution {
    solve(network, VISCOSITY).expect("it has a solution")
}

fn flows(solution: &Solution) {
    for flow in &solution.flows {
        println!("{:.9}", flow * 1e3);
    }
}

fn pipe(from: usize, to: usize, length: f64, bore: f64, loss: f64) -> Link {
    let run = Run {
        length,
        bore,
        roughness: ROUGHNESS,
        loss,
    };
    Link {
        from,
        to,
        part: Part::Run(run),
    }
}

fn pumped(from: usize, to: usize, shut_off: f64, greatest_flow: f64) -> Link {
    let curve = Curve {
        shut_off,
        fall: shut_off / (greatest_flow * greatest_flow),
        exponent: 2.0,
    };
    Link {
        from,
        to,
        part: Part::Pump(curve),
    }
}

/// Three pipes a radiator, and the pump. The tank stands at node 0.
fn house(radiators: usize) -> Network {
    const A_BRANCH: usize = 10;
    let mut network = Network {
        fixed_heads: vec![Some(0.6), None],
        links: Vec::new(),
    };
    network.links.push(pumped(0, 1, 22.0, 1.9e-3));
    let (mut flow, mut back) = (1, 0);
    for at in 0..radiators {
        let bore = match radiators {
            0..=40 => [0.0202, 0.0202, 0.0136][at % 3],
            _ => 0.0536,
        };
        let main = 2.0 + (at % 5) as f64;
        let (supply, collect) = (network.fixed_heads.len(), network.fixed_heads.len() + 1);
        network.fixed_heads.extend([None, None]);
        network.links.extend([
            pipe(flow, supply, main, bore, 2.0),
            pipe(collect, back, main, bore, 2.0),
            pipe(supply, collect, 2.0 + (at % 3) as f64, 0.0136, 91.0),
        ]);
        (flow, back) = match at % A_BRANCH {
            9 => (1, 0),
            _ => (supply, collect),
        };
    }
    network
}

/// A square of nodes, each joined to its neighbours. The tank stands at node 0.
fn grid(side: usize) -> Network {
    const BORES: [f64; 4] = [0.0136, 0.0202, 0.0262, 0.0086];
    let mut network = Network {
        fixed_heads: vec![None; side * side],
        links: Vec::new(),
    };
    network.fixed_heads[0] = Some(20.0);
    for at in 0..side * side {
        let bore = |salt: usize| BORES[(7 * at + salt) % 4];
        let length = 2.0 + ((13 * at) % 9) as f64;
        if at % side + 1 < side {
            network.links.push(pipe(at, at + 1, length, bore(0), 2.0));
        }
        if at / side + 1 < side {
            network
                .links
                .push(pipe(at, at + side, length, bore(3), 40.0));
        }
    }
    network.links.push(pumped(0, side * side / 2, 12.0, 1.0e-3));
    network
}

/// The input file of the engine, by the EPANET 2.2 user manual. Lengths in m, bores and roughness in
/// mm, flows in L/s.
fn input(network: &Network) -> String {
    let [mut junctions, mut tanks, mut pipes, mut pumps, mut curves] = [const { String::new() }; 5];
    for (at, fixed) in network.fixed_heads.iter().enumerate() {
        match fixed {
            Some(head) => tanks += &format!("N{at} {head}\n"),
            None => junctions += &format!("N{at} 0 0\n"),
        }
    }
    for (at, link) in network.links.iter().enumerate() {
        let ends = format!("L{at} N{} N{}", link.from, link.to);
        match link.part {
            Part::Run(run) => {
                let (bore, roughness) = (run.bore * 1e3, run.roughness * 1e3);
                pipes += &format!(
                    "{ends} {} {bore} {roughness} {} OPEN\n",
                    run.length, run.loss
                );
            }
            Part::Pump(curve) => {
                pumps += &format!("{ends} HEAD C{at}\n");
                let greatest = (curve.shut_off / curve.fall).powf(1.0 / curve.exponent);
                for share in [0.0, 0.5, 1.0] {
                    let flow = share * greatest * 1e3;
                    let head = curve.shut_off * (1.0 - share * share);
                    curves += &format!("C{at} {flow} {head}\n");
                }
            }
        }
    }
    format!(
        "[JUNCTIONS]\n{junctions}[RESERVOIRS]\n{tanks}[PIPES]\n{pipes}[PUMPS]\n{pumps}[CURVES]\n{curves}\
         [OPTIONS]\nUNITS LPS\nHEADLOSS D-W\nVISCOSITY {VISCOSITY}\nSPECIFIC GRAVITY 1\nTRIALS 400\n\
         ACCURACY 1e-7\nHEADERROR 1e-9\n[TIMES]\nDURATION 0\n[END]\n"
    )
}
