//! Facts to a house.
//!
//! Contract: strictly read, a house stands for every system that the facts allow: what is open is
//! taken over its whole possible range, and conventions fill in only what no survey records. So
//! whoever learns more only narrows what is worked out. Layout, main bore, longest run and the
//! machine's plate must be known, or there is no house. With suppositions, for people to look at and
//! never for rules, some open facts are taken as usual, each named. Every fact that was looked at is
//! named, what places a figure first.
//!
//! An emitter is taken as it stands in its turn: on the wall, with its valves opened. How they are
//! set now, and whether it is off the wall for now, are matters of rules. The coil of a cylinder is a
//! branch like others and shut in their turns.

use super::convention::{self, Convention};
use super::{Emitter, House, Joint, Layout, Machine, Mains, Point, State, Tails};
use crate::figures::emitters;
use crate::figures::range::Range;
use crate::figures::table::Refused;
use crate::figures::view::View;
use wetside_base::facts::{FactId, Facts};
use wetside_base::vocabulary::{Shape, Type};

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

/// Reads a house with the machine where the survey has it.
pub fn house(view: &View<'_>, suppose: bool) -> Result<Reading, NoHouse> {
    read_house(view, suppose, None)
}

/// Reads the same house with the machine at a point, whether it is connected there or not. What the
/// survey says of the connection holds for the recorded point; elsewhere the conventions do, and the
/// floor is the same.
pub fn house_at(view: &View<'_>, suppose: bool, point: Point) -> Result<Reading, NoHouse> {
    read_house(view, suppose, Some(point))
}

