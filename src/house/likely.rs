//! Likely values and likely ranges of a house, beside the sure ones.
//!
//! Contract: what is likely is for people alone, to rank and to plan by; it clears nothing. The likely value is
//! one exact solution with every number at the middle of its range, of losses and roughness the geometric
//! middle. The likely range holds it and about nine in ten of the houses that the ranges stand for, if all of
//! them are as likely as their neighbours: each number is moved to where half of its variance lies, by
//! itself, and what that does is added by squares; what errs in common, such as valves of one kind, is added
//! as one as far as that widens, for nobody knows that all makes are the same. No random numbers. Where something is not a number but not known, there is none.
//!
//! Source: propagation of uncertainty by finite differences, JCGM 100 (from memory); that all values of a
//! range are alike, and how much is shared, is judgement.

use crate::all_open::all_open;
use crate::alone::{Branch, branch};
use crate::inputs::Input;
use crate::model::{House, Layout, Way};
use crate::opened::{AllOpen, MOST_OPEN};
use crate::range::Range;
use wetside_units::truth::Truth;

/// A value and a range that holds it nine times in ten.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Likely {
    pub value: f64,
    pub range: Range,
}

/// What is likely of one branch; nothing where it cannot be told.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct LikelyBranch {
    /// As of [`Branch`].
    pub flow: Option<Likely>,
    pub speed: Option<Likely>,
    pub change: Option<Likely>,
    pub outlet: Option<Likely>,
    /// As of [`Share`](crate::Share), with everything open.
    pub open_speed: Option<Likely>,
    pub open_outlet: Option<Likely>,
}

/// What is likely of a house.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct LikelyHouse {
    /// In the order of the house.
    pub branches: Vec<LikelyBranch>,
    /// As of [`AllOpen`].
    pub machine_flow: Option<Likely>,
    pub main_speed: Option<Likely>,
}

/// Half of the numbers of a flat range would lie as far from its middle as this share of its half, if they
/// all lay at two places.
const OF_HALF: f64 = 0.577_350_269_189_625_8;
/// Nine in ten of a normal distribution lie within so many of its deviations.
const NINE_IN_TEN: f64 = 1.645;
/// How much of an error those share that err in common, by judgement.
const SHARED: f64 = 0.7;

/// Numbers whose scale is a factor.
const BY_FACTORS: [&str; 12] = [
    "loss of the connection",
    "flow coefficient of the heat source",
    "hose roughness",
    "roughness of the mains",
    "fittings of the mains",
    "loss between the tees",
    "flow coefficient",
    "flow valve",
    "return valve",
    "blockage",
    "roughness of the tails",
    "fittings of the tails",
];

/// Numbers of different emitters that err in common where their ranges are the same.
const IN_COMMON: [&[&str]; 4] = [
    &["flow valve"],
    &["return valve"],
    &["fittings of the tails"],
    &["roughness of the mains", "roughness of the tails"],
];

/// Numbers of an emitter by which the branches of others may change too.
const OF_OTHERS: [&str; 3] = ["place along the mains", "tail length", "floor"];

/// What is likely of a house whose sure ranges are these, or why that cannot be told.
pub fn likely(
    house: &House,
    sure: &[Branch],
    open: Option<&AllOpen>,
) -> Result<LikelyHouse, String> {
    undecided(house)?;
    let mut house = house.clone();
    house.way = Way::Both;
    house.floor = None;
    for emitter in &mut house.emitters {
        emitter.way = Way::Both;
    }
    let seen = see(&house.at_middle(), None, &[]).ok_or("no branch can be worked out")?;
    let usual = see(&at_usual(&house), None, &[]).ok_or("no branch can be worked out")?;
    let moved = moved(&house, &seen);
    let slot = |at: usize, sure: Option<Range>| {
        let found = of(at, seen[at], usual[at], &moved)?;
        Some(found.cut(sure?))
    };
    let open = open.filter(|_| !house.more);
    let each = house.emitters.iter().zip(sure).enumerate();
    let branches = each.map(|(nth, (emitter, branch))| {
        let share = open.and_then(|open| open.branches.get(nth));
        let first = OF_BRANCH * nth;
        LikelyBranch {
            flow: slot(first, Some(branch.flow)),
            speed: slot(first + 1, Some(branch.speed)),
            change: slot(first + 2, Some(branch.change))
                .filter(|_| emitter.content.high.is_finite()),
            outlet: slot(first + OUTLET, Some(branch.outlet)),
            open_speed: slot(first + 4, share.map(|share| share.speed)),
            open_outlet: slot(first + OPEN_OUTLET, share.map(|share| share.outlet)),
        }
    });
    let last = OF_BRANCH * house.emitters.len();
    Ok(LikelyHouse {
        branches: branches.collect(),
        machine_flow: slot(last, open.map(|open| open.machine_flow)),
        main_speed: slot(last + 1, open.map(|open| open.main_speed)),
    })
}

