//! The pipes of a house as a network, everything open.
//!
//! Contract: out and back are alike by convention, so a main is one link of both lengths from the
//! connection to its take-offs, and every branch ends at the machine's tank. [`build`] takes each
//! part of the house at the end that a [`Case`] asks for.

use crate::case::{Case, Spot};
use crate::mains::{self, Lay};
use crate::model::{House, Layout, Way};
use crate::range::Range;
use crate::series::{End, Pump, Water};
use wetside_physics::friction::Run;
use wetside_physics::network::{Link, Network, Part};
use wetside_physics::pump::Curve;
use wetside_units::truth::Truth;

/// A network, and where in it the parts of the house are.
#[derive(Clone, Debug, Default)]
pub(crate) struct Built {
    pub network: Network,
    /// The link of each emitter, and the node where it leaves the mains; nothing where it is
    /// shut.
    pub emitters: Vec<Option<(usize, usize)>>,
    /// What the valves and fittings of each emitter lose, in m per (m³/s)².
    pub fittings: Vec<f64>,
    /// The emitters on each leg or manifold.
    pub legs: Vec<Vec<usize>>,
    /// The loop of a one-pipe.
    pub loop_main: Option<usize>,
    /// The shorts that are open.
    pub shorts: Vec<usize>,
    /// Where the pump lifts to, and where the mains begin.
    pub outlet: usize,
    pub joint: usize,
}

/// The tank, whose level is the datum of all heads.
const TANK: usize = 0;
/// The pump's link.
pub(crate) const PUMP: usize = 0;

/// The network of a house for a case. Of a mixed layout there is none.
///
/// Where others are moved, each stands at its share of the way to the emitter that is asked about.
pub(crate) fn build(
    lay: &Lay<'_>,
    water: &Water,
    case: &Case,
    moved: Option<&[f64]>,
) -> Option<Built> {
    let house = lay.house;
    let mut built = Built {
        emitters: vec![None; house.emitters.len()],
        fittings: vec![0.0; house.emitters.len()],
        ..Built::default()
    };
    built.network.fixed_heads.push(Some(0.0));
    built.outlet = built.node();
    let pump = Pump::at(&house.machine, water, case.pump);
    built.network.links.push(Link {
        from: TANK,
        to: built.outlet,
        part: Part::Pump(Curve {
            shut_off: pump.head,
            fall: pump.fall(1.0),
            exponent: pump.exponent,
        }),
    });
    let common = mains::common(&house.machine, &house.joint, case.common);
    built.joint = built.pipes(built.outlet, common);
    shorts(&mut built, house, case);
    match house.layout {
        Layout::TwoPipe => legs(&mut built, lay, case, moved),
        Layout::OnePipe => one_loop(&mut built, house, case),
        Layout::Microbore | Layout::Radial => manifolds(&mut built, lay, case),
        Layout::Underfloor | Layout::Mixed => return None,
    }
    Some(built)
}

impl Built {
    fn node(&mut self) -> usize {
        self.network.fixed_heads.push(None);
        self.network.fixed_heads.len() - 1
    }

    fn pipe(&mut self, from: usize, to: usize, run: Run) -> usize {
        self.network.links.push(Link {
            from,
            to,
            part: Part::Run(run),
        });
        self.network.links.len() - 1
    }

    /// Pipes one after another from a node; where they end.
    fn pipes(&mut self, from: usize, runs: impl IntoIterator<Item = Run>) -> usize {
        runs.into_iter().fold(from, |at, run| {
            let next = self.node();
            self.pipe(at, next, run);
            next
        })
    }

    /// Joins an emitter between two nodes, unless it is shut.
    fn join(&mut self, at: usize, from: usize, to: usize, run: Option<Run>) {
        if let Some(run) = run {
            self.fittings[at] = mains::fittings_loss(&run);
            self.emitters[at] = Some((self.pipe(from, to, run), from));
        }
    }
}

fn shorts(built: &mut Built, house: &House, case: &Case) {
    for short in &house.shorts {
        let end = case.shorts;
        let open = match short.open {
            Truth::Undecided => end == End::Least,
            known => known == Truth::Yes,
        };
        let passes = end.down(short.valve);
        if open && passes > 0.0 {
            let bore = end.down(house.mains.bore);
            let link = built.pipe(built.joint, TANK, mains::short_pipe(passes, bore));
            built.shorts.push(link);
        }
    }
}

