//! Facts to a house.
//!
//! Contract: strictly read, a house stands for every system that the facts allow: what is open is
//! taken over its whole possible range, and conventions fill in only what no survey records. So
//! whoever learns more only narrows what is worked out. Layout, main bore, longest run and the
//! machine's plate must be known, or there is no house. With suppositions, for people to look at and
//! never for rules, some open facts are taken as usual, each named. Every fact that was looked at is
//! named, what places a figure first.

use super::around;
use super::reader::{MOST_EMITTERS, Reader};
use crate::figures::antifreeze::{by_mass, glycols};
use crate::figures::emitters;
use crate::figures::survey::{self, Pipe};
use crate::figures::view::{Refused, View};
use wetside_base::facts::FactId;
use wetside_house::convention::{self, Convention};
use wetside_house::{Antifreeze, Duty, House, Joint, Layout, Machine, Mains, Point, Range};
use wetside_units::truth::Truth;

/// A house with the facts behind it.
#[derive(Clone, Debug)]
pub(crate) struct Reading {
    /// Or why there is none.
    pub house: Result<House, Refused>,
    /// Behind every branch.
    pub common: Vec<FactId>,
    /// Behind each emitter's branch alone, in the order of the list.
    pub own: Vec<Vec<FactId>>,
    /// What was supposed, in words.
    pub supposed: Vec<String>,
    /// The quantities that are known as ranges alone.
    pub wide: Vec<(FactId, Range)>,
}

/// Reads a house with the machine where the survey has it, or at another point. What the survey says of
/// the connection holds for the recorded point; elsewhere the conventions do, and the floor is the same.
pub(crate) fn house(view: &View<'_>, suppose: bool, at: Option<Point>) -> Reading {
    let mut reader = Reader {
        view: *view,
        suppose,
        facts: Vec::new(),
        supposed: Vec::new(),
        wide: Vec::new(),
    };
    let (house, own) = match read(&mut reader, at) {
        Ok((house, own)) => (Ok(house), own),
        Err(why) => (Err(why), Vec::new()),
    };
    Reading {
        house,
        common: reader.facts,
        own,
        supposed: reader.supposed,
        wide: reader.wide,
    }
}

/// 0 °C in K.
const FREEZING: f64 = 273.15;

fn read(reader: &mut Reader<'_>, at: Option<Point>) -> Result<(House, Vec<Vec<FactId>>), Refused> {
    let layout = reader.known(&survey::LAYOUT)?;
    let point = match at {
        Some(point) => {
            reader.said(&survey::CONNECTED_AT);
            point
        }
        None => reader.known(&survey::CONNECTED_AT)?,
    };
    let machine = Machine {
        shut_off: reader.needed(survey::SHUT_OFF_PRESSURE)?,
        rated_flow: reader.needed(survey::RATED_FLOW)?,
        plate: convention::PLATE.range,
        curve: convention::CURVE.range,
        hose_length: reader.any(survey::HOSE_LENGTH, Some(&convention::HOSE_LENGTH)),
        hose_bore: reader.refined(survey::HOSE_BORE, &convention::HOSE_BORE),
        hose_roughness: convention::HOSE_WALL.range,
        level: Range::point(0.0),
        duty: None,
    };
    let machine = measured(reader, machine);
    let mains = mains(reader, layout)?;
    let celsius = celsius(reader);
    let antifreeze = antifreeze(reader)?;
    let (listed, more) = reader.listed(survey::EMITTERS, MOST_EMITTERS);
    let list = reader.view.figure(emitters::LIST.name);
    let worked_out = reader.view.facts.elements(list);
    let pairs = listed
        .into_iter()
        .zip(worked_out.map(Some).chain(std::iter::repeat(None)));
    let read = pairs.enumerate().map(|(nth, (element, worked_out))| {
        let (mut emitter, mut own) =
            around::emitter(reader, element, worked_out, nth, mains.roughness);
        if matches!(layout, Layout::TwoPipe | Layout::Mixed)
            && let (id, Some(place)) = reader.view.choice(element, &survey::TAKE_OFF)
        {
            emitter.place = place;
            own.push(id);
        }
        (emitter, own)
    });
    let (all, own) = read.unzip();
    let joint = joint(reader, point);
    let shorts = around::shorts(reader, point);
    let way = around::way(reader);
    let mut house = House {
        layout,
        machine,
        joint,
        mains,
        emitters: all,
        more,
        floor: None,
        shorts,
        way,
        celsius,
        antifreeze,
    };
    house.machine.level = level(reader, mains.storey);
    Ok((house.joined(joint), own))
}

/// The machine with its curve through the point that was read on it, if one was. A point that its plate does not
/// allow is a contradiction, which is told of the survey; here the plate stands.
fn measured(reader: &mut Reader<'_>, machine: Machine) -> Machine {
    let [flow, pressure] =
        [survey::MEASURED_FLOW, survey::MEASURED_PRESSURE].map(|path| reader.at(path));
    let read = [flow, pressure].map(|id| reader.view.range(id));
    let [Ok(at), Ok(made)] = read else {
        // Either may be anything that the pump makes, for people who ask what a reading would bring.
        reader
            .wide
            .push((flow, Range::new(0.0, machine.rated_flow.low)));
        return machine;
    };
    let off = convention::READ_PRESSURE.range.high * machine.shut_off.high;
    let duty = Duty {
        flow: at.product(convention::READ_FLOW.range),
        pressure: Range::new(made.low - off, made.high + off),
    };
    reader.facts.extend([flow, pressure]);
    machine.through(duty).unwrap_or_else(|| {
        let words = "the point that was read on the machine is not on its plate: the plate holds";
        reader.supposed.push(words.to_string());
        machine
    })
}

