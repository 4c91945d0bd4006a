//! What is worked out of a survey as pictures: the rinse, the pump against the system, the tank while it
//! dumps, and the day.

use crate::curves::{Bar, Curve, Picture, Shape, Shows, in_words, svg};
use crate::plot::plot;
use wetside_engine::figures::day::TURNS;
use wetside_engine::figures::tell::Told;
use wetside_engine::figures::view::Refused;
use wetside_house::Range;
use wetside_units::DateTime;

/// The pictures, by name.
pub const CURVES: [&str; 4] = ["rinse", "pump", "tank", "day"];

/// One of the pictures, with what it shows in words.
pub struct Drawing {
    pub svg: String,
    /// The same in letters, for a page of text.
    pub plot: String,
    /// What is to be seen in it.
    pub says: String,
    /// What its numbers are, and some of them in words. Of the day there are none: its table has them.
    pub numbers: Option<(String, Vec<String>)>,
}

/// One of the pictures, or why it is not drawn.
pub fn curve(told: &Result<Told, Refused>, name: &str) -> Result<Drawing, String> {
    let none = |why: &str| Err(format!("not drawn: {why}"));
    let told = match told {
        Ok(told) => told,
        Err(why) => return none(&why.0),
    };
    match name {
        "rinse" if told.plan.course.is_empty() => {
            none("the readings of system and mains, the tap's flow or the volume is not known")
        }
        "rinse" => Ok(rinse(told)),
        "pump" if told.open.is_err() => none("everything open is not worked out"),
        "pump" => Ok(pump(told)),
        "tank" => match told.tank {
            Some(tank) => Ok(dump(tank)),
            None => {
                none("the tank, the dump's flow or the tap's is not known, or it does not fall")
            }
        },
        "day" => Ok(day(told)),
        _ => Err(format!("there is no curve `{name}`: {}", CURVES.join(", "))),
    }
}

/// A picture, drawn and told.
fn drawing(picture: &Picture<'_>) -> Drawing {
    let numbers = match &picture.shows {
        Shows::Curves { up, curves } => {
            Some((format!("{up} against {}", picture.across), in_words(curves)))
        }
        Shows::Bars(_) => None,
    };
    Drawing {
        svg: svg(picture),
        plot: plot(picture),
        says: picture.says.to_string(),
        numbers,
    }
}

const PPM: f64 = 1000.0;
const MINUTE: f64 = 60.0;
const LITRES: f64 = 1000.0;
const BAR: f64 = 1e5;

const RINSE: &str = "How the dissolved solids of the average water, of the return and of the worst branch come \
     down to the band that counts as rinsed, with every number at the middle of its range";

fn rinse(told: &Told) -> Drawing {
    let plan = &told.plan;
    let far = plan.course.last().map_or(0.0, |last| last.time) / MINUTE;
    let line = |of: &dyn Fn(&wetside_house::rinse::Moment) -> Option<f64>| -> Vec<(f64, f64)> {
        let points = plan.course.iter();
        points
            .filter_map(|moment| Some((moment.time / MINUTE, PPM * of(moment)?)))
            .collect()
    };
    let level = |value: f64| vec![(0.0, PPM * value), (far, PPM * value)];
    let mut curves = Vec::new();
    if let Some(band) = plan.clean {
        let shape = Shape::Area(level(band.low), level(band.high));
        curves.push(named("counts as rinsed", shape));
    }
    let lines = [
        ("average of all water", line(&|moment| Some(moment.average))),
        ("return", line(&|moment| moment.back)),
        ("worst branch", line(&|moment| moment.worst)),
    ];
    let lines = lines.into_iter().filter(|(_, points)| !points.is_empty());
    curves.extend(lines.map(|(name, points)| named(name, Shape::Line(points))));
    // One reading alone has no place in time: minutes are counted from the first.
    let (begins, readings) = &told.readings;
    let begins = DateTime::from_seconds(*begins as i64).filter(|_| readings.len() > 1);
    let since = begins.map(|begins| begins.to_string().replace('T', ", "));
    let read = since.as_ref().map(|since| format!("read, from {since}"));
    if let Some(name) = &read {
        let points = readings.iter();
        let points = points.map(|reading| (reading.time / MINUTE, PPM * reading.value));
        curves.push(named(name, Shape::Points(points.collect())));
    }
    let says = match &since {
        Some(since) => format!(
            "{RINSE}, and what was read, its minutes counted from the first reading, {since}."
        ),
        None => format!("{RINSE}."),
    };
    drawing(&Picture {
        title: "Dissolved solids while rinsing",
        says: &says,
        across: "minutes of rinsing",
        shows: Shows::Curves { up: "ppm", curves },
    })
}

