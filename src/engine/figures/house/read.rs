//! Facts to a house.
//!
//! Contract: strictly read, a house stands for every system that the facts allow: what is open is
//! taken over its whole possible range, and conventions fill in only what no survey records. So
//! whoever learns more only narrows what is worked out. Layout, main bore, longest run and the
//! machine's plate must be known, or there is no house. With suppositions, for people to look at and
//! never for rules, some open facts are taken as usual, each named. Every fact that was looked at is
//! named, what places a figure first.
//!
//! Of a list no more than the first [`MOST_READ`] are read; the house may then hold any others, as it
//! may where a list is not complete. So the cost has a bound, and what is not read is never taken for
//! absent.

use crate::figures::emitters;
use crate::figures::survey::{self, Choice, Pipe};
use crate::figures::view::{Refused, View};
use wetside_base::facts::{FactId, Facts};
use wetside_base::vocabulary::{Shape, Type};
use wetside_house::convention::{self, Convention};
use wetside_house::{House, Joint, Machine, Mains, Point, Range, State};

/// So many emitters, heat sources and controls are read, each the first of their list.
pub const MOST_READ: usize = 500;

/// A house with the facts behind it.
#[derive(Clone, Debug)]
pub struct Reading {
    pub house: House,
    /// Behind every branch.
    pub common: Vec<FactId>,
    /// Behind each emitter's branch alone, in the order of the list.
    pub own: Vec<Vec<FactId>>,
    /// What was supposed, in words.
    pub supposed: Vec<String>,
}

/// Why there is no house, and the facts that were looked at.
#[derive(Clone, Debug)]
pub struct NoHouse {
    pub why: Refused,
    pub facts: Vec<FactId>,
}

/// Reads a house with the machine where the survey has it, or at another point. What the survey says of
/// the connection holds for the recorded point; elsewhere the conventions do, and the floor is the same.
pub fn house(view: &View<'_>, suppose: bool, at: Option<Point>) -> Result<Reading, NoHouse> {
    let mut reader = Reader {
        view: *view,
        suppose,
        facts: Vec::new(),
        supposed: Vec::new(),
    };
    match reader.read(at) {
        Ok((house, own)) => Ok(Reading {
            house,
            common: reader.facts,
            own,
            supposed: reader.supposed,
        }),
        Err(why) => Err(NoHouse {
            why,
            facts: reader.facts,
        }),
    }
}

/// 0 °C in K.
const FREEZING: f64 = 273.15;

pub(super) struct Reader<'a> {
    pub view: View<'a>,
    pub suppose: bool,
    pub facts: Vec<FactId>,
    pub supposed: Vec<String>,
}

