//! Where the mains run, by the convention of the layout, and each part of a house as a pipe.
//!
//! Contract: at [`End::Most`] a length is the greatest and at [`End::Least`] the least that the
//! ranges of the house allow. Inputs that stand in a length twice with opposite signs are taken at
//! each end apart where that is the safe side.

use crate::model::{Emitter, FloorHeating, House, Joint, Layout, Machine, Point, Tails};
use crate::range::Range;
use crate::series::{End, valve_loss};
use wetside_physics::GRAVITY;
use wetside_physics::friction::Run;
use wetside_units::truth::Truth;

/// Main between the connection and the tails of an emitter, out and back, in m.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct MainRun {
    /// In the bore of the mains.
    pub plain: f64,
    /// In the bore of the tails.
    pub stepped: f64,
}

/// Main that climbs from the connection to a floor and back, in m.
pub(crate) fn riser(house: &House, floor: Range, end: End) -> f64 {
    let apart = floors_apart(house.joint.floor, floor);
    2.0 * end.up(apart) * end.up(house.mains.storey)
}

fn floors_apart(one: Range, other: Range) -> Range {
    let (down, up) = (one.low - other.high, other.low - one.high);
    let least = down.max(up).max(0.0);
    let most = (one.high - other.low).max(other.high - one.low);
    Range::new(least, most)
}

/// A house with what its emitters have in common, looked up once.
pub(crate) struct Lay<'a> {
    pub house: &'a House,
    /// The emitters by their floors, as far as those are known.
    floors: Vec<OnFloor<'a>>,
    /// The shortest tails in the house, at either end.
    shortest: Range,
}

/// The emitters whose floor is known alike.
struct OnFloor<'a> {
    floor: Range,
    /// The longest tails, at either end.
    longest: Range,
    first_by_name: &'a Emitter,
}

impl<'a> Lay<'a> {
    pub(crate) fn of(house: &'a House) -> Lay<'a> {
        let mut lay = Lay {
            house,
            floors: Vec::new(),
            shortest: Range::point(f64::INFINITY),
        };
        for emitter in &house.emitters {
            let tails = emitter.tails.length;
            let Range { low, high } = lay.shortest;
            lay.shortest = Range::new(low.min(tails.low), high.min(tails.high));
            let same = |on: &&mut OnFloor<'_>| on.floor == emitter.floor;
            match lay.floors.iter_mut().find(same) {
                Some(on) => {
                    let Range { low, high } = on.longest;
                    on.longest = Range::new(low.max(tails.low), high.max(tails.high));
                    if emitter.id < on.first_by_name.id {
                        on.first_by_name = emitter;
                    }
                }
                None => lay.floors.push(OnFloor {
                    floor: emitter.floor,
                    longest: Range::new(tails.low.max(0.0), tails.high.max(0.0)),
                    first_by_name: emitter,
                }),
            }
        }
        lay
    }

    /// Where on its leg an emitter leaves the main, and what the main's length is up to there.
    ///
    /// `tails` is the length of its own tails that is taken off the longest run, in m.
    pub(crate) fn main_run(&self, emitter: &Emitter, end: End, tails: f64) -> MainRun {
        let (house, mains) = (self.house, &self.house.mains);
        let place = end.up(self.place(emitter));
        let beyond = match house.layout {
            Layout::Microbore => self.longest_tails(Some(emitter.floor), end.other()),
            Layout::Radial => self.longest_tails(None, end.other()),
            _ => tails,
        };
        let reach = (end.up(mains.longest_run) - beyond).max(0.0);
        let climb = riser(house, emitter.floor, end).min(reach);
        let mut length = climb + place * (reach - climb);
        if house.has_manifold() && house.joint.point == Point::Manifold {
            length = match (at_joint(house, emitter), end) {
                (Truth::Yes, _) | (Truth::Undecided, End::Least) => 0.0,
                (_, End::Least) => climb,
                // From one manifold back to the fork, and on to the other.
                (_, End::Most) => length + reach,
            };
        }
        if house.has_manifold() {
            return MainRun {
                plain: length,
                stepped: 0.0,
            };
        }
        let wide = self.steps_down_at(end, end);
        MainRun {
            plain: length.min(wide),
            stepped: (length - wide).max(0.0),
        }
    }

    /// How far from the connection, out and back, a leg steps down to the bore of the tails, in m: the
    /// nearer the step, the more of a path lies beyond it.
    ///
    /// Its length goes by the end that `length` says. Beyond an emitter that is asked about that is the
    /// other one: at [`End::Least`] the step is then as far as it may be, and at [`End::Most`] as near.
    pub(crate) fn steps_down_at(&self, end: End, length: End) -> f64 {
        let mains = &self.house.mains;
        let line = length.up(mains.longest_run) - self.shortest_tails(end);
        ((1.0 - end.up(mains.stepped)) * line).max(0.0)
    }

    /// The place of an emitter's take-off along its leg.
    ///
    /// All on a manifold share its place: that of the first by name on its floor stands for it. A
    /// manifold that serves all emitters lies at the end of the longest run, and so does the only emitter.
    fn place(&self, emitter: &Emitter) -> Range {
        let house = self.house;
        let only = match house.layout {
            Layout::Radial | Layout::Underfloor => true,
            _ if house.more => false,
            Layout::Microbore => matches!(&self.floors[..], [only] if only.floor.is_point()),
            _ => house.emitters.len() == 1,
        };
        if only {
            return Range::point(1.0);
        }
        if house.layout == Layout::Microbore {
            let here = self.floors.iter().find(|on| on.floor == emitter.floor);
            return here.map_or(emitter.place, |on| on.first_by_name.place);
        }
        emitter.place
    }

    /// Length of the longest tails on a floor or in the house.
    fn longest_tails(&self, floor: Option<Range>, end: End) -> f64 {
        let shares = |on: &&OnFloor<'_>| {
            let meet = |floor: Range| match end {
                // Only those that are on this floor for certain keep its manifold near.
                End::Least => on.floor.is_point() && on.floor == floor,
                End::Most => on.floor.low <= floor.high && floor.low <= on.floor.high,
            };
            floor.is_none_or(meet)
        };
        let of = self.floors.iter().filter(shares);
        let listed = of.map(|on| end.up(on.longest)).fold(0.0, f64::max);
        match (self.house.more, end) {
            (true, End::Most) => self.house.mains.longest_run.high.max(listed),
            _ => listed,
        }
    }

