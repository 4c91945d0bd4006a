//! Branches alone: rules of thumb of the trade, the reference networks, what stops a reversal.

use super::build::{exactly, from, rough};
use crate::physics::table::rows;
use wetside_house::{
    End, Layout, Point, Series, Short, Valve, Water, Way, branch, branches, convention, valve,
};
use wetside_physics::friction::Run;
use wetside_physics::{BAR, GRAVITY, pipe};
use wetside_units::truth::Truth;

/// What a path passes under a pressure, against a table that the trade may carry in its head.
#[test]
fn tails_and_loops_pass_what_the_rules_of_thumb_say() {
    for row in rows("../house/thumb.csv") {
        let water = Water::at(exactly(row.number("celsius")), None).unwrap();
        let run = Run {
            length: row.number("length_m"),
            bore: row.number("bore_mm") / 1000.0,
            roughness: 1.5e-6,
            loss: row.number("loss"),
        };
        let mut series = Series::of(End::Most, &water, [run]).unwrap();
        let head = row.number("bar") * BAR / (water.density.low * GRAVITY);
        let flow = series.flow(head, 1e-4);
        let litres = flow * 60e3;
        let wanted = row.number("l_min");
        let room = row.number("room") * wanted;
        assert!(
            (litres - wanted).abs() <= room,
            "{litres} against {wanted} l/min"
        );
        if row.has("speed") {
            let speed = flow / pipe::area(row.number("bore_mm") / 1000.0).unwrap();
            let wanted = row.number("speed");
            assert!(
                (speed - wanted).abs() <= 0.08 * wanted,
                "{speed} against {wanted} m/s"
            );
        }
    }
}

#[test]
fn a_one_way_valve_stops_the_reversed_flow() {
    let mut house = rough(Layout::TwoPipe);
    house.emitters[0].way = Way::ForwardOnly;
    house.emitters[1].way = Way::Unknown;
    let all = branches(&house).unwrap();
    let at = |at: usize| &all[at];
    assert_eq!(at(0).flow_back, exactly(0.0));
    assert!(at(0).flow.low > 0.0);
    assert_eq!(at(1).flow_back, from(0.0, at(1).flow.high));
    assert_eq!(at(2).flow_back, at(2).flow);
    house.way = Way::ForwardOnly;
    let all = branches(&house).unwrap();
    assert!(all.iter().all(|branch| branch.flow_back == exactly(0.0)));
}

#[test]
fn an_open_bypass_takes_the_flow() {
    let mut house = rough(Layout::TwoPipe);
    let shut = branches(&house).unwrap();
    house.shorts.push(Short {
        id: "header".to_string(),
        valve: from(10.0, 20.0),
        open: Truth::Yes,
    });
    let open = branches(&house).unwrap();
    for (shut, open) in shut.iter().zip(&open) {
        assert!(open.flow.high < shut.flow.high && open.flow.low < 0.5 * shut.flow.low);
        assert!(open.taken_by_shorts.low > 0.5);
    }
    house.shorts[0].open = Truth::Undecided;
    let unknown = branches(&house).unwrap();
    for ((shut, open), unknown) in shut.iter().zip(&open).zip(&unknown) {
        assert_eq!(unknown.flow.low, open.flow.low);
        assert_eq!(unknown.flow.high, shut.flow.high);
    }
}

#[test]
fn a_valve_that_may_be_shut_leaves_no_least_flow() {
    let mut house = rough(Layout::TwoPipe);
    house.emitters[0].return_valve.low = 0.0;
    house.emitters[1].return_valve = exactly(0.0);
    let all = branches(&house).unwrap();
    let first = &all[0];
    assert!(first.flow.low == 0.0 && first.flow.high > 0.0 && first.change.high.is_infinite());
    assert_eq!(all[1].flow, exactly(0.0));
    assert_eq!(branch(&house, 0).unwrap(), all[0]);
}

#[test]
fn conventions_name_rows_that_the_physics_has() {
    for kind in [
        Valve::Thermostatic,
        Valve::Wheelhead,
        Valve::Lockshield,
        Valve::TwinEntry,
        Valve::None,
        Valve::Limiter,
        Valve::Any,
    ] {
        let (off, on) = (valve(kind, true), valve(kind, false));
        assert!(0.0 < on.low && on.low <= off.low && on.high == off.high);
    }
}

/// What is said of all joints together holds for each.
#[test]
fn every_joint_lies_within_the_convention_for_all() {
    for point in [
        Point::PumpHousing,
        Point::FilterAdapter,
        Point::HeatSource,
        Point::Manifold,
        Point::RadiatorTails,
    ] {
        let (bore, loss) = convention::joint(point);
        for (one, all) in [
            (bore.range, convention::JOINT_BORE.range),
            (loss.range, convention::JOINT_LOSS.range),
        ] {
            assert!(all.low <= one.low && one.high <= all.high, "{point:?}");
        }
    }
}