fn mains(reader: &mut Reader<'_>, layout: Layout) -> Result<Mains, Refused> {
    Ok(Mains {
        bore: reader.needed(survey::MAIN_BORE)?,
        longest_run: reader.needed(survey::LONGEST_RUN)?,
        roughness: roughness(reader),
        loss_per_metre: convention::FITTINGS.range,
        stepped: convention::STEPPED.range,
        storey: convention::STOREY.range,
        piece_length: convention::PIECE_LENGTH.range,
        piece_loss: convention::PIECE_LOSS.range,
        // Elsewhere there is no such piece, and nobody is asked for it.
        piece: match layout {
            Layout::OnePipe | Layout::Mixed => reader.said(&survey::ONE_PIPE_METHOD).into(),
            _ => Truth::Undecided,
        },
    })
}

/// Roughness of the pipes: of every material that is not ruled out, for nobody says which pipe is
/// of which.
fn roughness(reader: &mut Reader<'_>) -> Range {
    reader.facts.push(reader.at(survey::PIPES.path));
    let steel = convention::OLD_STEEL.range;
    let copper = convention::COPPER.range;
    let by = [
        (Pipe::Copper, copper),
        (Pipe::Plastic, convention::PLASTIC.range),
        (Pipe::Steel, steel.hull(convention::GALVANISED.range)),
    ];
    let not_out = by.into_iter().filter(|(pipe, _)| {
        let (_, has) = reader.view.has(&survey::PIPES, *pipe);
        has != Some(false)
    });
    let all = not_out.map(|(_, rough)| rough).reduce(Range::hull);
    all.unwrap_or(copper.hull(steel))
}

/// The water: within some degrees of the temperature planned, and between ice and steam.
fn celsius(reader: &mut Reader<'_>) -> Range {
    let planned = reader.any(survey::PLANNED_TEMPERATURE, Some(&convention::WATER));
    let off = convention::TEMPERATURE.range;
    let low = planned.low - FREEZING + off.low;
    let high = planned.high - FREEZING + off.high;
    Range::new(low.clamp(0.0, 100.0), high.clamp(0.0, 100.0))
}

/// What one change of mixed water leaves of what was in it.
const LEFT: f64 = 0.367_879_441_171_442_33;

/// The glycol in the water while branches have their turns, of any kind and strength where nobody says. The
/// flush washes it out: the first dump, one change of all water, leaves so much of it, and the rest less.
fn antifreeze(reader: &mut Reader<'_>) -> Result<Option<Antifreeze>, Refused> {
    let said = reader.said(&survey::ANTIFREEZE);
    if said.is_none() && reader.suppose {
        let path = survey::ANTIFREEZE.path;
        let words = format!("`{path}` is not known: there is none in the water");
        reader.supposed.push(words);
        return Ok(None);
    }
    let kinds = glycols(said).to_vec();
    if kinds.is_empty() {
        return Ok(None);
    }
    let by_volume = reader.any(survey::GLYCOL_STRENGTH, Some(&convention::ANTIFREEZE));
    let left = by_volume.times(LEFT);
    let strength = Range::new(0.0, by_mass(&kinds, left)?.high);
    Ok(Some(Antifreeze { kinds, strength }))
}

/// The level in the machine's tank above the ground floor. Storeys below it count downwards.
fn level(reader: &mut Reader<'_>, storey: Range) -> Range {
    let floor = reader.any(survey::MACHINE_STOREY, Some(&convention::GROUND));
    let tank = convention::TANK_LEVEL.range;
    let height = |floor: f64, up: f64, down: f64| floor * if floor < 0.0 { down } else { up };
    Range::new(
        height(floor.low, storey.low, storey.high) + tank.low,
        height(floor.high, storey.high, storey.low) + tank.high,
    )
}

fn joint(reader: &mut Reader<'_>, point: Point) -> Joint {
    let (bore, loss) = convention::joint(point);
    Joint {
        point,
        floor: reader.any(survey::CONNECTION_FLOOR, Some(&convention::GROUND)),
        bore: joint_bore(reader, point, &bore),
        loss: loss.range,
        source: around::source(reader, point),
        host: None,
    }
}

/// The bore of the joint: recorded for the point of the survey, by convention for another; where
/// nobody says which it is, either.
fn joint_bore(reader: &mut Reader<'_>, here: Point, usual: &Convention) -> Range {
    let connected = reader.said(&survey::CONNECTED_AT);
    if connected.is_some_and(|connected| connected != here) {
        return usual.range;
    }
    let recorded = reader.any(survey::CONNECTION_BORE, Some(usual));
    match connected {
        Some(_) => recorded,
        None => recorded.hull(usual.range),
    }
}
