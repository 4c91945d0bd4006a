//! What stands around the emitters, read from facts: the heat source in the way, the ways round, the
//! check valves.
//!
//! Contract: as [`read`](super::read). Something of which nobody says whether it is open may be
//! either; a list that may hold more than it names may hold anything.

use super::connect::piece_as_valve;
use super::convention;
use super::read::Reader;
use super::{Layout, Mains, Point, Short, State, Way};
use crate::figures::emitters;
use crate::figures::range::Range;

impl Reader<'_> {
    /// The heat source in series: where the machine takes the place of pump or filter, whatever of it
    /// is left in.
    pub fn source(&mut self, point: Point) -> Option<Range> {
        if point > Point::FilterAdapter {
            return None;
        }
        let list = self.at("heat_sources");
        self.facts.push(list);
        let passes = convention::named("boiler heat exchanger");
        let (elements, more) = emitters::elements(&self.view, list);
        let (mut all_in, mut all_out) = (!more, !more);
        for element in elements {
            let id = self.view.at(element, "during_flush");
            self.facts.push(id);
            match self.view.word(id) {
                Some("left in" | "left in by consent") => all_out = false,
                Some("isolated" | "bypassed") => all_in = false,
                _ => (all_in, all_out) = (false, false),
            }
        }
        match (all_out, all_in) {
            (true, _) => None,
            (false, true) => Some(passes),
            // Nothing may be in the way.
            (false, false) => Some(Range::new(passes.low, f64::INFINITY)),
        }
    }

    /// Ways round the emitters that the survey speaks of.
    pub fn shorts(&mut self, layout: Layout, point: Point, mains: &Mains) -> Vec<Short> {
        let vessel = convention::VESSEL.range;
        let mut all = vec![
            ("the store".to_string(), vessel, self.store()),
            ("the buffer".to_string(), vessel, self.buffer()),
        ];
        let beside = self.source_beside(point);
        all.push(("the heat source".to_string(), round_source(), beside));
        if layout == Layout::OnePipe && point == Point::RadiatorTails {
            let name = "the main under the connection".to_string();
            all.push((name, piece_as_valve(mains), mains.piece.opposite()));
        }
        all.extend(self.controls());
        let shorts = all.into_iter().filter(|(_, _, open)| *open != State::No);
        shorts
            .map(|(id, valve, open)| Short { id, valve, open })
            .collect()
    }

    fn store(&mut self) -> State {
        let kind = self.word("hot_water.kind").map(holds_no_store);
        if kind == Some(true) {
            return State::No;
        }
        let shares = self
            .word("hot_water.store.shares_heating_water")
            .map(|word| word == "yes");
        let within = self
            .word("hot_water.store.during_flush")
            .map(|word| word == "in the circuit");
        match (kind, shares, within) {
            (_, Some(false), _) | (_, _, Some(false)) => State::No,
            (Some(false), Some(true), Some(true)) => State::Yes,
            _ => State::Unknown,
        }
    }

    fn buffer(&mut self) -> State {
        if self.word("hot_water.buffer.fitted") == Some("no") {
            return State::No;
        }
        let sure = self.word("hot_water.buffer.fitted") == Some("yes");
        let within = self
            .word("hot_water.buffer.during_flush")
            .map(|word| word == "in the circuit");
        // With two pipes it stands in the way of the flow, not beside it.
        let pipes = self.any("hot_water.buffer.pipes", None);
        match within {
            Some(false) => State::No,
            _ if pipes.high < 3.0 => State::No,
            Some(true) if sure && pipes.low >= 3.0 => State::Yes,
            _ => State::Unknown,
        }
    }

    /// The heat source beside the emitters: where the machine is connected away from it, both are
    /// still joined by the mains, unless it is isolated.
    fn source_beside(&mut self, point: Point) -> State {
        if point <= Point::HeatSource {
            return State::No;
        }
        let list = self.at("heat_sources");
        self.facts.push(list);
        let (elements, more) = emitters::elements(&self.view, list);
        let mut open = if more { State::Unknown } else { State::No };
        for element in elements {
            let id = self.view.at(element, "during_flush");
            self.facts.push(id);
            match self.view.word(id) {
                Some("isolated") => {}
                Some(_) => return State::Yes,
                None => open = State::Unknown,
            }
        }
        open
    }

    /// The bypasses and headers among the controls.
    fn controls(&mut self) -> Vec<(String, Range, State)> {
        let list = self.at("controls");
        self.facts.push(list);
        let (elements, more) = emitters::elements(&self.view, list);
        let mut found = Vec::new();
        for element in elements {
            let (kind, set) = (self.view.at(element, "kind"), self.view.at(element, "set"));
            self.facts.extend([kind, set]);
            let id = self.view.facts.text(self.view.at(element, "id"));
            let id = id.unwrap_or("a control").to_string();
            let (bypass, header) = (convention::BYPASS.range, convention::VESSEL.range);
            let set = self.view.word(set);
            let open = match set {
                Some("closed" | "isolated") => State::No,
                Some("open" | "locked open" | "held open") => State::Yes,
                _ => State::Unknown,
            };
            match self.view.word(kind) {
                Some("automatic bypass" | "gate bypass") => found.push((id, bypass, open)),
                Some("low-loss header") => found.push((id, header, open)),
                Some(_) => {}
                None if open == State::No => {}
                None => found.push((id, bypass.hull(header), State::Unknown)),
            }
        }
        if more && self.suppose {
            let words = "`controls` may hold more: no other bypass or header stands open";
            self.supposed.push(words.to_string());
        } else if more {
            let any = convention::BYPASS.range.hull(convention::VESSEL.range);
            found.push(("a control not listed".to_string(), any, State::Unknown));
        }
        found
    }

    /// Check valves among the controls that are not bridged. Nobody says on which pipe they are.
    pub fn way(&mut self) -> Way {
        let list = self.at("controls");
        let (elements, more) = emitters::elements(&self.view, list);
        let mut way = if more { Way::Unknown } else { Way::Both };
        for element in elements {
            let kind = self.view.word(self.view.at(element, "kind"));
            let set = self.view.word(self.view.at(element, "set"));
            let free = matches!(
                set,
                Some("bridged" | "removed" | "held open" | "cartridge removed")
            );
            let checks =
                kind.is_none_or(|kind| ["anti-gravity valve", "non-return valve"].contains(&kind));
            if checks && !free {
                way = Way::Unknown;
            }
        }
        way
    }
}

/// Kinds of hot water without heating water in a store.
fn holds_no_store(kind: &str) -> bool {
    !["vented thermal store", "sealed thermal store", "heat bank"].contains(&kind)
}

/// A heat source beside the emitters, or the bypass round it.
fn round_source() -> Range {
    convention::named("boiler heat exchanger").hull(Range::point(20.0))
}