fn named(name: &str, shape: Shape) -> Curve<'_> {
    Curve { name, shape }
}

/// Points on a curve.
const POINTS: u32 = 40;

fn pump(told: &Told) -> Drawing {
    let machine = &told.house.machine;
    let most = machine.rated_flow.high * machine.plate.high;
    let point = |flow: f64, pressure: f64| (flow * LITRES * MINUTE, pressure / BAR);
    let flows = || (0..=POINTS).map(|nth| most * f64::from(nth) / f64::from(POINTS));
    let makes =
        |of: fn(Range) -> f64| flows().map(move |flow| point(flow, of(machine.makes(flow))));
    let (low, high) = (makes(|made| made.low), makes(|made| made.high));
    let makes = Shape::Area(low.collect(), high.collect());
    let mut curves = vec![named("the pump makes", makes)];
    if let Ok(open) = &told.open {
        let system = |flow: f64, made: f64| {
            let lost = flows().map(|here| (here, made * (here / flow).powi(2)));
            let within = lost.take_while(|(_, lost)| *lost <= machine.makes(0.0).high);
            Shape::Line(within.map(|(here, lost)| point(here, lost)).collect())
        };
        let Range { low, high } = open.machine_flow;
        let (hardest, easiest) = (machine.makes(low).low, machine.makes(high).high);
        curves.push(named("hardest system", system(low, hardest)));
        curves.push(named("easiest system", system(high, easiest)));
    }
    if let Some(read) = &machine.duty {
        let read = point(read.flow.middle(), read.pressure.middle());
        curves.push(named("read on the machine", Shape::Points(vec![read])));
    }
    drawing(&Picture {
        title: "The pump against the system, everything open",
        says: "What the pump makes at each flow, by its plate and all that may be between its ends, and what \
               the system loses by the square of the flow: they meet at the machine's flow.",
        across: "flow through the machine, L/min",
        shows: Shows::Curves { up: "bar", curves },
    })
}

fn dump(tank: wetside_engine::figures::tell::Dump) -> Drawing {
    let line = |level: f64, falls: f64| -> Vec<(f64, f64)> {
        let until = (level - tank.least).max(0.0) / falls;
        vec![(0.0, level * LITRES), (until, tank.least * LITRES)]
    };
    let (fast, slow) = (
        line(tank.full.low, tank.falls.high),
        line(tank.full.high, tank.falls.low),
    );
    let far = slow.last().map_or(0.0, |(time, _)| *time);
    let least = vec![(0.0, tank.least * LITRES), (far, tank.least * LITRES)];
    let mut curves = if fast == slow {
        vec![named("the water", Shape::Line(fast))]
    } else {
        let slow = named("at the slowest", Shape::Line(slow));
        vec![named("at the fastest", Shape::Line(fast)), slow]
    };
    curves.push(named("least for the pump", Shape::Line(least)));
    drawing(&Picture {
        title: "The tank while it dumps",
        says: "How the water in the machine's tank falls from its working level to the least that its pump \
               needs.",
        across: "seconds of dumping",
        shows: Shows::Curves {
            up: "L in the tank",
            curves,
        },
    })
}

fn day(told: &Told) -> Drawing {
    let known = |stage: &&wetside_engine::figures::day::Stage| stage.time.high.is_finite();
    let mut bars = Vec::new();
    for stage in told.day.iter().filter(known) {
        let bar = |name, time: Range| Bar {
            name,
            low: time.low / MINUTE,
            high: time.high / MINUTE,
        };
        if stage.says == TURNS && !told.plan.order.is_empty() {
            let turns = told.plan.order.iter();
            bars.extend(turns.map(|turn| bar(turn.id.as_str(), turn.time)));
            if told.unnamed.1.high > 0.0 {
                bars.push(bar("those not named", told.unnamed.1));
            }
        } else if stage.time.high > 0.0 {
            bars.push(bar(stage.says, stage.time));
        }
    }
    drawing(&Picture {
        title: "The day, from door to door",
        says: "Each stage begins in the middle of where the last one may end; it is filled as far as it lasts \
               for certain, and open as far as it may last.",
        across: "minutes",
        shows: Shows::Bars(bars),
    })
}