    /// Length of the shortest tails in the house: beyond them no leg is longer.
    fn shortest_tails(&self, end: End) -> f64 {
        if self.house.more && end == End::Least {
            return 0.0;
        }
        end.up(self.shortest)
            .min(end.up(self.house.mains.longest_run))
    }
}

/// Whether an emitter is on the manifold at which the machine is connected.
fn at_joint(house: &House, emitter: &Emitter) -> Truth {
    let apart = floors_apart(house.joint.floor, emitter.floor);
    match (house.layout, apart.high <= 0.0, apart.low > 0.0) {
        (Layout::Radial | Layout::Underfloor, ..) | (_, true, _) => Truth::Yes,
        (_, _, true) => Truth::No,
        _ => Truth::Undecided,
    }
}

/// Main between the connection and the manifold of the floor heating, out and back, in m.
pub(crate) fn floor_main(house: &House, floor: &FloorHeating, end: End) -> f64 {
    let run = house.mains.longest_run;
    if house.joint.point == Point::Manifold && house.layout == Layout::Underfloor {
        return 0.0;
    }
    let beyond = match house.layout {
        Layout::Underfloor => floor.length.low,
        _ => 0.0,
    };
    match end {
        End::Least => 0.0,
        End::Most => (run.high - beyond).max(0.0),
    }
}

/// The roughness at an end. The friction law ends at a tenth of the bore: a convention that reaches beyond
/// it is taken up to there, and a wall that is rougher for certain is refused by the law.
fn roughness(range: Range, bore: f64, end: End) -> f64 {
    let most = (ROUGHEST * bore).max(range.low);
    end.up(range).min(most)
}

/// As a share of the bore.
pub(crate) const ROUGHEST: f64 = 0.0999;

/// A main in the bore of the mains.
pub(crate) fn main_pipe(house: &House, length: f64, end: End) -> Run {
    narrowed(house, f64::INFINITY, length, end)
}

/// A main in a bore of its own, no wider than that of the mains.
pub(crate) fn narrowed(house: &House, bore: f64, length: f64, end: End) -> Run {
    let mains = &house.mains;
    let bore = bore.min(end.down(mains.bore));
    Run {
        length,
        bore,
        roughness: roughness(mains.roughness, bore, end),
        loss: length * end.up(mains.loss_per_metre),
    }
}

