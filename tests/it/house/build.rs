//! Invented houses to test with, and random houses out of their ranges.

use wetside_house::{
    Body, Duty, Emitter, House, Joint, Layout, Machine, Mains, Point, Range, Tails, Valve, Way,
    convention, valve,
};
use wetside_units::truth::Truth;

pub(super) fn exactly(value: f64) -> Range {
    Range::point(value)
}

pub(super) fn from(low: f64, high: f64) -> Range {
    Range::new(low, high)
}

/// A house as a survey of a few lines gives it: lengths *about*, everything else by convention.
pub(super) fn rough(layout: Layout) -> House {
    let (bore, loss) = convention::joint(Point::PumpHousing);
    let small = matches!(layout, Layout::Microbore | Layout::Radial);
    let tail = if small { 0.0088 } else { 0.0136 };
    let emitters = [
        ("hall", 0.0, 6e-3),
        ("kitchen", 0.0, 4e-3),
        ("lounge", 0.0, 9e-3),
        ("landing", 1.0, 3e-3),
        ("front bedroom", 1.0, 6e-3),
        ("back bedroom", 1.0, 5e-3),
    ];
    House {
        layout,
        machine: Machine {
            shut_off: exactly(1.85e5),
            rated_flow: exactly(84e-3 / 60.0),
            plate: convention::PLATE.range,
            curve: convention::CURVE.range,
            hose_length: exactly(7.5),
            hose_bore: convention::HOSE_BORE.range,
            hose_roughness: convention::HOSE_WALL.range,
            level: convention::TANK_LEVEL.range,
            duty: None,
        },
        joint: Joint {
            point: Point::PumpHousing,
            floor: exactly(0.0),
            bore: bore.range,
            loss: loss.range,
            source: None,
            host: None,
        },
        mains: Mains {
            bore: exactly(0.0202),
            roughness: convention::COPPER.range,
            loss_per_metre: convention::FITTINGS.range,
            longest_run: from(24.0, 40.0),
            stepped: convention::STEPPED.range,
            storey: convention::STOREY.range,
            piece_length: convention::PIECE_LENGTH.range,
            piece_loss: convention::PIECE_LOSS.range,
            piece: Truth::No,
        },
        emitters: emitters
            .into_iter()
            .map(|(id, floor, content)| emitter(id, floor, content, tail))
            .collect(),
        more: false,
        floor: None,
        shorts: Vec::new(),
        way: Way::Both,
        celsius: from(35.0, 50.0),
        antifreeze: None,
    }
}

fn emitter(id: &str, floor: f64, content: f64, bore: f64) -> Emitter {
    Emitter {
        id: id.to_string(),
        floor: exactly(floor),
        place: from(0.0, 1.0),
        content: from(0.8 * content, 1.45 * content),
        tails: Tails {
            length: from(5.0, 9.0),
            bore: exactly(bore),
            roughness: convention::COPPER.range,
            loss: convention::TAIL_FITTINGS.range,
        },
        flow_valve: valve(Valve::Thermostatic, true),
        return_valve: valve(Valve::Lockshield, true),
        blockage: exactly(1.0),
        body: Some(Body {
            panels: exactly(2.0),
            length: exactly(1.2),
        }),
        way: Way::Both,
        drop_feed: false,
    }
}

/// Numbers without an order to the eye, the same in every run.
pub(super) struct Dice(u64);

impl Dice {
    pub(super) fn new(seed: u64) -> Dice {
        Dice(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) | 1)
    }

    /// From 0 to below 1.
    pub(super) fn roll(&mut self) -> f64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 >> 11) as f64 / (1_u64 << 53) as f64
    }
}

/// One house out of the ranges of another: a number for each; now and then an end of its range.
pub(super) fn drawn(house: &House, dice: &mut Dice) -> House {
    let mut one = house.clone();
    one.visit(&mut |_, _, range| {
        let share = match dice.roll() {
            low if low < 0.15 => 0.0,
            high if high > 0.85 => 1.0,
            _ => dice.roll(),
        };
        *range = Range::point(range.low + share * (range.high - range.low));
    });
    one
}

/// The same house with every range narrowed at random.
pub(super) fn narrowed(house: &House, dice: &mut Dice) -> House {
    let mut one = house.clone();
    one.visit(&mut |_, _, range| {
        let width = range.high - range.low;
        let (a, b) = (dice.roll(), dice.roll());
        *range = Range::new(range.low + a.min(b) * width, range.low + a.max(b) * width);
    });
    one
}

/// The same house with its machine read while it ran, half-way up its curve.
pub(super) fn measured(mut house: House) -> House {
    let machine = house.machine;
    let flow = machine.rated_flow.times(0.45);
    let made = machine.likely_pressure(flow.middle());
    let duty = Duty {
        flow: from(0.95 * flow.low, 1.05 * flow.high),
        pressure: from(made - 0.05e5, made + 0.05e5),
    };
    house.machine = machine.through(duty).expect("it lies on its plate");
    house
}