/// An emitter with tails and valves as one pipe; nothing where it is shut.
fn emitter_run(house: &House, at: usize, case: &Case, others: End) -> Option<Run> {
    let emitter = &house.emitters[at];
    let (end, valves) = if case.own == Some(at) {
        (case.emitter, case.valves)
    } else {
        (others, others)
    };
    let shut_back = case.back
        && match house.way.and(emitter.way) {
            Way::Both => false,
            Way::ForwardOnly => true,
            Way::Unknown => end == End::Most,
        };
    if shut_back {
        return None;
    }
    mains::emitter_pipe(emitter, end.up(emitter.tails.length), end, valves)
}

/// Two-pipe: a leg to each floor with its take-offs along it.
fn legs(built: &mut Built, lay: &Lay<'_>, case: &Case, moved: Option<&[f64]>) {
    let house = lay.house;
    for (_, members) in by_floor(house) {
        let stops = stops(lay, case, &members, moved);
        let main = Leg::new(lay, case, &members, &stops);
        let (mut node, mut behind) = (built.joint, 0.0);
        for (at, stop) in stops {
            node = built.pipes(node, main.between(house, behind, stop));
            behind = stop;
            let run = emitter_run(house, at, case, main.others);
            built.join(at, node, TANK, run);
        }
        built.legs.push(members);
    }
}

/// The ends of the mains and of the emitters on a leg or manifold.
fn ends_of(case: &Case, members: &[usize]) -> (End, End) {
    match case.own {
        Some(own) if !members.contains(&own) => (case.elsewhere, case.elsewhere),
        _ => (case.feeds, case.others),
    }
}

/// Emitters by floor, lowest first. Those whose floor is not known stand on a leg of their own.
fn by_floor(house: &House) -> Vec<(f64, Vec<usize>)> {
    let mut floors: Vec<(f64, Vec<usize>)> = Vec::new();
    for (at, emitter) in house.emitters.iter().enumerate() {
        let floor = if emitter.floor.is_point() {
            emitter.floor.low
        } else {
            f64::INFINITY
        };
        match floors.iter_mut().find(|(known, _)| *known == floor) {
            Some((_, members)) => members.push(at),
            None => floors.push((floor, vec![at])),
        }
    }
    floors.sort_by(|(one, _), (other, _)| one.total_cmp(other));
    floors
}

/// How far along its leg each emitter leaves it, in m, nearest first.
///
/// On a leg that nothing is asked about, what leaves nearer loses less; on the leg of the emitter that
/// is, the others stand where the case says. The longest run lengthens the way to it and the way on to
/// them, so they are taken at the end of their own that is farthest, whatever the end of the case.
fn stops(
    lay: &Lay<'_>,
    case: &Case,
    members: &[usize],
    moved: Option<&[f64]>,
) -> Vec<(usize, f64)> {
    let house = lay.house;
    let (end, _) = ends_of(case, members);
    let at_end = |at: usize, end: End, place: f64| {
        let mut there = house.emitters[at].clone();
        there.place = Range::point(place);
        let tails = end.other().up(there.tails.length);
        let run = lay.main_run(&there, end, tails);
        run.plain + run.stepped
    };
    let own = case.own.filter(|own| members.contains(own));
    let own_stop = own.map(|own| at_end(own, end, end.up(house.emitters[own].place)));
    let stop = |at: usize| {
        let Range { low, high } = house.emitters[at].place;
        match (own_stop, case.spot) {
            (Some(stop), _) if own == Some(at) => stop,
            (Some(_), Spot::Far) => at_end(at, End::Most, high),
            (Some(stop), Spot::Same) => {
                let nearest = at_end(at, End::Least, low);
                let share = moved.map_or(1.0, |shares| shares[at]);
                (share * stop).clamp(nearest, at_end(at, End::Most, high).max(nearest))
            }
            (Some(_), Spot::Near) => at_end(at, end, low),
            (None, _) => at_end(at, end, end.up(Range::new(low, high))),
        }
    };
    let mut stops: Vec<(usize, f64)> = members.iter().map(|at| (*at, stop(*at))).collect();
    // Emitters that leave at one place are put in the order of their names, so that the order of the
    // list cannot be seen.
    stops.sort_by(|(a, one), (b, other)| {
        let names = || house.emitters[*a].id.cmp(&house.emitters[*b].id);
        one.total_cmp(other).then_with(names)
    });
    stops
}

