//! Points of connection: what each gives, which is best, and where the trade would choose another.

use super::build::{Dice, drawn, exactly, from, rough};
use super::draws::holds;
use wetside_house::{
    Comparison, House, Joint, Layout, Point, Range, branches, compare, convention, least_speed,
    never_slower, with_all_open,
};

fn joint(house: &House, point: Point) -> Joint {
    let (bore, loss) = convention::joint(point);
    Joint {
        point,
        bore: bore.range,
        loss: loss.range,
        host: (point == Point::RadiatorTails).then(|| house.emitters[0].tails),
        ..house.joint
    }
}

fn joined(house: &House, joint: &Joint) -> House {
    house.clone().joined(*joint)
}

fn compared(house: &House, joints: &[Joint], weakest: Range) -> Comparison {
    let houses: Vec<House> = joints.iter().map(|joint| joined(house, joint)).collect();
    compare(&houses, weakest).unwrap().unwrap()
}

#[test]
fn tails_are_the_last_resort_in_numbers_too() {
    let mut dice = Dice::new(9);
    let house = drawn(&rough(Layout::TwoPipe), &mut dice);
    let joints = [Point::RadiatorTails, Point::PumpHousing].map(|point| joint(&house, point));
    let found = compared(&house, &joints, exactly(0.0));
    let points: Vec<Point> = found.points.iter().map(|one| one.point).collect();
    assert_eq!(points, [Point::PumpHousing, Point::RadiatorTails]);
    assert!(found.best == 0 && found.clearly && !found.trade_differs);
    let [pump, tails] = &found.points[..] else {
        panic!("two points were given");
    };
    assert!(tails.least_speed.high < pump.least_speed.low);
    assert!(tails.open.unwrap().machine_flow.high < pump.open.unwrap().machine_flow.low);
}

#[test]
fn a_heat_source_in_the_way_makes_the_trades_first_choice_the_worse() {
    let mut dice = Dice::new(4);
    let house = drawn(&rough(Layout::TwoPipe), &mut dice);
    let mut pump = joint(&house, Point::PumpHousing);
    (pump.bore, pump.loss) = (exactly(0.019), exactly(4.0));
    pump.source = Some(exactly(1.0));
    let mut source = joint(&house, Point::HeatSource);
    (source.bore, source.loss) = (exactly(0.019), exactly(4.0));
    let found = compared(&house, &[pump, source], exactly(0.0));
    assert!(found.best == 1 && found.clearly && found.trade_differs);
}

#[test]
fn at_a_manifold_its_own_tails_do_without_the_main() {
    let mut house = rough(Layout::Microbore);
    house.joint = joint(&house, Point::HeatSource);
    let far = branches(&house).unwrap();
    let near = branches(&joined(&house, &joint(&house, Point::Manifold))).unwrap();
    for (at, (far, near)) in far.iter().zip(&near).enumerate() {
        let on_it = house.emitters[at].floor == exactly(0.0);
        assert_eq!(on_it, near.flow.low > far.flow.low, "{}", far.id);
    }
}

#[test]
fn on_a_loop_the_main_under_a_radiator_takes_the_flow_from_its_tails() {
    let house = rough(Layout::OnePipe);
    let there = joined(&house, &joint(&house, Point::RadiatorTails));
    for branch in branches(&there).unwrap() {
        assert!(
            branch.taken_by_shorts.low > 0.3,
            "{:?}",
            branch.taken_by_shorts
        );
    }
}

#[test]
fn ranges_of_the_points_hold_the_houses_drawn_from_them() {
    let house = rough(Layout::TwoPipe);
    let points = [Point::PumpHousing, Point::HeatSource, Point::RadiatorTails];
    let joints = points.map(|point| joint(&house, point));
    let whole = compared(&house, &joints, from(-1.0, 0.0));
    let mut dice = Dice::new(12);
    for _ in 0..100 {
        for (at, point) in points.into_iter().enumerate() {
            let one = drawn(&joined(&house, &joint(&house, point)), &mut dice);
            let one = compare(&[one], from(-0.4, -0.4)).unwrap().unwrap();
            let (outer, inner) = (&whole.points[at], &one.points[0]);
            assert!(holds(outer.least_speed, inner.least_speed));
            let (outer, inner) = (outer.open.unwrap(), inner.open.unwrap());
            assert!(holds(outer.machine_flow, inner.machine_flow));
            assert!(holds(outer.main_speed, inner.main_speed));
            assert!(holds(outer.at_weakest, inner.at_weakest));
        }
    }
}

/// A point that is said never to be slower is not, in any house drawn: the parts that both share are
/// the same in both, and each joint is drawn for itself.
#[test]
fn a_point_that_is_never_slower_is_not_in_any_house() {
    let mut dice = Dice::new(31);
    let mut held = 0;
    for layout in [
        Layout::TwoPipe,
        Layout::OnePipe,
        Layout::Radial,
        Layout::Microbore,
    ] {
        let house = rough(layout);
        let mut points: Vec<Joint> = [
            Point::PumpHousing,
            Point::HeatSource,
            Point::Manifold,
            Point::RadiatorTails,
        ]
        .map(|point| joint(&house, point))
        .to_vec();
        points[0].bore = from(0.024, 0.026);
        points[0].loss = from(2.0, 3.0);
        points[1].source = Some(from(1.0, 2.0));
        for one in &points {
            for other in &points {
                if one.point == other.point
                    || !never_slower(&joined(&house, one), &joined(&house, other))
                {
                    continue;
                }
                for _ in 0..30 {
                    let shared = drawn(&house, &mut dice);
                    let at = |joint: &Joint, dice: &mut Dice| {
                        let mut there = joined(&house, joint);
                        there = drawn(&there, dice);
                        let there = joined(&shared, &there.joint);
                        least_speed(&branches(&there).unwrap()).unwrap().1
                    };
                    let (fast, slow) = (at(one, &mut dice), at(other, &mut dice));
                    assert!(
                        fast.low >= slow.low * (1.0 - 1e-3),
                        "{layout:?}: {:?} gives {fast:?} and {:?} gives {slow:?}",
                        one.point,
                        other.point
                    );
                    held += 1;
                }
            }
        }
    }
    assert!(held > 100, "only {held} were compared");
}

/// What the heat source in the way loses may raise or lower the pressure where the mains begin; the
/// range holds both.
#[test]
fn the_pressure_of_the_lowest_parts_holds_any_loss_in_the_way() {
    let mut house = rough(Layout::TwoPipe);
    house.joint = joint(&house, Point::PumpHousing);
    house.joint.source = Some(Range::new(0.8, f64::INFINITY));
    let whole = with_all_open(&house, exactly(0.0)).unwrap().at_weakest;
    let mut dice = Dice::new(5);
    for passes in [0.8, 1.0, 1.5, 2.5, 5.0, 20.0, f64::INFINITY] {
        for _ in 0..5 {
            let mut one = house.clone();
            one.joint.source = Some(exactly(2.0));
            let mut one = drawn(&one, &mut dice);
            one.joint.source = Some(exactly(passes));
            let found = with_all_open(&one, exactly(0.0)).unwrap().at_weakest;
            assert!(
                holds(whole, found),
                "{passes}: {found:?} is not in {whole:?}"
            );
        }
    }
}