/// Ranks of values, the least first: those within a tenth of the first of their rank are alike. Pairs of
/// rank, from 1, and place; what has no value stands last and has no rank.
pub fn ranked(values: &[Option<f64>]) -> Vec<(Option<usize>, usize)> {
    const ALIKE: f64 = 1.1;
    let mut places: Vec<usize> = (0..values.len()).collect();
    let by = |at: usize| values[at].unwrap_or(f64::INFINITY);
    places.sort_by(|one, other| by(*one).total_cmp(&by(*other)));
    let mut first: Option<(usize, f64)> = None;
    let ranks = places.into_iter().enumerate().map(|(nth, place)| {
        let Some(value) = values[place] else {
            return (None, place);
        };
        let rank = match first {
            Some((rank, least)) if value <= ALIKE * least => rank,
            _ => {
                first = Some((nth + 1, value));
                nth + 1
            }
        };
        (Some(rank), place)
    });
    ranks.collect()
}

/// What is likely of something that is worked out of numbers in ranges, of a value for each of them.
pub fn likely_by(
    ranges: &[Range],
    by_factors: bool,
    sure: Range,
    at: impl Fn(&[f64]) -> Option<f64>,
) -> Option<Likely> {
    let middles: Vec<f64> = ranges.iter().map(Range::middle).collect();
    let value = at(&middles)?;
    let middle = scaled(value, by_factors);
    let (mut variance, mut bent) = (0.0, 0.0);
    for (nth, range) in ranges.iter().enumerate() {
        let to = |by: f64| {
            let mut moved = middles.clone();
            moved[nth] += by;
            Some(scaled(at(&moved)?, by_factors))
        };
        let half = half(*range);
        let (down, up) = (to(-half)?, to(half)?);
        variance += (0.5 * (up - down)).powi(2);
        bent += 0.5 * (up + down) - middle;
    }
    let range = spread(middle + bent, variance, by_factors)?;
    value.is_finite().then(|| Likely { value, range }.cut(sure))
}

/// How far from its middle half of the variance of a range lies.
fn half(range: Range) -> f64 {
    0.5 * (range.high - range.low) * OF_HALF
}

fn scaled(value: f64, by_factors: bool) -> f64 {
    if by_factors { value.ln() } else { value }
}

/// The likely range about a middle; nothing where it has no end.
fn spread(middle: f64, variance: f64, by_factors: bool) -> Option<Range> {
    let half = NINE_IN_TEN * variance.sqrt();
    let back = |value: f64| if by_factors { value.exp() } else { value };
    let (low, high) = (back(middle - half), back(middle + half));
    (low.is_finite() && high.is_finite()).then(|| Range::new(low, high))
}

/// What is likely of the sum of things that have nothing in common, each with what is likely of it if that is
/// known better than its range; nothing where one has no end.
pub fn likely_sum(all: &[(Range, Option<Likely>)]) -> Option<Likely> {
    let (mut value, mut variance) = (0.0, 0.0);
    for (sure, likely) in all {
        let of = likely.map_or(*sure, |likely| likely.range);
        let share = likely.map_or(OF_HALF, |_| 1.0 / NINE_IN_TEN);
        value += likely.map_or(sure.middle(), |likely| likely.value);
        variance += (0.5 * (of.high - of.low) * share).powi(2);
    }
    let sure = all.iter().map(|(sure, _)| *sure).reduce(Range::plus)?;
    let range = spread(value, variance, false)?;
    value.is_finite().then(|| Likely { value, range }.cut(sure))
}

impl Likely {
    /// What of it is possible.
    fn cut(self, sure: Range) -> Likely {
        let within = |value: f64| value.clamp(sure.low, sure.high);
        let range = Range::new(within(self.range.low), within(self.range.high));
        let value = self.value.clamp(range.low, range.high);
        Likely { value, range }
    }
}

/// What is not known and is no number.
fn undecided(house: &House) -> Result<(), String> {
    if house.emitters.len() > MOST_OPEN {
        return Err(format!("there are more than {MOST_OPEN} emitters"));
    }
    if house.layout == Layout::Mixed {
        return Err("each emitter may be piped either way".to_string());
    }
    if house
        .antifreeze
        .as_ref()
        .is_some_and(|glycol| glycol.kinds.len() > 1)
    {
        return Err(
            "whether there is antifreeze in the water, and which, is not known".to_string(),
        );
    }
    let mut shorts = house.shorts.iter();
    if let Some(short) = shorts.find(|short| short.open == Truth::Undecided) {
        return Err(format!("whether {} stands open is not known", short.id));
    }
    if house.layout == Layout::OnePipe && house.mains.piece == Truth::Undecided {
        return Err("whether the main under an emitter is blocked is not known".to_string());
    }
    let inputs = house.inputs();
    let endless = |input: &&Input| !input.range.middle().is_finite() && input.what != "content";
    match inputs.iter().find(endless) {
        Some(input) => Err(format!("nothing limits the {}", input.what)),
        None => Ok(()),
    }
}

