//! The ranges of a house, one after the other: to narrow, to draw from, to find what widens a result.
//!
//! Contract: every range that a result may depend on is seen, each under a name, in an order that
//! depends on the house alone.

use crate::model::{House, See};
use crate::range::Range;

/// One range that a house is described by.
#[derive(Clone, Debug, PartialEq)]
pub struct Input {
    /// What it is, in plain words.
    pub what: &'static str,
    /// The emitter or short that it belongs to.
    pub of: Option<String>,
    pub range: Range,
}

impl House {
    /// Shows every range.
    pub fn visit(&mut self, see: &mut See<'_>) {
        self.machine.visit(None, see);
        match &mut self.machine.duty {
            Some(duty) => duty.visit(None, see),
            None => see(
                "error of the machine's plate",
                None,
                &mut self.machine.plate,
            ),
        }
        self.joint.visit(None, see);
        if let Some(source) = &mut self.joint.source {
            see("flow coefficient of the heat source", None, source);
        }
        if let Some(host) = &mut self.joint.host {
            host.visit(Some("the connection"), see);
        }
        self.mains.visit(None, see);
        if let Some(floor) = &mut self.floor {
            floor.visit(None, see);
        }
        for short in &mut self.shorts {
            let id = short.id.clone();
            short.visit(Some(&id), see);
        }
        see("water temperature", None, &mut self.celsius);
        if let Some(antifreeze) = &mut self.antifreeze {
            see("strength of the antifreeze", None, &mut antifreeze.strength);
        }
        for emitter in &mut self.emitters {
            let id = emitter.id.clone();
            emitter.visit(Some(&id), see);
            emitter.tails.visit(Some(&id), see);
            if let Some(body) = &mut emitter.body {
                body.visit(Some(&id), see);
            }
        }
    }

    /// Every range with its name.
    pub fn inputs(&self) -> Vec<Input> {
        let mut all = Vec::new();
        self.clone().visit(&mut |what, of, range| {
            all.push(Input {
                what,
                of: of.map(str::to_string),
                range: *range,
            });
        });
        all
    }

    /// The same house with every range at its middle; a range without end at its low end.
    pub(crate) fn at_middle(&self) -> House {
        let mut usual = self.clone();
        usual.visit(&mut |_, _, range| {
            let middle = range.middle();
            *range = Range::point(if middle.is_finite() {
                middle
            } else {
                range.low
            });
        });
        usual
    }

    /// The same house with one of its ranges, counted in the order of [`House::inputs`], changed.
    #[must_use]
    pub(crate) fn with(&self, at: usize, range: Range) -> House {
        let mut house = self.clone();
        let mut seen = 0;
        house.visit(&mut |_, _, own| {
            if seen == at {
                *own = range;
            }
            seen += 1;
        });
        house
    }
}

/// The place of the range that widens a result most: the one whose narrowing to its middle narrows it most.
/// Nothing where none narrows it; a range without end is passed over.
pub fn widest(
    whole: Range,
    ranges: impl Iterator<Item = (usize, Range)>,
    narrowed: impl Fn(usize, Range) -> Option<Range>,
) -> Option<usize> {
    let width = |range: Range| range.high - range.low;
    let mut best: Option<(f64, usize)> = None;
    for (at, range) in ranges {
        let middle = range.middle();
        if range.is_point() || !middle.is_finite() {
            continue;
        }
        let Some(left) = narrowed(at, Range::point(middle)).map(width) else {
            continue;
        };
        if left < width(whole) && best.is_none_or(|(least, _)| left < least) {
            best = Some((left, at));
        }
    }
    best.map(|(_, at)| at)
}

/// The input that widens a result most, of those whose owner is among those tried. Nothing for a result
/// that is a single number or open.
pub fn widest_input(
    house: &House,
    tried: impl Fn(Option<&str>) -> bool,
    measure: impl Fn(&House) -> Option<Range>,
) -> Option<Input> {
    let mut inputs = house.inputs();
    let all = inputs.iter().map(|input| input.range).enumerate();
    let all = all.filter(|(at, _)| tried(inputs[*at].of.as_deref()));
    let narrowed = |at, range| measure(&house.with(at, range));
    widest(measure(house)?, all, narrowed).map(|at| inputs.swap_remove(at))
}