impl Reader<'_> {
    fn read(&mut self, at: Option<Point>) -> Result<(House, Vec<Vec<FactId>>), Refused> {
        let layout = self.known(&survey::LAYOUT)?;
        let point = match at {
            Some(point) => {
                self.said(&survey::CONNECTED_AT);
                point
            }
            None => self.known(&survey::CONNECTED_AT)?,
        };
        let machine = Machine {
            shut_off: self.needed(survey::SHUT_OFF_PRESSURE)?,
            rated_flow: self.needed(survey::RATED_FLOW)?,
            plate: convention::PLATE.range,
            curve: convention::CURVE.range,
            hose_length: self.any(survey::HOSE_LENGTH, Some(&convention::HOSE_LENGTH)),
            hose_bore: convention::HOSE_BORE.range,
            hose_roughness: convention::roughness("smooth hose"),
            level: Range::point(0.0),
        };
        let mains = self.mains()?;
        let celsius = self.celsius();
        let (listed, more) = self.listed(survey::EMITTERS);
        let list = self.view.figure(emitters::LISTS[0].name);
        let worked_out = self.view.facts.elements(list);
        let pairs = listed
            .into_iter()
            .zip(worked_out.map(Some).chain(std::iter::repeat(None)));
        let read = pairs.enumerate().map(|(nth, (element, worked_out))| {
            self.emitter(element, worked_out, nth, mains.roughness)
        });
        let (all, own) = read.unzip();
        let joint = self.joint(point);
        let shorts = self.shorts(point);
        let way = self.way();
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
        };
        house.machine.level = self.level(mains.storey);
        Ok((house.joined(joint), own))
    }

    fn at(&self, path: &str) -> FactId {
        self.view.at(Facts::ROOT, path)
    }

    /// The first elements of a list, and whether others may exist.
    pub fn listed(&mut self, path: &str) -> (Vec<FactId>, bool) {
        let list = self.at(path);
        self.facts.push(list);
        let (mut listed, more) = emitters::elements(&self.view, list);
        if listed.len() <= MOST_READ {
            return (listed, more);
        }
        let (count, rest) = (listed.len(), "others may be as they like");
        self.supposed.push(format!(
            "`{path}` lists {count}: the first {MOST_READ} are looked at, and {rest}"
        ));
        listed.truncate(MOST_READ);
        (listed, true)
    }

    /// A quantity without which there is no house.
    fn needed(&mut self, path: &str) -> Result<Range, Refused> {
        let id = self.at(path);
        self.facts.push(id);
        self.view.range(id)
    }

    /// A quantity, over all that is possible where it is open; over what is usual if that is supposed.
    pub fn any(&mut self, path: &str, usual: Option<&Convention>) -> Range {
        let id = self.at(path);
        self.facts.push(id);
        self.range(id, path, usual)
    }

    pub fn range(&mut self, id: FactId, name: &str, usual: Option<&Convention>) -> Range {
        match (self.view.range(id), usual) {
            (Ok(range), _) => range,
            (Err(_), Some(usual)) if self.suppose => {
                let words = format!("`{name}` is not known: {}", usual.says);
                if !self.supposed.contains(&words) {
                    self.supposed.push(words);
                }
                usual.range
            }
            (Err(_), _) => self.possible(id),
        }
    }

    fn possible(&self, id: FactId) -> Range {
        let field = self.view.facts.fact(id).field;
        match &self.view.vocabulary.field(field).shape {
            Shape::Fact(Type::Quantity { possible, .. }) => Range::of(possible),
            _ => Range::FROM_NOTHING,
        }
    }

    /// What the word of a choice means.
    pub fn said<T: Copy>(&mut self, choice: &Choice<T>) -> Option<T> {
        let (id, meant) = self.view.choice(Facts::ROOT, choice);
        self.facts.push(id);
        meant
    }

    /// The same where there is no house without it.
    fn known<T: Copy>(&mut self, choice: &Choice<T>) -> Result<T, Refused> {
        let said = self.said(choice);
        said.ok_or_else(|| self.view.open(self.at(choice.path)))
    }

    fn mains(&mut self) -> Result<Mains, Refused> {
        Ok(Mains {
            bore: self.needed(survey::MAIN_BORE)?,
            longest_run: self.needed(survey::LONGEST_RUN)?,
            roughness: self.roughness(),
            loss_per_metre: convention::FITTINGS.range,
            stepped: convention::STEPPED.range,
            storey: convention::STOREY.range,
            piece_length: convention::PIECE_LENGTH.range,
            piece_loss: convention::PIECE_LOSS.range,
            piece: match self.said(&survey::ONE_PIPE_METHOD) {
                Some(true) => State::Yes,
                Some(false) => State::No,
                None => State::Unknown,
            },
        })
    }

    /// Roughness of the pipes: of every material that is not ruled out, for nobody says which pipe is
    /// of which.
    fn roughness(&mut self) -> Range {
        self.facts.push(self.at(survey::PIPES.path));
        let steel = convention::OLD_STEEL.range;
        let copper = convention::roughness("copper in service");
        let by = [
            (Pipe::Copper, copper),
            (
                Pipe::Plastic,
                convention::roughness("plastic or multilayer"),
            ),
            (
                Pipe::Steel,
                steel.hull(convention::roughness("galvanised steel")),
            ),
        ];
        let not_out = by.into_iter().filter(|(pipe, _)| {
            let (_, has) = self.view.has(&survey::PIPES, *pipe);
            has != Some(false)
        });
        let all = not_out.map(|(_, rough)| rough).reduce(Range::hull);
        all.unwrap_or(copper.hull(steel))
    }

    /// The water: within some degrees of the temperature planned, and between ice and steam.
    fn celsius(&mut self) -> Range {
        let planned = self.any(survey::PLANNED_TEMPERATURE, Some(&convention::WATER));
        let off = convention::TEMPERATURE.range;
        let low = planned.low - FREEZING + off.low;
        let high = planned.high - FREEZING + off.high;
        Range::new(low.clamp(0.0, 100.0), high.clamp(0.0, 100.0))
    }

    /// The level in the machine's tank above the ground floor. Storeys below it count downwards.
    fn level(&mut self, storey: Range) -> Range {
        let floor = self.any(survey::MACHINE_STOREY, Some(&convention::GROUND));
        let tank = convention::TANK_LEVEL.range;
        let height = |floor: f64, up: f64, down: f64| floor * if floor < 0.0 { down } else { up };
        Range::new(
            height(floor.low, storey.low, storey.high) + tank.low,
            height(floor.high, storey.high, storey.low) + tank.high,
        )
    }

    fn joint(&mut self, point: Point) -> Joint {
        let (bore, loss) = convention::joint(point);
        Joint {
            point,
            floor: self.any(survey::CONNECTION_FLOOR, Some(&convention::GROUND)),
            bore: self.joint_bore(point, &bore),
            loss: loss.range,
            source: self.source(point),
            host: None,
        }
    }

    /// The bore of the joint: recorded for the point of the survey, by convention for another; where
    /// nobody says which it is, either.
    fn joint_bore(&mut self, here: Point, usual: &Convention) -> Range {
        let connected = self.said(&survey::CONNECTED_AT);
        if connected.is_some_and(|connected| connected != here) {
            return usual.range;
        }
        let recorded = self.any(survey::CONNECTION_BORE, Some(usual));
        match connected {
            Some(_) => recorded,
            None => recorded.hull(usual.range),
        }
    }
}
