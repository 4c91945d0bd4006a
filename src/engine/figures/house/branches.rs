//! The figures of each branch, as a list beside the recorded emitters.
//!
//! Contract: `figure.branches` has an element for each recorded emitter, worked out once for all of
//! them. Rules read its fields as recorded ones; each is known as a range or open with the reason, and
//! remembers every fact that was looked at, the emitter's own first.

use super::read::{self, Reading};
use super::reader::MOST_EMITTERS;
use crate::figures::list::{self, FigureList};
use crate::figures::survey;
use crate::figures::table::{Figure, Found, Input, Source, fact, gathered, source, usual};
use crate::figures::view::{Refused, View};
use crate::figures::work;
use wetside_base::facts::{FactId, Facts, each_once};
use wetside_base::vocabulary::Vocabulary;
use wetside_house::{Branch, Fate, branches, convention};
use wetside_physics::sludge::Carriage;
use wetside_units::Kind;

/// What becomes of grains in a pipe.
const FATES: &[&str] = &["left", "rolled", "partly carried", "carried"];

pub(crate) static LIST: FigureList = FigureList {
    name: "branches",
    says: "Each emitter's branch in its turn: on the wall, its valves opened, all other branches shut.",
    of: survey::EMITTERS,
    fields: OF_EACH,
    derive,
};

of_house! {
    branch: Branch, INPUTS,
        "two solutions of the branch, with everything for it and everything against it; speeds over pieces \
         of a bore that is not known";
    "alone_flow": VolumeFlow,
        "The flow through it.";
        "q where H_0 (1 − (q/q_0)^n) = h(hoses) + h(mains) + h(tails, emitter, valves)"
        => branch.flow;
    "alone_speed": Velocity,
        "The speed of the water in its tails.";
        "v = q/(π d²/4)"
        => branch.speed;
    "reversed_speed": Velocity,
        "The speed in its tails with the machine reversed: nothing where a one-way valve may shut.";
        "v, or 0 where the way back is shut"
        => branch.speed_back;
    "main_speed": Velocity,
        "The speed in the mains that lead to it.";
        "v = q_main/(π D²/4)"
        => branch.main_speed;
    "taken_by_shorts": Share,
        "The share of the machine's flow that passes it by, through bypass, store, buffer or header.";
        "s = 1 − q_main/q_machine"
        => branch.taken_by_shorts;
    "change_time": Time,
        "How long the water of emitter and tails takes to go through once.";
        "t = (V + L π d²/4)/q"
        => branch.change;
    "outlet_pressure": GaugePressure,
        "The pressure at the top of its outlet while the machine runs; below 0 it draws air in.";
        "p = ρ g (level in the tank + losses on the way back − height)"
        => branch.outlet;
    "rise_speed": Velocity,
        "The upward speed inside a panel radiator. It lifts nothing that sinks faster.";
        "v = q/(n b s), s the thickness of the water, 4 to 7 mm (from memory)"
        => branch.rise.ok_or("panels and length are not known, or it is no panel radiator")?;
    "fine_sludge": word FATES,
        "What becomes of fine magnetite of 50 µm in its tails.";
        "w/(0.41 v √(f/8)) to 1.2 carried, to 2.5 partly; rolled from 0.05 g d (s − 1) on"
        => fate(branch.fine);
    "coarse_sludge": word FATES,
        "What becomes of coarse magnetite of 100 µm in its tails.";
        "w/(0.41 v √(f/8)) to 1.2 carried, to 2.5 partly; rolled from 0.05 g d (s − 1) on"
        => fate(branch.coarse);
    "riser_margin": Number,
        "The speed in the mains over three times the sinking speed of coarse magnetite: a riser lifts it \
         from 1 on.";
        "m = v_main/(3 w)"
        => branch.riser;
}

