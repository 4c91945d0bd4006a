//! An emitter as it stands in its turn, read from facts: its tails, its valves opened, what it holds.
//!
//! Contract: as [`read`](super::read). A valve's head is off only where that is recorded.

use super::convention;
use super::read::Reader;
use super::valves::{self, Setting, Valve};
use super::{Body, Emitter, Tails, Way};
use crate::figures::range::Range;
use wetside_base::facts::{FactId, Facts};
use wetside_base::vocabulary::Vocabulary;

impl Reader<'_> {
    pub fn emitter(
        &mut self,
        element: FactId,
        nth: usize,
        roughness: Range,
    ) -> (Emitter, Vec<FactId>) {
        let view = self.view;
        let at = |path: &str| view.at(element, path);
        let [bore, length, floor] = ["tails.bore", "tails.length", "floor"].map(at);
        let [flow, back] = ["flow_valve.kind", "return_valve.kind"].map(at);
        let [flow_set, back_set] = ["flow_valve.set", "return_valve.set"].map(at);
        let mut facts = vec![bore, length, floor, flow, flow_set, back, back_set];
        let content = self.content(nth);
        facts.extend(content.1);
        let tails = Tails {
            length: self.range(length, "tails.length", Some(&convention::TAIL_LENGTH)),
            bore: self.range(bore, "tails.bore", Some(&convention::TAIL_BORE)),
            roughness,
            loss: convention::TAIL_FITTINGS.range,
        };
        let id = view.facts.text(at("id"));
        let emitter = Emitter {
            id: id.map_or_else(|| format!("{}", nth + 1), str::to_string),
            floor: self.range(floor, "floor", Some(&convention::GROUND)),
            place: Range::new(0.0, 1.0),
            content: content.0,
            tails,
            flow_valve: flow_valve(view.word(flow), view.word(flow_set)),
            return_valve: return_valve(view.word(back)),
            blockage: Range::point(1.0),
            body: self.body(element, &mut facts),
            way: match view.word(flow) {
                Some("one-way thermostatic") | None => Way::Unknown,
                Some(_) => Way::Both,
            },
            drop_feed: view.word(at("drop_feed")) == Some("yes"),
            off: false,
        };
        (emitter, facts)
    }

    /// The content that was worked out for the emitter before.
    fn content(&self, nth: usize) -> (Range, Option<FactId>) {
        let figures = self.view.at(Facts::ROOT, Vocabulary::FIGURES);
        let list = self.view.at(figures, "emitters");
        let Some(element) = self.view.facts.elements(list).nth(nth) else {
            return (Range::FROM_NOTHING, None);
        };
        let id = self.view.at(element, "content");
        (self.view.range_or(id, Range::FROM_NOTHING), Some(id))
    }

    fn body(&self, element: FactId, facts: &mut Vec<FactId>) -> Option<Body> {
        let at = |path: &str| self.view.at(element, path);
        let [kind, panels, length] = ["kind", "panels", "size.length"].map(at);
        facts.extend([kind, panels, length]);
        if self.view.word(kind) != Some("panel radiator") {
            return None;
        }
        Some(Body {
            panels: self.view.range(panels).ok()?,
            length: self.view.range(length).ok()?,
        })
    }
}

fn flow_valve(kind: Option<&str>, set: Option<&str>) -> Range {
    let kind = match kind {
        Some("wheelhead") => Valve::Wheelhead,
        Some("thermostatic" | "one-way thermostatic" | "smart thermostatic") => Valve::Thermostatic,
        Some("twin entry") => Valve::TwinEntry,
        Some("none") => Valve::None,
        _ => Valve::Any,
    };
    valves::valve(kind, setting(set))
}

fn return_valve(kind: Option<&str>) -> Range {
    let kind = match kind {
        Some("lockshield") => Valve::Lockshield,
        Some("wheelhead") => Valve::Wheelhead,
        Some("return limiter") => Valve::Limiter,
        Some("none") => Valve::None,
        _ => Valve::Any,
    };
    valves::valve(kind, Setting::Open)
}

/// A valve in its emitter's turn: with its head off only where that is recorded.
fn setting(set: Option<&str>) -> Setting {
    match set {
        Some("head removed" | "fully open") => Setting::Open,
        _ => Setting::HeadOn,
    }
}
