//! A series of pipes with their valves, and the flow at which a pump meets it.
//!
//! Contract: every number of a pipe comes as a range; a [`Series`] is that pipe at one end of them
//! all, where it loses most or where it loses least. Since the loss falls with the bore and the flow
//! coefficient and rises with everything else, the flow through the one is the least and through the
//! other the greatest there can be. Only viscosity turns, between laminar and turbulent flow; there
//! the loss is also taken at points in between, which finds its greatest and least value to within a
//! thousandth.

use crate::model::{Antifreeze, Machine};
use crate::range::Range;
use wetside_physics::friction::{Evaluator, Run};
use wetside_physics::glycol::{self, Glycol};
use wetside_physics::{BAR, GRAVITY, OutOfRange, water};

/// Which end of every range a series is made of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum End {
    /// Where it loses least.
    Least,
    /// Where it loses most.
    Most,
}

impl End {
    /// The end of a range whose growth adds to the loss.
    pub fn up(self, range: Range) -> f64 {
        match self {
            End::Least => range.low,
            End::Most => range.high,
        }
    }

    /// The end of a range whose growth takes from the loss.
    pub fn down(self, range: Range) -> f64 {
        self.other().up(range)
    }

    #[must_use]
    pub fn other(self) -> End {
        match self {
            End::Least => End::Most,
            End::Most => End::Least,
        }
    }

    /// Of two losses the greater or the less.
    fn of(self, one: f64, other: f64) -> f64 {
        match self {
            End::Least => one.min(other),
            End::Most => one.max(other),
        }
    }
}

/// The water, between its coldest and its warmest.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Water {
    /// Kinematic viscosity in m²/s.
    pub viscosity: Range,
    /// Density in kg/m³.
    pub density: Range,
}

/// Temperature of the greatest density in °C.
const DENSEST: f64 = 3.98;

/// Where the properties of glycol end, in °C.
const GLYCOL_TO: f64 = 80.0;

/// Density in kg/m³ and dynamic viscosity in Pa s.
pub(crate) type Thickness = (f64, f64);

impl Water {
    /// Valid from 0 to 100 °C; with glycol in it the coldest is to be 80 °C at most.
    pub fn at(celsius: Range, antifreeze: Option<&Antifreeze>) -> Result<Water, OutOfRange> {
        if let Some(Antifreeze { kinds, strength }) = antifreeze.filter(|mix| mix.kinds.len() > 1) {
            let one = |kind: &Glycol| Antifreeze {
                kinds: vec![*kind],
                strength: *strength,
            };
            let each = kinds
                .iter()
                .map(|kind| Water::at(celsius, Some(&one(kind))));
            let all = each
                .collect::<Result<Vec<Water>, OutOfRange>>()?
                .into_iter();
            let hull = all.reduce(|all, one| Water {
                viscosity: all.viscosity.hull(one.viscosity),
                density: all.density.hull(one.density),
            });
            return hull.map_or_else(|| Water::at(celsius, None), Ok);
        }
        let [(cold, thick), (warm, thin)] = Water::ends(celsius, antifreeze)?;
        let heaviest = if celsius.low < DENSEST && DENSEST < celsius.high {
            water::density(DENSEST)?
        } else {
            cold.max(warm)
        };
        let (one, other) = (thin / warm, thick / cold);
        Ok(Water {
            viscosity: Range::new(one.min(other), one.max(other)),
            density: Range::new(cold.min(warm), heaviest.max(cold)),
        })
    }

