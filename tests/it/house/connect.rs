//! Points of connection: what each gives, which is best, and where the trade would choose another.

use super::build::{Dice, drawn, exactly, from, rough};
use super::draws::holds;
use wetside::figures::house::alone::branches;
use wetside::figures::house::connect::{compare, joined};
use wetside::figures::house::{House, Joint, Layout, Point, convention};

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

#[test]
fn tails_are_the_last_resort_in_numbers_too() {
    let mut dice = Dice::new(9);
    let house = drawn(&rough(Layout::TwoPipe), &mut dice);
    let joints = [Point::RadiatorTails, Point::PumpHousing].map(|point| joint(&house, point));
    let found = compare(&house, &joints, exactly(0.0)).unwrap().unwrap();
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
    let found = compare(&house, &[pump, source], exactly(0.0))
        .unwrap()
        .unwrap();
    assert!(found.best == 1 && found.clearly && found.trade_differs);
}

#[test]
fn at_a_manifold_its_own_tails_do_without_the_main() {
    let mut house = rough(Layout::Microbore);
    house.joint = joint(&house, Point::HeatSource);
    let far = branches(&house).unwrap();
    let near = branches(&joined(&house, &joint(&house, Point::Manifold))).unwrap();
    for (at, (far, near)) in far.iter().flatten().zip(near.iter().flatten()).enumerate() {
        let on_it = house.emitters[at].floor == exactly(0.0);
        assert_eq!(on_it, near.flow.low > far.flow.low, "{}", far.id);
    }
}

#[test]
fn on_a_loop_the_main_under_a_radiator_takes_the_flow_from_its_tails() {
    let house = rough(Layout::OnePipe);
    let there = joined(&house, &joint(&house, Point::RadiatorTails));
    for branch in branches(&there).unwrap().iter().flatten() {
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
    let whole = compare(
        &house,
        &points.map(|point| joint(&house, point)),
        from(-1.0, 0.0),
    );
    let whole = whole.unwrap().unwrap();
    let mut dice = Dice::new(12);
    for _ in 0..100 {
        for (at, point) in points.into_iter().enumerate() {
            let one = drawn(&joined(&house, &joint(&house, point)), &mut dice);
            let own = one.joint;
            let one = compare(&one, &[own], from(-0.4, -0.4)).unwrap().unwrap();
            let (outer, inner) = (&whole.points[at], &one.points[0]);
            assert!(holds(outer.least_speed, inner.least_speed));
            let (outer, inner) = (outer.open.unwrap(), inner.open.unwrap());
            assert!(holds(outer.machine_flow, inner.machine_flow));
            assert!(holds(outer.main_speed, inner.main_speed));
            assert!(holds(outer.at_weakest, inner.at_weakest));
        }
    }
}