pub(super) const LAW: Source = source(
    "energy balance; Darcy and Weisbach, Colebrook and White; the mains by a convention for the layout",
    "from memory",
);
const INPUTS: &[Input] = &[
    fact("d", survey::TAIL_BORE).either(),
    fact("L", survey::TAIL_LENGTH).down(),
    SHUT_OFF,
    RATED_FLOW,
    MAIN_BORE,
    LONGEST_RUN,
    CURVE,
    usual(
        "k",
        "what its plate may be off by, as a factor",
        Kind::Number,
        &convention::PLATE,
    ),
    usual(
        "d_h",
        "bore of its hoses",
        Kind::Length,
        &convention::HOSE_BORE,
    ),
    usual(
        "ζ_m",
        "fittings in each metre of main",
        Kind::Number,
        &convention::FITTINGS,
    )
    .down(),
    usual(
        "ζ",
        "fittings of the tails with the emitter",
        Kind::Number,
        &convention::TAIL_FITTINGS,
    )
    .down(),
];

pub(super) const SHUT_OFF: Input = gathered(
    "p_0",
    "pressure of the machine against a shut valve",
    Kind::GaugePressure,
    |view, _| view.taken(Facts::ROOT, survey::SHUT_OFF_PRESSURE),
);
pub(super) const RATED_FLOW: Input =
    gathered("q_0", "its greatest flow", Kind::VolumeFlow, |view, _| {
        view.taken(Facts::ROOT, survey::RATED_FLOW)
    });
pub(super) const MAIN_BORE: Input = gathered("D", "bore of the mains", Kind::Length, |view, _| {
    view.taken(Facts::ROOT, survey::MAIN_BORE)
});
pub(super) const LONGEST_RUN: Input =
    gathered("M", "longest run, out and back", Kind::Length, |view, _| {
        view.taken(Facts::ROOT, survey::LONGEST_RUN)
    })
    .down();
pub(super) const CURVE: Input = usual(
    "n",
    "shape of the pump's curve, from a line to a parabola",
    Kind::Number,
    &convention::CURVE,
);

/// Works out every branch and fills what is asked of it.
fn derive(facts: &mut Facts, vocabulary: &Vocabulary, asked: &[&Figure]) {
    let all = All::of(&View { facts, vocabulary });
    list::derive(facts, vocabulary, &LIST, asked, |_, nth, _, figure| {
        let found = all
            .branch(nth)
            .and_then(|branch| read_off(branch, figure.name));
        (work::content(vocabulary, figure, found), all.behind(nth))
    });
}

/// All branches, or why there are none, with the facts behind each.
struct All {
    branches: Result<Vec<Branch>, Refused>,
    behind: Vec<Vec<FactId>>,
    /// Behind all, where there is no house; behind one that is not worked out, the list that is too long.
    otherwise: Vec<FactId>,
}

impl All {
    fn of(view: &View<'_>) -> All {
        let Reading {
            house, common, own, ..
        } = read::house(view, false, None);
        let behind = own.into_iter();
        let behind = behind.map(|own| each_once(own.into_iter().chain(common.iter().copied())));
        let otherwise = if house.is_ok() {
            vec![view.at(Facts::ROOT, survey::EMITTERS)]
        } else {
            each_once(common.iter().copied())
        };
        All {
            branches: house.and_then(|house| Ok(branches(&house)?)),
            behind: behind.collect(),
            otherwise,
        }
    }

    fn behind(&self, nth: usize) -> Vec<FactId> {
        self.behind.get(nth).unwrap_or(&self.otherwise).clone()
    }

    fn branch(&self, nth: usize) -> Result<&Branch, Refused> {
        let branches = self.branches.as_ref().map_err(Clone::clone)?;
        branches.get(nth).ok_or_else(|| {
            Refused(format!(
                "only the first {MOST_EMITTERS} emitters of a survey are worked out"
            ))
        })
    }
}

/// Its word, or those from the worst to the best.
fn fate(Fate { worst, best }: Fate) -> Found {
    let (one, other) = (place(worst), place(best));
    match &FATES[one.min(other)..=one.max(other)] {
        [word] => Found::Word(word),
        few => Found::Among(few),
    }
}

/// What becomes of a grain, in a word.
pub fn words(carriage: Carriage) -> &'static str {
    FATES[place(carriage)]
}

fn place(carriage: Carriage) -> usize {
    match carriage {
        Carriage::Settles => 0,
        Carriage::Rolls => 1,
        Carriage::Partly => 2,
        Carriage::Suspended => 3,
    }
}
