//! Where the head of the machine goes on the way through one branch: the index run by its parts.
//!
//! Contract: for people. One solution with every number at its usual value, all other branches shut; the parts
//! stand in the order of the flow and add up to what the pump makes then.

use crate::alone::branch;
use crate::likely::at_usual;
use crate::mains::{self, Lay};
use crate::model::{House, Layout};
use crate::series::{End, Series, Water, valve_loss};
use wetside_physics::friction::Run;
use wetside_physics::{GRAVITY, OutOfRange};

/// The parts of a run with what each loses in Pa, and the flow in m³/s through the branch at its end.
#[derive(Clone, Debug, PartialEq)]
pub struct IndexRun {
    pub id: String,
    pub flow: f64,
    pub parts: Vec<(&'static str, f64)>,
}

/// The run of one emitter by its place in the house; both numbers of a range that is left of a solution, as
/// where a way round may stand open, are met in the middle.
pub fn index_run(house: &House, at: usize) -> Result<IndexRun, OutOfRange> {
    let house = at_usual(house);
    let (emitter, end) = (&house.emitters[at], End::Most);
    let (water, lay) = (
        Water::at(house.celsius, house.antifreeze.as_ref())?,
        Lay::of(&house),
    );
    let found = branch(&house, at)?;
    let (own, main) = (found.flow.middle(), found.main_flow.middle());
    let machine = main / (1.0 - found.taken_by_shorts.middle()).max(1e-3);
    let lost = |runs: Vec<Run>, flow: f64| -> Result<f64, OutOfRange> {
        let head = Series::of(end, &water, runs)?.loss(flow);
        Ok(head * water.density.middle() * GRAVITY)
    };
    let of_valve = |passes: f64, flow: f64| {
        valve_loss(passes) * flow * flow * water.density.middle() * GRAVITY
    };
    let mut common = mains::common(&house.machine, &house.joint, end);
    let hoses: Vec<Run> = common.next().into_iter().collect();
    let bare = hoses.iter().map(|run| Run { loss: 0.0, ..*run }).collect();
    let host = lost(common.collect(), machine)?;
    let source = house.joint.source;
    let source = source.map_or(0.0, |passes| of_valve(passes.middle(), machine));
    let (all, hoses) = (lost(hoses, machine)?, lost(bare, machine)?);
    let of_mains = if house.layout == Layout::OnePipe {
        vec![mains::rest_of_loop(&house, 1, end)]
    } else {
        let run = lay.main_run(emitter, end, emitter.tails.length.middle());
        mains::main_pipes(&house, run, &emitter.tails, end).to_vec()
    };
    let of_mains = lost(of_mains, main)?;
    let length = emitter.tails.length.middle();
    let tails = mains::tails_pipe(&emitter.tails, length, emitter.blockage.middle(), end);
    let valves = [emitter.flow_valve, emitter.return_valve].map(|valve| valve.middle());
    let valves = valves.map(|passes| emitter.blockage.middle() * of_valve(passes, own));
    let parts = [
        ("hoses", hoses),
        ("their joints", all - hoses - source + host),
        ("the heat source", source),
        ("mains", of_mains),
        ("tails with the emitter", lost(vec![tails], own)?),
        ("valves", valves.iter().sum()),
    ];
    Ok(IndexRun {
        id: emitter.id.clone(),
        flow: own,
        parts: parts.into_iter().filter(|(_, lost)| *lost > 0.5).collect(),
    })
}
