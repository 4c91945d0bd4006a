//! What stands around the mains, read from facts: emitters in their turn, the heat source in the way,
//! the ways round, the check valves.
//!
//! Contract: as `read`. An emitter is taken as it stands in its turn: on the wall, with
//! its valves opened, the head of one off only where that is recorded. How they are set now, and
//! whether it is off the wall for now, are matters of rules. The coil of a cylinder is a branch like
//! others and shut in their turns. Something of which nobody says whether it is open may be either; a
//! list that may hold more than it names may hold anything.

use super::reader::{MOST_OTHERS, Reader};
use crate::figures::emitters;
use crate::figures::survey::{self, ControlKind, EmitterKind, HotWater, SourceStands};
use wetside_base::facts::{FactId, Facts};
use wetside_house::{Body, Emitter, Point, Range, Short, Tails, Valve, Way, convention, valve};
use wetside_units::truth::Truth;

/// An emitter and the facts behind it; its content was worked out before.
pub(super) fn emitter(
    reader: &mut Reader<'_>,
    element: FactId,
    worked_out: Option<FactId>,
    nth: usize,
    roughness: Range,
) -> (Emitter, Vec<FactId>) {
    let view = reader.view;
    let [bore, length, floor] = [
        survey::TAIL_BORE,
        survey::TAIL_LENGTH,
        survey::EMITTER_FLOOR,
    ]
    .map(|path| view.at(element, path));
    let (flow_kind, flow_valve) = view.choice(element, &survey::FLOW_VALVE);
    let (flow_set, opened) = view.choice(element, &survey::FLOW_VALVE_OPENED);
    let (return_kind, return_valve) = view.choice(element, &survey::RETURN_VALVE);
    let (_, drop_feed) = view.choice(element, &survey::DROP_FEED);
    let content = worked_out.map(|one| view.at(one, emitters::CONTENT));
    let mut facts = vec![bore, length, floor, flow_kind, flow_set];
    let (flow_valve, one_way) = flow_valve.unwrap_or((Valve::Any, true));
    // A valve that serves both pipes has none beside it.
    let return_valve = if flow_valve == Valve::TwinEntry {
        Valve::None
    } else {
        facts.push(return_kind);
        return_valve.unwrap_or(Valve::Any)
    };
    facts.extend(content);
    let tails = Tails {
        length: reader.range(length, survey::TAIL_LENGTH, Some(&convention::TAIL_LENGTH)),
        bore: reader.range(bore, survey::TAIL_BORE, Some(&convention::TAIL_BORE)),
        roughness,
        loss: convention::TAIL_FITTINGS.range,
    };
    let id = view.facts.text(view.at(element, survey::ID));
    let emitter = Emitter {
        id: id.map_or_else(|| format!("{}", nth + 1), str::to_string),
        floor: reader.range(floor, survey::EMITTER_FLOOR, Some(&convention::GROUND)),
        place: Range::new(0.0, 1.0),
        content: content.map_or(Range::FROM_NOTHING, |id| {
            view.range_or(id, Range::FROM_NOTHING)
        }),
        tails,
        flow_valve: valve(flow_valve, opened == Some(true)),
        return_valve: valve(return_valve, true),
        blockage: Range::point(1.0),
        body: body(reader, element, &mut facts),
        way: if one_way { Way::Unknown } else { Way::Both },
        drop_feed: drop_feed == Some(true),
    };
    (emitter, facts)
}

fn body(reader: &Reader<'_>, element: FactId, facts: &mut Vec<FactId>) -> Option<Body> {
    let (kind, what) = reader.view.choice(element, &survey::EMITTER_KIND);
    let [panels, length] =
        [survey::PANELS, survey::LENGTH].map(|path| reader.view.at(element, path));
    facts.push(kind);
    // Nothing else has panels, and nobody is asked for them.
    if what.is_some_and(|what| what != EmitterKind::Panel) {
        return None;
    }
    facts.extend([panels, length]);
    what?;
    Some(Body {
        panels: reader.view.range(panels).ok()?,
        length: reader.view.range(length).ok()?,
    })
}

/// The heat source in series: where the machine takes the place of pump or filter, whatever of it
/// is left in.
pub(super) fn source(reader: &mut Reader<'_>, point: Point) -> Option<Range> {
    if point > Point::FilterAdapter {
        return None;
    }
    let passes = convention::HEAT_EXCHANGER.range;
    let (listed, more) = reader.listed(survey::HEAT_SOURCES, MOST_OTHERS);
    let (mut all_in, mut all_out) = (!more, !more);
    for element in listed {
        let (id, stands) = reader.view.choice(element, &survey::SOURCE_STANDS);
        reader.facts.push(id);
        all_in &= stands == Some(SourceStands::LeftIn);
        all_out &= !matches!(stands, Some(SourceStands::LeftIn) | None);
    }
    if all_out {
        return None;
    }
    // Unless all are left in, nothing may be in the way.
    Some(if all_in {
        passes
    } else {
        Range::new(passes.low, f64::INFINITY)
    })
}