fn read_house(view: &View<'_>, suppose: bool, at: Option<Point>) -> Result<Reading, NoHouse> {
    let mut reader = Reader {
        view: *view,
        suppose,
        at,
        facts: Vec::new(),
        supposed: Vec::new(),
    };
    match reader.read() {
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
    /// The point that is looked at instead of the recorded one.
    at: Option<Point>,
    pub facts: Vec<FactId>,
    pub supposed: Vec<String>,
}

impl Reader<'_> {
    fn read(&mut self) -> Result<(House, Vec<Vec<FactId>>), Refused> {
        let layout = self.layout()?;
        let point = self.point()?;
        let machine = Machine {
            shut_off: self.needed("machine.shut_off_pressure")?,
            rated_flow: self.needed("machine.rated_flow")?,
            plate: convention::PLATE.range,
            curve: convention::CURVE.range,
            hose_length: self.any("machine.hose_length", Some(&convention::HOSE_LENGTH)),
            hose_bore: convention::HOSE_BORE.range,
            hose_roughness: convention::roughness("smooth hose"),
            level: Range::point(0.0),
        };
        let mains = self.mains()?;
        let celsius = self.celsius();
        let list = self.at("emitters");
        self.facts.push(list);
        let (elements, more) = emitters::elements(&self.view, list);
        let roughness = mains.roughness;
        let (mut all, mut own) = (Vec::new(), Vec::new());
        for (nth, element) in elements.into_iter().enumerate() {
            let (emitter, facts) = self.emitter(element, nth, roughness);
            all.push(emitter);
            own.push(facts);
        }
        let joint = self.joint(point, &all, more);
        let shorts = self.shorts(layout, point, &mains);
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
        house.machine.level = self.level(house.mains.storey);
        Ok((house, own))
    }

    pub fn at(&self, path: &str) -> FactId {
        self.view.at(Facts::ROOT, path)
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

    pub fn word(&mut self, path: &str) -> Option<&str> {
        let id = self.at(path);
        self.facts.push(id);
        self.view.word(id)
    }

    fn layout(&mut self) -> Result<Layout, Refused> {
        let id = self.at("circuit.layout");
        self.facts.push(id);
        match self.view.word(id) {
            Some("two-pipe") => Ok(Layout::TwoPipe),
            Some("one-pipe") => Ok(Layout::OnePipe),
            Some("manifold microbore") => Ok(Layout::Microbore),
            Some("radial") => Ok(Layout::Radial),
            Some("underfloor only") => Ok(Layout::Underfloor),
            Some("mixed") => Ok(Layout::Mixed),
            _ => Err(self.view.open(id)),
        }
    }

    fn mains(&mut self) -> Result<Mains, Refused> {
        Ok(Mains {
            bore: self.needed("circuit.main_bore")?,
            longest_run: self.needed("circuit.longest_run")?,
            roughness: self.roughness(),
            loss_per_metre: convention::FITTINGS.range,
            stepped: convention::STEPPED.range,
            storey: convention::STOREY.range,
            piece_length: convention::PIECE_LENGTH.range,
            piece_loss: convention::PIECE_LOSS.range,
            piece: match self.word("flush.one_pipe_method") {
                Some("loop blocked" | "radiators removed") => State::Yes,
                Some("none") => State::No,
                _ => State::Unknown,
            },
        })
    }

    /// Roughness of the pipes: of every material that is not ruled out, for nobody says which pipe is
    /// of which.
    fn roughness(&mut self) -> Range {
        let id = self.at("circuit.pipe_materials");
        self.facts.push(id);
        let copper = convention::roughness("copper in service");
        let plastic = convention::roughness("plastic or multilayer");
        let steel = convention::OLD_STEEL.range;
        let by: [(&[&str], Range); 3] = [
            (&["copper", "stainless steel"], copper),
            (
                &[
                    "barrier plastic",
                    "plastic without barrier",
                    "plastic of unknown kind",
                    "multilayer",
                ],
                plastic,
            ),
            (
                &["steel", "galvanised steel"],
                steel.hull(convention::roughness("galvanised steel")),
            ),
        ];
        let mut all: Option<Range> = None;
        for (words, range) in by {
            if self.view.has_any(id, words) != Some(false) {
                all = Some(all.map_or(range, |all| all.hull(range)));
            }
        }
        all.unwrap_or(copper.hull(steel))
    }

    /// The water: within some degrees of the temperature planned, and between ice and steam.
    fn celsius(&mut self) -> Range {
        let planned = self.any("cleaner.planned_temperature", Some(&convention::WATER));
        let off = convention::TEMPERATURE.range;
        let low = planned.low - FREEZING + off.low;
        let high = planned.high - FREEZING + off.high;
        Range::new(low.clamp(0.0, 100.0), high.clamp(0.0, 100.0))
    }

    fn level(&mut self, storey: Range) -> Range {
        let floor = self.any("machine.storey", Some(&convention::GROUND));
        let tank = convention::TANK_LEVEL.range;
        let low = floor.low
            * if floor.low < 0.0 {
                storey.high
            } else {
                storey.low
            };
        let high = floor.high
            * if floor.high < 0.0 {
                storey.low
            } else {
                storey.high
            };
        Range::new(low + tank.low, high + tank.high)
    }

    fn point(&mut self) -> Result<Point, Refused> {
        let id = self.at("machine.connected_at");
        self.facts.push(id);
        match self.at.or_else(|| self.view.word(id).and_then(point)) {
            Some(point) => Ok(point),
            None => Err(self.view.open(id)),
        }
    }

    fn joint(&mut self, point: Point, all: &[Emitter], more: bool) -> Joint {
        let (bore, loss) = convention::joint(point);
        Joint {
            point,
            floor: self.any("machine.connection_floor", Some(&convention::GROUND)),
            bore: self.joint_bore(point, &bore),
            loss: loss.range,
            source: self.source(point),
            host: host(point, all, more),
        }
    }

    /// The bore of the joint: recorded for the point of the survey, by convention for another; where
    /// nobody says which it is, either.
    fn joint_bore(&mut self, here: Point, usual: &Convention) -> Range {
        let connected = self.word("machine.connected_at").and_then(point);
        if connected.is_some_and(|connected| connected != here) {
            return usual.range;
        }
        let recorded = self.any("machine.connection_bore", Some(usual));
        match connected {
            Some(_) => recorded,
            None => recorded.hull(usual.range),
        }
    }
}

/// In the trade's order of preference.
pub const POINTS: [Point; 5] = [
    Point::PumpHousing,
    Point::FilterAdapter,
    Point::HeatSource,
    Point::Manifold,
    Point::RadiatorTails,
];

/// A point of connection by the survey's word.
pub fn point(word: &str) -> Option<Point> {
    POINTS.into_iter().find(|point| point.words() == word)
}

impl Point {
    /// The survey's word for it.
    pub const fn words(self) -> &'static str {
        match self {
            Point::PumpHousing => "pump housing",
            Point::FilterAdapter => "filter adapter",
            Point::HeatSource => "heat source flow and return",
            Point::Manifold => "manifold",
            Point::RadiatorTails => "radiator tails",
        }
    }
}

/// The tails of the radiator that was taken off for the connection: nobody says which.
pub fn host(point: Point, all: &[Emitter], more: bool) -> Option<Tails> {
    if point != Point::RadiatorTails {
        return None;
    }
    let mut tails = all.iter().map(|emitter| emitter.tails);
    let first = tails.next()?;
    let mut host = tails.fold(first, |one, other| Tails {
        length: one.length.hull(other.length),
        bore: one.bore.hull(other.bore),
        roughness: one.roughness.hull(other.roughness),
        loss: one.loss,
    });
    host.loss = convention::HOST_FITTINGS.range;
    if more {
        host.length = host.length.hull(UNLISTED.0);
        host.bore = host.bore.hull(UNLISTED.1);
    }
    Some(host)
}

/// Length and bore in m that the tails of an emitter may have.
const UNLISTED: (Range, Range) = (Range::new(0.05, 200.0), Range::new(0.003, 0.110));