/// The main of one leg.
struct Leg {
    /// Up to here it feeds the emitter that the case is about.
    own_stop: f64,
    feeds: End,
    /// The emitters, and the main beyond that stop.
    others: End,
    /// Where it steps down and to which bore, in front of the stop and beyond.
    wide: [f64; 2],
    bore: [f64; 2],
}

impl Leg {
    fn new(lay: &Lay<'_>, case: &Case, members: &[usize], stops: &[(usize, f64)]) -> Leg {
        let (feeds, others) = ends_of(case, members);
        let bore = |end: End| {
            let bores = members
                .iter()
                .map(|at| end.down(lay.house.emitters[*at].tails.bore));
            bores.fold(f64::INFINITY, f64::min)
        };
        let own = stops.iter().find(|(at, _)| case.own == Some(*at));
        Leg {
            // Where nothing on it is asked about, all of the leg is at one end.
            own_stop: own.map_or(f64::INFINITY, |(_, stop)| *stop),
            feeds,
            others,
            wide: [
                lay.steps_down_at(feeds, feeds),
                lay.steps_down_at(others, others.other()),
            ],
            bore: [feeds, others].map(bore),
        }
    }

    /// The pipes between two stops.
    fn between(&self, house: &House, from: f64, to: f64) -> impl Iterator<Item = Run> + use<> {
        let (beyond, end) = if to <= self.own_stop {
            (0, self.feeds)
        } else {
            (1, self.others)
        };
        let (wide, bore) = (self.wide[beyond], self.bore[beyond]);
        let plain = to.min(wide) - from.min(wide);
        let stepped = to.max(wide) - from.max(wide);
        let both = [
            mains::main_pipe(house, plain, end),
            mains::narrowed(house, bore, stepped, end),
        ];
        both.into_iter().filter(|run| run.length > 0.0)
    }
}

/// Manifolds: a main to each, and the tails from there.
fn manifolds(built: &mut Built, lay: &Lay<'_>, case: &Case) {
    let house = lay.house;
    let groups = match house.layout {
        Layout::Radial => vec![(0.0, (0..house.emitters.len()).collect())],
        _ => by_floor(house),
    };
    for (_, members) in groups {
        let (end, others) = ends_of(case, &members);
        // All on a manifold share its main; the first by name stands for it.
        let first = members.iter().min_by_key(|at| &house.emitters[**at].id);
        let own = case.own.filter(|own| members.contains(own));
        let Some(first) = own.as_ref().or(first) else {
            continue;
        };
        let emitter = &house.emitters[*first];
        let run = lay.main_run(emitter, end, end.other().up(emitter.tails.length));
        let main = (run.plain > 0.0).then(|| mains::main_pipe(house, run.plain, end));
        let manifold = built.pipes(built.joint, main);
        for at in &members {
            let run = emitter_run(house, *at, case, others);
            built.join(*at, manifold, TANK, run);
        }
        built.legs.push(members);
    }
}

/// One-pipe: the rest of the loop, and one after another each emitter beside its piece.
fn one_loop(built: &mut Built, house: &House, case: &Case) {
    let mut order: Vec<usize> = (0..house.emitters.len()).collect();
    order.sort_by_key(|at| &house.emitters[*at].id);
    let mut node = built.node();
    let rest = mains::rest_of_loop(house, order.len(), case.feeds);
    let link = built.pipe(built.joint, node, rest);
    built.loop_main = Some(link);
    for (nth, at) in order.iter().enumerate() {
        let last = nth + 1 == order.len();
        let next = if last { TANK } else { built.node() };
        let own = case.own == Some(*at);
        let piece_end = if own { case.piece } else { case.others };
        built.pipe(node, next, mains::piece(house, piece_end));
        let run = emitter_run(house, *at, case, case.others);
        built.join(*at, node, next, run);
        node = next;
    }
}