/// Ways round the emitters that the survey speaks of.
pub(super) fn shorts(reader: &mut Reader<'_>, point: Point) -> Vec<Short> {
    let vessel = convention::VESSEL.range;
    let source = convention::HEAT_EXCHANGER.range.hull(Range::point(20.0));
    let mut all = vec![
        short("the store", vessel, store(reader)),
        short("the buffer", vessel, buffer(reader)),
        short("the heat source", source, source_beside(reader, point)),
    ];
    all.extend(controls(reader));
    all.retain(|short| short.open != Truth::No);
    all
}

fn short(id: &str, valve: Range, open: Truth) -> Short {
    let id = id.to_string();
    Short { id, valve, open }
}

fn store(reader: &mut Reader<'_>) -> Truth {
    let kind = reader.said(&survey::HOT_WATER);
    let is_store = kind.map(|kind| kind == HotWater::Store);
    if is_store == Some(false) {
        return Truth::No;
    }
    let shares = reader.said(&survey::STORE_SHARES);
    let stays = reader.said(&survey::STORE_STAYS);
    Truth::every([is_store, shares, stays].map(Truth::from))
}

fn buffer(reader: &mut Reader<'_>) -> Truth {
    let fitted = reader.said(&survey::BUFFER_FITTED);
    if fitted == Some(false) {
        return Truth::No;
    }
    let stays = reader.said(&survey::BUFFER_STAYS);
    // With two pipes it stands in the way of the flow, not beside it.
    let pipes = reader.any(survey::BUFFER_PIPES, None);
    let beside = (pipes.high < 3.0 || pipes.low >= 3.0).then_some(pipes.low >= 3.0);
    Truth::every([fitted, stays, beside].map(Truth::from))
}

/// The heat source beside the emitters: where the machine is connected away from it, both are
/// still joined by the mains, unless it is isolated.
fn source_beside(reader: &mut Reader<'_>, point: Point) -> Truth {
    if point <= Point::HeatSource {
        return Truth::No;
    }
    let (listed, more) = reader.listed(survey::HEAT_SOURCES, MOST_OTHERS);
    let mut open = if more { Truth::Undecided } else { Truth::No };
    for element in listed {
        let (id, stands) = reader.view.choice(element, &survey::SOURCE_STANDS);
        reader.facts.push(id);
        match stands {
            Some(SourceStands::Isolated) => {}
            Some(SourceStands::LeftIn | SourceStands::Bypassed) => return Truth::Yes,
            None => open = Truth::Undecided,
        }
    }
    open
}

/// The bypasses and headers among the controls.
fn controls(reader: &mut Reader<'_>) -> Vec<Short> {
    let (bypass, header) = (convention::BYPASS.range, convention::VESSEL.range);
    let (listed, more) = reader.listed(survey::CONTROLS, MOST_OTHERS);
    let mut found = Vec::new();
    for element in listed {
        let view = reader.view;
        let (kind_id, kind) = view.choice(element, &survey::CONTROL_KIND);
        let (set_id, set) = view.choice(element, &survey::CONTROL_SET);
        reader.facts.extend([kind_id, set_id]);
        let id = view.facts.text(view.at(element, survey::ID));
        let id = id.unwrap_or("a control");
        let open = Truth::from(set.and_then(|set| set.passes));
        match kind {
            Some(ControlKind::Bypass) => found.push(short(id, bypass, open)),
            Some(ControlKind::Header) => found.push(short(id, header, open)),
            Some(ControlKind::Check | ControlKind::Other) => {}
            None if open == Truth::No => {}
            None => found.push(short(id, bypass.hull(header), Truth::Undecided)),
        }
    }
    if more && reader.suppose {
        let words = "`controls` may hold more: no other bypass or header stands open";
        reader.supposed.push(words.to_string());
    } else if more {
        let any = bypass.hull(header);
        found.push(short("a control not listed", any, Truth::Undecided));
    }
    found
}

/// Check valves among the controls that are not bridged. Nobody says on which pipe they are.
pub(super) fn way(reader: &mut Reader<'_>) -> Way {
    let list = reader.view.at(Facts::ROOT, survey::CONTROLS);
    let (listed, more) = emitters::elements(&reader.view, list);
    let may_check = |element: &FactId| {
        let (_, kind) = reader.view.choice(*element, &survey::CONTROL_KIND);
        let (_, set) = reader.view.choice(*element, &survey::CONTROL_SET);
        let checks = kind.is_none_or(|kind| kind == ControlKind::Check);
        checks && !set.is_some_and(|set| set.bridged)
    };
    if more || listed.iter().any(may_check) {
        Way::Unknown
    } else {
        Way::Both
    }
}
