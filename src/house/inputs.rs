//! The ranges of a house, one after the other: to narrow, to draw from, to find what widens a result.
//!
//! Contract: every range that a result may depend on is seen, each under a name, in an order that
//! depends on the house alone.

use crate::model::{House, Tails};
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

/// What is done with each range: its name, its owner, itself.
type See<'a> = dyn FnMut(&'static str, Option<&str>, &mut Range) + 'a;

impl House {
    /// Shows every range.
    pub fn visit(&mut self, see: &mut See<'_>) {
        let machine = &mut self.machine;
        see("shut-off pressure", None, &mut machine.shut_off);
        see("rated flow", None, &mut machine.rated_flow);
        see("error of the machine's plate", None, &mut machine.plate);
        see("shape of the pump's curve", None, &mut machine.curve);
        see("hose length", None, &mut machine.hose_length);
        see("hose bore", None, &mut machine.hose_bore);
        see("hose roughness", None, &mut machine.hose_roughness);
        see("level in the machine's tank", None, &mut machine.level);
        let joint = &mut self.joint;
        see("floor of the connection", None, &mut joint.floor);
        see("connection bore", None, &mut joint.bore);
        see("loss of the connection", None, &mut joint.loss);
        if let Some(source) = &mut joint.source {
            see("flow coefficient of the heat source", None, source);
        }
        if let Some(host) = &mut joint.host {
            tails(host, Some("the connection"), see);
        }
        self.visit_mains(see);
        for short in &mut self.shorts {
            see("flow coefficient", Some(&short.id), &mut short.valve);
        }
        see("water temperature", None, &mut self.celsius);
        self.visit_emitters(see);
    }

    fn visit_mains(&mut self, see: &mut See<'_>) {
        let mains = &mut self.mains;
        see("main bore", None, &mut mains.bore);
        see("roughness of the mains", None, &mut mains.roughness);
        see("fittings of the mains", None, &mut mains.loss_per_metre);
        see("longest run", None, &mut mains.longest_run);
        see(
            "share of the mains in the tails' bore",
            None,
            &mut mains.stepped,
        );
        see("storey height", None, &mut mains.storey);
        see("main between the tees", None, &mut mains.piece_length);
        see("loss between the tees", None, &mut mains.piece_loss);
        if let Some(floor) = &mut self.floor {
            see("number of floor loops", None, &mut floor.loops);
            see("loop length", None, &mut floor.length);
            see("loop bore", None, &mut floor.bore);
            see("roughness of the loops", None, &mut floor.roughness);
            see("fittings of a loop", None, &mut floor.loss);
            see("valve and meter of a loop", None, &mut floor.valve);
        }
    }

    fn visit_emitters(&mut self, see: &mut See<'_>) {
        for emitter in &mut self.emitters {
            let id = Some(emitter.id.as_str());
            see("floor", id, &mut emitter.floor);
            see("place along the mains", id, &mut emitter.place);
            see("content", id, &mut emitter.content);
            tails(&mut emitter.tails, id, see);
            see("flow valve", id, &mut emitter.flow_valve);
            see("return valve", id, &mut emitter.return_valve);
            see("blockage", id, &mut emitter.blockage);
            if let Some(body) = &mut emitter.body {
                see("panels", id, &mut body.panels);
                see("length along the wall", id, &mut body.length);
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
    fn with(&self, at: usize, range: Range) -> House {
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

fn tails(tails: &mut Tails, of: Option<&str>, see: &mut See<'_>) {
    see("tail length", of, &mut tails.length);
    see("tail bore", of, &mut tails.bore);
    see("roughness of the tails", of, &mut tails.roughness);
    see("fittings of the tails", of, &mut tails.loss);
}

/// The input that widens a result most, of those whose owner is among those tried: the one whose
/// narrowing to its middle narrows it most. Nothing for a result that is a single number or open.
pub fn widest(
    house: &House,
    tried: impl Fn(Option<&str>) -> bool,
    measure: impl Fn(&House) -> Option<Range>,
) -> Option<Input> {
    let whole = measure(house)?;
    let mut best: Option<(f64, Input)> = None;
    for (at, input) in house.inputs().into_iter().enumerate() {
        let middle = input.range.middle();
        if input.range.is_point() || !middle.is_finite() || !tried(input.of.as_deref()) {
            continue;
        }
        let Some(left) = measure(&house.with(at, Range::point(middle))) else {
            continue;
        };
        let left = left.high - left.low;
        let narrows = left < whole.high - whole.low;
        if narrows && best.as_ref().is_none_or(|(least, _)| left < *least) {
            best = Some((left, input));
        }
    }
    best.map(|(_, input)| input)
}