    /// The thickest, which is the coldest and strongest, and the thinnest. Where glycol is hotter than its
    /// properties go, it is no thinner than water.
    pub(crate) fn ends(
        celsius: Range,
        antifreeze: Option<&Antifreeze>,
    ) -> Result<[Thickness; 2], OutOfRange> {
        let plain = |celsius: f64| -> Result<Thickness, OutOfRange> {
            Ok((water::density(celsius)?, water::dynamic_viscosity(celsius)?))
        };
        let (mut cold, mut warm) = (plain(celsius.low)?, plain(celsius.high)?);
        let Some(Antifreeze { kinds, strength }) = antifreeze else {
            return Ok([cold, warm]);
        };
        let mixed = |kind: Glycol, strength: f64, celsius: f64| -> Result<Thickness, OutOfRange> {
            let density = glycol::density(kind, strength, celsius)?;
            Ok((density, glycol::dynamic_viscosity(kind, strength, celsius)?))
        };
        let mut thinnest: Option<Thickness> = None;
        for kind in kinds {
            let (density, viscosity) = mixed(*kind, strength.high, celsius.low)?;
            cold = (cold.0.max(density), cold.1.max(viscosity));
            if celsius.high <= GLYCOL_TO {
                let here = mixed(*kind, strength.low, celsius.high)?;
                let least = thinnest.unwrap_or(here);
                thinnest = Some((least.0.min(here.0), least.1.min(here.1)));
            }
        }
        warm = thinnest.unwrap_or(warm);
        Ok([cold, warm])
    }
}

/// Pipes one after another, their valves among their losses.
#[derive(Clone, Debug)]
pub struct Series {
    pipes: Vec<Pipe>,
    end: End,
    water: Water,
}

/// A pipe, made ready for the viscosity at which it loses most or least but for the passage from
/// laminar to turbulent flow.
#[derive(Clone, Debug)]
struct Pipe {
    run: Run,
    ready: Evaluator,
    /// Reynolds number times viscosity for a flow of 1 m³/s.
    reach: f64,
}

impl Series {
    /// Refused where a bore or another number of a pipe is out of range.
    pub fn of(
        end: End,
        water: &Water,
        runs: impl IntoIterator<Item = Run>,
    ) -> Result<Series, OutOfRange> {
        let pipe = |run: Run| {
            Ok(Pipe {
                run,
                ready: Evaluator::new(&run, end.up(water.viscosity))?,
                reach: 1.0 / (std::f64::consts::FRAC_PI_4 * run.bore),
            })
        };
        let runs = runs.into_iter();
        let pipes = runs.filter(|run| run.length > 0.0 || run.loss > 0.0);
        Ok(Series {
            pipes: pipes.map(pipe).collect::<Result<Vec<Pipe>, OutOfRange>>()?,
            end,
            water: *water,
        })
    }

    /// Whether the friction law holds at a flow. A search may pass through flows at which it does not;
    /// what it finds must be asked here.
    pub(crate) fn check(&self, flow: f64) -> Result<(), OutOfRange> {
        self.pipes
            .iter()
            .try_for_each(|pipe| pipe.ready.check(flow))
    }

    /// Head lost in m, for a flow of at least 0. The same flow loses the same whatever was asked
    /// before, but for the last bits.
    pub(crate) fn loss(&mut self, flow: f64) -> f64 {
        if flow <= 0.0 {
            return 0.0;
        }
        let (viscosity, end) = (self.water.viscosity, self.end);
        let pipes = self.pipes.iter_mut();
        pipes.map(|pipe| pipe.loss(flow, viscosity, end)).sum()
    }

    /// The least or the greatest head in m per (m³/s)² over a range of flows.
    ///
    /// It falls as laminar flow grows, rises on the passage to turbulent flow and falls again, so it
    /// is taken at the ends and where a pipe may turn.
    pub(crate) fn resistance(&mut self, flows: Range) -> f64 {
        let Range { low, high } = self.water.viscosity;
        let turns = self.pipes.iter().flat_map(|pipe| {
            let at = move |viscosity: f64| TURNS.map(|re| re * viscosity / pipe.reach);
            [low, high].into_iter().flat_map(at)
        });
        let inside = turns.filter(|flow| flows.low < *flow && *flow < flows.high);
        let mut all: Vec<f64> = inside.chain([flows.low, flows.high]).collect();
        // Pipes of one bore turn together.
        all.sort_by(f64::total_cmp);
        all.dedup();
        let worst = self.end;
        let at = |flow: f64| {
            if flow > 0.0 {
                self.loss(flow) / (flow * flow)
            } else {
                f64::INFINITY
            }
        };
        let found = all.into_iter().map(at);
        let found = found.reduce(|one, other| worst.of(one, other));
        found.unwrap_or(f64::INFINITY)
    }