/// The main up to a branch: in the bore of the mains, and beyond in that of its tails.
pub(crate) fn main_pipes(house: &House, run: MainRun, tails: &Tails, end: End) -> [Run; 2] {
    [
        main_pipe(house, run.plain, end),
        narrowed(house, end.down(tails.bore), run.stepped, end),
    ]
}

/// The loss coefficient on a bore of a valve of a flow coefficient in m³/h.
fn valve_on(flow_coefficient: f64, bore: f64) -> f64 {
    let area = std::f64::consts::FRAC_PI_4 * bore * bore;
    valve_loss(flow_coefficient) * 2.0 * GRAVITY * area * area
}

/// The machine's hoses with the joint and the heat source as losses on their bore, and the tails of a
/// radiator that was taken off: all that lies before the first branch.
pub(crate) fn common(machine: &Machine, joint: &Joint, end: End) -> impl Iterator<Item = Run> {
    let bore = end.down(machine.hose_bore);
    let source = joint.source;
    let hoses = Run {
        length: 2.0 * end.up(machine.hose_length),
        bore,
        roughness: end.up(machine.hose_roughness),
        loss: end.up(joint.loss) * (bore / end.down(joint.bore)).powi(4)
            + source.map_or(0.0, |passes| valve_on(end.down(passes), bore)),
    };
    let host = joint.host;
    let host = host.map(|tails| tails_pipe(&tails, end.up(tails.length), 1.0, end));
    std::iter::once(hoses).chain(host)
}

/// Tails with the emitter on them; what lies in them multiplies the losses of its fittings.
pub(crate) fn tails_pipe(tails: &Tails, length: f64, blockage: f64, end: End) -> Run {
    let bore = end.down(tails.bore);
    Run {
        length,
        bore,
        roughness: roughness(tails.roughness, bore, end),
        loss: blockage * end.up(tails.loss),
    }
}

/// An emitter with its tails, of a given length, and its valves; nothing where one of them is shut. The
/// friction of the tails is taken at one end, what valves and fittings lose at another.
pub(crate) fn emitter_pipe(
    emitter: &Emitter,
    tails: f64,
    friction: End,
    valves: End,
) -> Option<Run> {
    let open = [emitter.flow_valve, emitter.return_valve].map(|valve| valves.down(valve));
    if open.iter().any(|valve| *valve <= 0.0) {
        return None;
    }
    let mut run = tails_pipe(&emitter.tails, tails, 1.0, friction);
    let bore = valves.down(emitter.tails.bore);
    let of_valves = open.map(|valve| valve_on(valve, bore)).iter().sum::<f64>();
    let fittings = valves.up(emitter.tails.loss) + of_valves;
    run.loss = valves.up(emitter.blockage) * fittings * (run.bore / bore).powi(4);
    Some(run)
}

/// Head in m per (m³/s)² that the fittings of a pipe lose, its friction aside.
pub(crate) fn fittings_loss(run: &Run) -> f64 {
    let area = std::f64::consts::FRAC_PI_4 * run.bore * run.bore;
    run.loss / (2.0 * GRAVITY * area * area)
}

/// A way round the emitters, as a valve on a bore.
pub(crate) fn short_pipe(flow_coefficient: f64, bore: f64) -> Run {
    Run {
        length: 0.0,
        bore,
        roughness: 0.0,
        loss: valve_on(flow_coefficient, bore),
    }
}

/// One loop of the floor, its share of the others left aside.
pub(crate) fn floor_pipe(floor: &FloorHeating, end: End) -> Run {
    let bore = end.down(floor.bore);
    Run {
        length: end.up(floor.length),
        bore,
        roughness: roughness(floor.roughness, bore, end),
        loss: end.up(floor.loss) + valve_on(end.down(floor.valve), bore),
    }
}

/// The piece of a one-pipe loop between the two tees of an emitter.
pub(crate) fn piece(house: &House, end: End) -> Run {
    Run {
        length: end.up(house.mains.piece_length),
        loss: end.up(house.mains.piece_loss),
        ..main_pipe(house, 0.0, end)
    }
}

/// What is left of a one-pipe loop beside the pieces under so many emitters.
pub(crate) fn rest_of_loop(house: &House, emitters: usize, end: End) -> Run {
    let pieces = emitters as f64 * end.other().up(house.mains.piece_length);
    main_pipe(
        house,
        (end.up(house.mains.longest_run) - pieces).max(0.0),
        end,
    )
}
