//! What the plan must keep within: how hot the water may be, how it warms, and what the supply carries.

use super::words::{of, quantity};
use crate::pen::{Pen, closed};
use wetside_engine::figures::explain::Worked;
use wetside_house::convention::LONGEST_WAIT;
use wetside_units::Kind;

/// Temperature and electricity.
pub(super) fn limits(pen: &mut Pen, figures: &[Worked]) {
    let by = of(figures, "temperature_ceiling_by");
    let words = match (of(figures, "temperature_ceiling"), by) {
        (Ok(ceiling), Ok(by)) => format!("{ceiling}; the limit of the {by} sets it"),
        (Ok(ceiling), Err(_)) => format!("{ceiling}; which part sets it is not certain"),
        (Err(why), _) => format!("not worked out: {why}"),
    };
    pen.entry(0, "Hottest water", &closed(&words));
    if let Some(words) = slow_to_warm(figures) {
        pen.entry(0, "Warming", &words);
    }
    pen.entry(0, "Electrical load", &closed(&load(figures)));
}

/// What the machine draws, and what its plug carries where a transformer stands between them.
fn load(figures: &[Worked]) -> String {
    let runs = "once the machine runs, several times that as it starts";
    match (of(figures, "motor_current"), of(figures, "plug_current")) {
        (Ok(machine), Ok(plug)) if machine == plug => format!("{machine} {runs}"),
        (Ok(machine), Ok(plug)) => {
            format!("{machine} at the machine and {plug} through the plug in the socket {runs}")
        }
        (_, Ok(plug)) => format!("{plug} through the plug in the socket {runs}"),
        (_, Err(why)) => format!("not worked out: {why}"),
    }
}

/// That the water takes longer to warm than the plan waits for it, where it does.
fn slow_to_warm(figures: &[Worked]) -> Option<String> {
    let warming = figures.iter().find(|one| one.name == "heat_up_time")?;
    let (_, range) = warming.range.as_ref()?;
    let longest = LONGEST_WAIT.range.high;
    let sooner = range
        .high()
        .at()
        .is_some_and(|most| most.to_f64() <= longest);
    let takes = warming.value.as_ref().ok().filter(|_| !sooner)?;
    let reaches = of(figures, "warmed_to");
    let reaches = reaches.map_or(String::new(), |hot| format!(", after which it is at {hot}"));
    Some(format!(
        "the water takes {takes} to the heat that is planned. Nobody waits so long: the plan counts {}{reaches}, and it \
         warms on while the branches are flushed. A heat source that may stay in warms it sooner; flushed cooler, it \
         goes on for longer.",
        quantity(LONGEST_WAIT.range, Kind::Time)
    ))
}