/// The same house with every number at its usual value.
pub(crate) fn at_usual(house: &House) -> House {
    let mut usual = house.clone();
    usual.visit(&mut |what, _, range| {
        if BY_FACTORS.contains(&what) && range.low > 0.0 && range.high.is_finite() {
            *range = Range::point((range.low * range.high).sqrt());
        }
    });
    usual.at_middle()
}

/// What is seen of each branch: flow, speed, change and outlet alone, speed and outlet with everything
/// open; then of the machine with everything open its flow and the speed in the busiest main.
const OF_BRANCH: usize = 6;
const OUTLET: usize = 3;
const OPEN_OUTLET: usize = 5;

/// All of that in an exact house. Where only a number of one emitter differs from what was seen before, the
/// other branches alone are as they were.
fn see(one: &House, own: Option<usize>, before: &[Range]) -> Option<Vec<Range>> {
    let nothing = Range::point(f64::NAN);
    let mut all = before.to_vec();
    all.resize(OF_BRANCH * one.emitters.len() + 2, nothing);
    let open = if one.more { None } else { all_open(one).ok() };
    for at in 0..one.emitters.len() {
        let slots = &mut all[OF_BRANCH * at..][..OF_BRANCH];
        if own.is_none_or(|own| own == at) {
            let alone = branch(one, at).ok()?;
            slots[..4].copy_from_slice(&[alone.flow, alone.speed, alone.change, alone.outlet]);
        }
        if let Some(open) = &open {
            let share = &open.branches[at];
            slots[4..].copy_from_slice(&[share.speed, share.outlet]);
        }
    }
    if let Some(open) = open {
        let last = OF_BRANCH * one.emitters.len();
        all[last..].copy_from_slice(&[open.machine_flow, open.main_speed]);
    }
    Some(all)
}

/// What is seen with one number moved down and up.
struct Moved {
    down: Vec<Range>,
    up: Vec<Range>,
    /// What it errs in common with.
    group: Option<(usize, Range)>,
}

fn moved(house: &House, seen: &[Range]) -> Vec<Moved> {
    let middle = house.at_middle();
    let inputs = house.inputs();
    let wide = inputs.iter().enumerate();
    let wide = wide.filter(|(_, input)| !input.range.is_point() && input.range.high.is_finite());
    wide.filter_map(|(at, input)| {
        let named = |id: &String| house.emitters.iter().position(|one| one.id == *id);
        let own = input.of.as_ref().and_then(named);
        let own = own.filter(|_| !OF_OTHERS.contains(&input.what));
        let half = half(input.range);
        let to = |by: f64| {
            let value = input.range.middle() + by;
            see(&middle.with(at, Range::point(value)), own, seen)
        };
        let group = IN_COMMON
            .iter()
            .position(|group| group.contains(&input.what));
        Some(Moved {
            down: to(-half)?,
            up: to(half)?,
            group: group.map(|group| (group, input.range)),
        })
    })
    .collect()
}

/// What is likely of one thing that is seen: pressures by differences, all else by factors.
fn of(slot: usize, seen: Range, usual: Range, moved: &[Moved]) -> Option<Likely> {
    let by_factors = ![OUTLET, OPEN_OUTLET].contains(&(slot % OF_BRANCH));
    let scaled = |value: f64| scaled(value, by_factors);
    let middle = scaled(seen.middle());
    // What is left of a range in an exact house is by what no input names.
    let mut variance = half(Range::new(scaled(seen.low), scaled(seen.high))).powi(2);
    let mut bent = 0.0;
    let mut groups: Vec<((usize, Range), f64, f64)> = Vec::new();
    for one in moved {
        let [down, up] = [&one.down, &one.up].map(|all| scaled(all[slot].middle()));
        let by = 0.5 * (up - down);
        bent += 0.5 * (up + down) - middle;
        variance += by * by;
        let Some(group) = one.group else { continue };
        match groups.iter_mut().find(|(of, ..)| *of == group) {
            Some((_, sum, squares)) => (*sum, *squares) = (*sum + by, *squares + by * by),
            None => groups.push((group, by, by * by)),
        }
    }
    let shared = groups.iter().map(|(_, sum, squares)| sum * sum - squares);
    variance += SHARED * SHARED * shared.sum::<f64>().max(0.0);
    let (range, value) = (spread(middle + bent, variance, by_factors)?, usual.middle());
    value.is_finite().then_some(Likely { value, range })
}