    /// Flow in m³/s at which a head in m is lost, sought from a guess.
    pub fn flow(&mut self, head: f64, guess: f64) -> f64 {
        if head <= 0.0 {
            return 0.0;
        }
        // The loss is between the first and the second power of the flow, or little beside them; ten
        // times what either makes of the loss at the guess is enough.
        let ratio = head / self.loss(guess);
        let most = 10.0 * guess * ratio.sqrt().max(ratio);
        let start = guess * ratio.powf(0.55);
        settle(head, most, start, |flow| self.loss(flow))
    }
}

/// Reynolds numbers at which the loss may turn as the viscosity changes: the ends of the passage from
/// laminar to turbulent flow, and where the cubic there has its least and its greatest value.
const TURNS: [f64; 5] = [2000.0, 2350.0, 3000.0, 3900.0, 4000.0];

impl Pipe {
    /// Head lost at the viscosity within a range at which the pipe loses most or least.
    fn loss(&mut self, flow: f64, viscosity: Range, end: End) -> f64 {
        let mut worst = self.ready.loss_and_slope(flow).0;
        let reach = self.reach * flow;
        let (lowest, highest) = (reach / viscosity.high, reach / viscosity.low);
        let passes = lowest < TURNS[4] && highest > TURNS[0];
        if !passes || viscosity.is_point() || self.run.length <= 0.0 {
            return worst;
        }
        let inside = TURNS.into_iter().filter(|re| lowest < *re && *re < highest);
        for reynolds in inside.chain([end.up(Range::new(lowest, highest))]) {
            let loss = self.ready.loss_at(flow, reynolds);
            worst = end.of(worst, loss);
        }
        worst
    }
}

/// The machine's pump at one end of its ranges: at the end that loses most, the weakest.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Pump {
    /// Head in m against a shut valve.
    pub head: f64,
    /// Flow in m³/s at no head.
    pub most: f64,
    pub exponent: f64,
}

impl Pump {
    pub(crate) fn at(machine: &Machine, water: &Water, end: End) -> Pump {
        let plate = end.down(machine.plate);
        let pressure = end.down(machine.shut_off) * plate;
        Pump {
            head: pressure / (end.up(water.density) * GRAVITY),
            most: end.down(machine.rated_flow) * plate,
            exponent: end.down(machine.curve),
        }
    }

    /// Head in m that the curve has fallen by at a flow. Beyond the greatest flow it falls on.
    pub(crate) fn fall(&self, flow: f64) -> f64 {
        self.head * (flow / self.most).powf(self.exponent)
    }
}

/// Head in m per (m³/s)² lost in a valve of a flow coefficient in m³/h.
///
/// `h = Δp₀/(ρ₀ g) (3600/Kv)²`, from the definition of the flow coefficient: one bar, 1000 kg/m³.
pub(crate) fn valve_loss(flow_coefficient: f64) -> f64 {
    BAR / (1000.0 * GRAVITY) * (3600.0 / flow_coefficient).powi(2)
}

/// The flow at which a loss that rises with it reaches a head, up to `most`, sought from `start`.
///
/// By the secant in logarithms, kept inside a bracket: losses of pipes are nearly powers of the flow.
pub(crate) fn settle(head: f64, most: f64, start: f64, mut loss: impl FnMut(f64) -> f64) -> f64 {
    if head <= 0.0 {
        return 0.0;
    }
    let (mut low, mut high) = (0.0, most);
    let (mut flow, mut power) = (start.clamp(1e-9 * most, most), 1.9);
    let mut before: Option<(f64, f64)> = None;
    for _ in 0..100 {
        let lost = loss(flow);
        let miss = (lost / head).ln();
        if miss < 0.0 {
            low = flow;
        } else {
            high = flow;
        }
        if miss.abs() < 1e-11 || high - low <= 1e-15 * most {
            break;
        }
        if let Some((old_flow, old_miss)) = before {
            let slope: f64 = (miss - old_miss) / (flow / old_flow).ln();
            if slope.is_finite() && slope > 0.0 {
                power = slope.clamp(0.5, 4.0);
            }
        }
        before = Some((flow, miss));
        let next = flow * (-miss / power).exp();
        flow = if next > low && next < high {
            next
        } else {
            0.5 * (low + high)
        };
    }
    flow
}
