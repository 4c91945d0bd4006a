//! The ends at which the parts of a house are taken, so that what is asked is least or greatest.
//!
//! In a network of branches beside one another, a branch has its least flow where its own pipes and
//! those that feed it lose most, and every other branch, and every main beyond, loses least. On a
//! one-pipe loop the others lose most then too, for there they stand in series.

use crate::model::Layout;
use crate::series::End;

/// Where the take-offs of the other emitters on a leg are: a place that is not known may be anywhere,
/// and neither end of it is the worst in every house.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Spot {
    Near,
    Far,
    /// As far along as the emitter that the case is about.
    Same,
}

/// The ends of what stands beside an emitter: the others on its leg or manifold, and all else.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Beside {
    pub others: End,
    pub elsewhere: End,
}

impl Beside {
    /// Each pair of ends; on a loop the others stand in its way, at the end of that.
    pub(crate) fn each(layout: Layout) -> impl Iterator<Item = Beside> {
        let ends = [End::Most, End::Least];
        let others = if layout == Layout::OnePipe { 1 } else { 2 };
        let others = ends.into_iter().take(others);
        others.flat_map(move |others| ends.map(|elsewhere| Beside { others, elsewhere }))
    }
}

/// What a network is built for: the end at which each part of the house is taken.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Case {
    /// The emitter that is asked about, by its place in the house; nothing for the machine.
    pub own: Option<usize>,
    pub pump: End,
    /// Hoses, joint and heat source.
    pub common: End,
    /// The mains up to its take-off; all mains where nothing is its own, and the loop of a one-pipe.
    pub feeds: End,
    /// The emitter itself: the friction of its tails, and its valves and fittings.
    pub emitter: End,
    pub valves: End,
    /// The piece of a one-pipe loop under it.
    pub piece: End,
    /// The other emitters on its leg or manifold, and the mains beyond it.
    pub others: End,
    /// All that is on other legs and manifolds.
    pub elsewhere: End,
    pub shorts: End,
    pub spot: Spot,
    /// With the machine reversed: one-way valves are shut.
    pub back: bool,
}

impl Case {
    /// Everything at one end: the machine's least or greatest flow.
    pub(crate) fn all(end: End, spot: Spot) -> Case {
        Case {
            own: None,
            pump: end,
            common: end,
            feeds: end,
            emitter: end,
            valves: end,
            piece: end,
            others: end,
            elsewhere: end,
            shorts: end,
            spot,
            back: false,
        }
    }

    /// An emitter's least flow, for [`End::Most`], or its greatest.
    pub(crate) fn flow(layout: Layout, own: usize, end: End, spot: Spot) -> Case {
        let on_loop = layout == Layout::OnePipe;
        Case {
            own: Some(own),
            piece: end.other(),
            others: if on_loop { end } else { end.other() },
            elsewhere: end.other(),
            shorts: end.other(),
            ..Case::all(end, spot)
        }
    }

    /// The least or the greatest flow of the main that leads to an emitter.
    pub(crate) fn main(own: usize, end: End, spot: Spot) -> Case {
        Case {
            own: Some(own),
            elsewhere: end.other(),
            shorts: end.other(),
            ..Case::all(end, spot)
        }
    }

    /// The least or the greatest share of the shorts: greatest where everything but they loses most.
    pub(crate) fn share_of_shorts(end: End, spot: Spot) -> Case {
        Case {
            shorts: end.other(),
            ..Case::all(end, spot)
        }
    }

    /// The least head where the mains begin, for [`End::Most`], or the greatest.
    pub(crate) fn feed(end: End, spot: Spot) -> Case {
        Case {
            pump: end,
            common: end,
            ..Case::all(end.other(), spot)
        }
    }

    /// The least pressure at an emitter's outlet, for [`End::Least`], or the greatest: the way back
    /// to the tank loses most where its pipes do, the tails among them, and where its own valves lose
    /// least. What stands beside it, on its leg and beside that, adds to the flow in hoses and mains and
    /// takes from that in the tails; either may count for more, so each of the two has an end of its own.
    pub(crate) fn outlet(layout: Layout, own: usize, end: End, beside: Beside, spot: Spot) -> Case {
        if layout == Layout::OnePipe {
            // On the loop itself all is way back: at its far end the pressure is greatest where much is
            // lost on the loop. What the hoses lose raises the head before them and lowers it behind, so
            // either end of it may count for more.
            return Case {
                own: Some(own),
                pump: end.other(),
                common: beside.elsewhere,
                ..Case::all(End::Most, spot)
            };
        }
        Case {
            own: Some(own),
            common: end,
            feeds: end,
            emitter: end,
            others: beside.others,
            elsewhere: beside.elsewhere,
            shorts: beside.elsewhere,
            ..Case::all(end.other(), spot)
        }
    }
}
