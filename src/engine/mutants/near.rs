//! Cases that would notice a mutant, looked for around the rule's own.
//!
//! Contract: one fact of a case is changed at a time: to each word of its field, to where a comparison
//! turns, and to a hair on either side of that; a list gets one thing more, or none. The same rule and
//! cases give the same proposals. A rule is not searched further than a fixed count of surveys.

use super::tree::{Steps, any_of, at, flow, inline, items, list_of, longer, put, scalar, word_list};
use super::{Bench, Missed, Proposal, Staged};
use crate::cases::{self, ANY_OF, Case};
use crate::run::{Judged, element_name, judge};
use std::collections::HashSet;
use wetside_base::facts::{Content, Facts, Value as Known};
use wetside_base::finding::Outcome;
use wetside_base::source::Source;
use wetside_base::vocabulary::{FieldId, Shape, Type, Vocabulary};
use wetside_document::Node;
use wetside_lang::eval::{Scene, range};
use wetside_lang::node::{self, Part};
use wetside_units::{Date, Exact, Rounding, UnitId, nearest_digits};

/// The most surveys that are read for one rule.
const BUDGET: usize = 3_000;

/// A survey near a case: the case, perhaps with a thing more in a list, with one value changed.
struct Neighbour {
    base: Node,
    steps: Steps,
    value: Node,
}

/// Neighbours of one case that differ in the same value, have one outcome, and notice something.
struct Found {
    case: Case,
    base: Node,
    steps: Steps,
    values: Vec<Node>,
    then: String,
    notices: Vec<usize>,
}

impl Bench<'_> {
    pub(super) fn near(&self, missed: &[Missed]) -> Vec<Proposal> {
        let mut all: Vec<Found> = Vec::new();
        let mut seen = HashSet::new();
        let cases = if missed.is_empty() { Vec::new() } else { self.staged() };
        for staged in cases {
            for Neighbour { base, steps, value } in self.neighbours(&staged) {
                let mut given = base.clone();
                put(&mut given, &steps, value.clone());
                if seen.len() < BUDGET && seen.insert(flow(&given)) {
                    let noticed = self.noticed(&given, staged.case.as_of, missed);
                    all.extend(noticed.map(|(then, notices)| {
                        let (case, values) = (staged.case.clone(), vec![value]);
                        Found { case, base, steps, values, then, notices }
                    }));
                }
            }
        }
        let proposal = |found: Found| Proposal { line: found.line(), notices: found.notices };
        few(all).into_iter().map(proposal).collect()
    }

    fn facts(&self, given: &Node) -> Option<Facts> {
        // The reader looks at the text too, so the changed survey gets one.
        let source = Source::new("", flow(given));
        let given = wetside_document::read(&source).root;
        let (facts, problems) = cases::facts_of(&source, &given, self.vocabulary, &self.wanted());
        problems.is_empty().then_some(facts)
    }

    /// What the rule gives for a survey, and which of what is missed give something else.
    fn noticed(&self, given: &Node, as_of: Option<Date>, missed: &[Missed]) -> Option<(String, Vec<usize>)> {
        let facts = self.facts(given)?;
        let scene = self.scene(&facts, as_of);
        let own = judge(self.rule, scene);
        let worst = |judged: &[Judged]| Outcome::worst(judged.iter().map(|judged| judged.outcome));
        let others: Vec<_> = missed.iter().map(|missed| judge(&missed.rule, scene)).collect();
        let those = |differs: &dyn Fn(&[Judged]) -> bool| {
            let all = others.iter().enumerate().filter(|(_, other)| differs(other));
            all.map(|(at, _)| at).collect::<Vec<_>>()
        };
        let of_whole = those(&|other| worst(other) != worst(&own));
        let of_each = those(&|other| worst(other) != worst(&own) || by_name(other, scene) != by_name(&own, scene));
        if of_each.is_empty() {
            return None;
        }
        if of_whole.len() == of_each.len() {
            return Some((worst(&own).to_string(), of_whole));
        }
        let each = by_name(&own, scene).into_iter();
        let each = each.map(|(name, outcome)| format!("{}: {outcome}", inline(&name)));
        Some((format!("{{{}}}", each.collect::<Vec<_>>().join(", ")), of_each))
    }

    fn neighbours(&self, staged: &Staged) -> Vec<Neighbour> {
        let given = &staged.given;
        let fields = self.recorded(staged);
        let mut lists: Vec<FieldId> = fields.iter().flat_map(|field| self.lists_above(*field)).collect();
        lists.dedup();
        let mut all = Vec::new();
        let mut bases = vec![given.clone()];
        for steps in lists.iter().flat_map(|list| self.ways(*list, given)) {
            for value in [longer(given, &steps), Some(list_of(Vec::new(), given))].into_iter().flatten() {
                let mut longer = given.clone();
                put(&mut longer, &steps, value.clone());
                bases.push(longer);
                all.push(Neighbour { base: given.clone(), steps: steps.clone(), value });
            }
        }
        for base in bases {
            for field in &fields {
                for steps in self.ways(*field, &base) {
                    let values = self.values(*field, &steps, &base, staged.case.as_of).into_iter();
                    all.extend(values.map(|value| Neighbour { base: base.clone(), steps: steps.clone(), value }));
                }
            }
        }
        all
    }

    /// The fields that a survey records and the rule's outcomes come from.
    fn recorded(&self, Staged { case, facts, .. }: &Staged) -> Vec<FieldId> {
        let read = self.rule.reads().fields;
        let mut fields: Vec<FieldId> = Vec::new();
        let mut behind: Vec<_> = facts
            .all()
            .filter(|(_, fact)| read.contains(&fact.field))
            .map(|(id, _)| id)
            .collect();
        let mut at = 0;
        while let Some(fact) = behind.get(at).copied() {
            at += 1;
            fields.push(facts.fact(fact).field);
            let more: Vec<_> = facts
                .inputs(fact)
                .iter()
                .filter(|input| !behind.contains(input))
                .copied()
                .collect();
            behind.extend(more);
        }
        fields.extend(read);
        let scene = self.scene(facts, case.as_of);
        fields.extend(scene.as_of_fact.map(|fact| facts.fact(fact).field));
        fields.sort_unstable();
        fields.dedup();
        let figures = format!("{}.", Vocabulary::FIGURES);
        fields.retain(|field| {
            let field = self.vocabulary.field(*field);
            matches!(field.shape, Shape::Fact(_))
                && !field.path.starts_with(&figures)
                && field.name != "id"
        });
        fields
    }

    /// The fields from the survey down to this one.
    fn line(&self, field: FieldId) -> Vec<FieldId> {
        let mut line = vec![field];
        while let Some(parent) = self.vocabulary.field(line[line.len() - 1]).parent {
            line.push(parent);
        }
        line.pop();
        line.reverse();
        line
    }

    fn lists_above(&self, field: FieldId) -> Vec<FieldId> {
        let line = self.line(field).into_iter();
        line.filter(|field| matches!(self.vocabulary.field(*field).shape, Shape::List { .. }))
            .collect()
    }

    /// Every way to a field in a survey, one through each thing that is listed.
    fn ways(&self, field: FieldId, given: &Node) -> Vec<Steps> {
        let mut ways = vec![Steps::new()];
        for field in self.line(field) {
            let field = self.vocabulary.field(field);
            let of_list = field.parent.is_some_and(|parent| {
                matches!(self.vocabulary.field(parent).shape, Shape::List { .. })
            });
            let is_element = of_list && !matches!(field.shape, Shape::List { .. });
            ways = ways
                .into_iter()
                .flat_map(|way| {
                    if !is_element {
                        return vec![[way, vec![field.name.clone()]].concat()];
                    }
                    let listed = at(given, &way).map_or(0, |list| items(list).len());
                    let inside = at(given, &way).is_some_and(|list| list.get("items").is_some());
                    let inside: &[String] = if inside { &["items".to_string()] } else { &[] };
                    (0..listed)
                        .map(|item| [way.as_slice(), inside, &[item.to_string()]].concat())
                        .collect()
                })
                .collect();
        }
        ways
    }

    /// What a field may be changed to.
    fn values(&self, field: FieldId, steps: &Steps, given: &Node, as_of: Option<Date>) -> Vec<Node> {
        let Shape::Fact(what) = &self.vocabulary.field(field).shape else {
            return Vec::new();
        };
        let word = |word| scalar(self.vocabulary.word(word), given);
        match what {
            Type::Choice(words) => words.iter().map(|id| word(*id)).collect(),
            Type::Set(words) => {
                let held: Vec<Node> =
                    at(given, steps).map_or(Vec::new(), |set| set.items().to_vec());
                let change = |id: &_| {
                    let word: Node = word(*id);
                    let mut set = held.clone();
                    set.retain(|held| held.as_text() != word.as_text());
                    if set.len() == held.len() {
                        set.push(word.clone());
                    }
                    [set, vec![word]].map(|set| word_list(set, given))
                };
                words.iter().flat_map(change).collect()
            }
            Type::Quantity {
                usual_unit, kind, ..
            } => {
                let written = at(given, steps).and_then(Node::as_text).unwrap_or_default();
                let read =
                    wetside_units::Quantity::parse(written, *kind).map(|quantity| quantity.unit);
                let unit = read
                    .unwrap_or(UnitId::spelt(usual_unit, *kind).unwrap_or(UnitId::usual(*kind)));
                let points = self.points(field, steps, given, as_of).into_iter();
                let points = points.filter_map(|point| {
                    unit.range_from_base(&wetside_units::Interval::exact(point))?
                        .single()
                });
                let text =
                    |number: Exact| format!("{number} {}", unit.symbol()).trim_end().to_string();
                points
                    .flat_map(around)
                    .map(|number| scalar(&text(number), given))
                    .collect()
            }
            Type::Date => {
                let points = self.points(field, steps, given, as_of).into_iter();
                let days = points.filter_map(|point| i32::try_from(point.floor().above()).ok());
                let days = days
                    .flat_map(|day| day - 1..=day + 1)
                    .filter_map(Date::from_day_number);
                days.map(|day| scalar(&day.to_string(), given)).collect()
            }
            Type::DateTime | Type::Text => Vec::new(),
        }
    }

    /// Where comparisons with this field turn: at the limits it is held against, and where two sides meet.
    fn points(&self, field: FieldId, steps: &Steps, given: &Node, as_of: Option<Date>) -> Vec<Exact> {
        let cuts = self.rule.cuts().into_iter().flat_map(|cuts| &cuts.points);
        let mut points: Vec<Exact> = cuts
            .filter(|(cut, _)| *cut == field)
            .map(|(_, point)| *point)
            .collect();
        let mut sides = Vec::new();
        for node in self.rule.guards().chain([&self.rule.must.node]) {
            compared(node, &mut sides);
        }
        points.extend(
            sides
                .into_iter()
                .filter_map(|sides| self.meeting(sides, field, steps, given, as_of)),
        );
        points.sort();
        points.dedup();
        points
    }

    /// The value of a field at which two sides meet, by the straight line through two tries.
    fn meeting(
        &self,
        sides: (&node::Node, &node::Node),
        field: FieldId,
        steps: &Steps,
        given: &Node,
        as_of: Option<Date>,
    ) -> Option<Exact> {
        let tried = |given: &Node| -> Option<(f64, f64)> {
            let facts = self.facts(given)?;
            let scene = self.scene(&facts, as_of);
            let element = self.rule.selection.as_ref().and_then(|selection| {
                let list = selection
                    .each
                    .list
                    .slots
                    .iter()
                    .fold(Facts::ROOT, |fact, slot| facts.child(fact, *slot));
                let place = steps
                    .iter()
                    .find_map(|step| step.parse::<usize>().ok())
                    .unwrap_or(0);
                facts.elements(list).nth(place)
            });
            let variables: Vec<_> = element.into_iter().collect();
            if self.rule.selection.is_some() && variables.is_empty() {
                return None;
            }
            let gap = |side| Some(range(side, scene, &variables).middle()?.to_f64());
            let own = facts.all().filter(|(_, fact)| fact.field == field);
            let place = steps
                .iter()
                .rev()
                .find_map(|step| step.parse::<usize>().ok())
                .unwrap_or(0);
            let own = own.map(|(_, fact)| &fact.content).nth(place)?;
            let value = match own {
                Content::Known(Known::Quantity(quantity)) => quantity.range.middle()?.to_f64(),
                Content::Known(Known::Date(days)) => days.middle()?.to_f64(),
                _ => return None,
            };
            Some((value, gap(sides.0)? - gap(sides.1)?))
        };
        let (mut x, mut gap) = tried(given)?;
        let mut other = if x == 0.0 { 1.0 } else { x * 1.01 };
        for _ in 0..3 {
            let text = self.text(field, steps, given, exact(other)?)?;
            let mut changed = given.clone();
            put(&mut changed, steps, scalar(&text, given));
            let (next, next_gap) = tried(&changed)?;
            // A straight line is met at the first try, and the next two tries fall together.
            if (next - x).abs() <= x.abs() * 1e-9 {
                break;
            }
            let slope = (next_gap - gap) / (next - x);
            if !slope.is_normal() {
                return None;
            }
            (x, gap) = (next, next_gap);
            other = x - gap / slope;
        }
        exact(other)
    }

    /// A value as the survey would write it.
    fn text(&self, field: FieldId, steps: &Steps, given: &Node, value: Exact) -> Option<String> {
        match &self.vocabulary.field(field).shape {
            Shape::Fact(Type::Quantity { kind, .. }) => {
                let written = at(given, steps)?.as_text()?;
                let unit = wetside_units::Quantity::parse(written, *kind).ok()?.unit;
                let number = unit
                    .range_from_base(&wetside_units::Interval::exact(value))?
                    .single()?;
                let number = number.rounded(9, Rounding::Nearest);
                Some(format!("{number} {}", unit.symbol()).trim_end().to_string())
            }
            Shape::Fact(Type::Date) => {
                Some(Date::from_day_number(i32::try_from(value.floor().above()).ok()?)?.to_string())
            }
            _ => None,
        }
    }
}

/// The two sides of each comparison that no list expression holds.
fn compared<'n>(node: &'n node::Node, sides: &mut Vec<(&'n node::Node, &'n node::Node)>) {
    match node {
        node::Node::Compare(_, a, b) => sides.push((a, b)),
        node::Node::Between(value, low, high) => {
            sides.extend([(&**value, &**low), (&**value, &**high)])
        }
        _ => {}
    }
    for part in node.parts() {
        if let Part::Node(node) = part {
            compared(node, sides);
        }
    }
}

fn exact(value: f64) -> Option<Exact> {
    let (digits, decimals) = nearest_digits(value, 10)?;
    Exact::with_decimals(digits, decimals)
}

/// A number as a person would write it, a hair to either side of it, and one to either side.
fn around(number: Exact) -> Vec<Exact> {
    let plain = number.rounded(5, Rounding::Nearest);
    let off = number
        .minus(plain)
        .map_or(1.0, |off| off.magnitude().to_f64());
    let mut all = vec![plain];
    if off > plain.to_f64().abs() * 1e-6 {
        all.clear();
    }
    for part in [100, 500] {
        let size = if number.is_zero() {
            Exact::ONE
        } else {
            number.magnitude()
        };
        let Some(hair) = size.over(Exact::from(part)) else {
            continue;
        };
        let shortest = (0..9).find_map(|decimals| {
            let step = Exact::decimal(1, decimals)?;
            let below = number.over(step)?.ceil().times(step)?.minus(step)?;
            let above = number.over(step)?.floor().times(step)?.plus(step)?;
            (above.minus(number)? < hair && number.minus(below)? < hair).then_some([below, above])
        });
        all.extend(shortest.into_iter().flatten());
    }
    all.extend(
        [plain.minus(Exact::ONE), plain.plus(Exact::ONE)]
            .into_iter()
            .flatten(),
    );
    all
}

/// The outcome of each thing that has a name.
fn by_name(judged: &[Judged], scene: Scene<'_>) -> Vec<(String, Outcome)> {
    let named = judged.iter().filter_map(|judged| {
        Some((
            element_name(scene, judged.element?).to_string(),
            judged.outcome,
        ))
    });
    named.collect()
}


impl Found {
    /// The line to paste, its name a first draft.
    fn line(&self) -> String {
        let value = match self.values.as_slice() {
            [only] => only.clone(),
            several => any_of(ANY_OF, several),
        };
        let mut given = self.base.clone();
        put(&mut given, &self.steps, value);
        let of = self.steps.last().map_or(String::new(), |step| step.replace('_', " "));
        let name = match self.values.as_slice() {
            [only] if only.as_text().is_some() => format!("{}, but {of} {}", self.case.name, flow(only)),
            _ => format!("{}, but another {of}", self.case.name),
        };
        let as_of = self.case.as_of.map_or(String::new(), |day| format!(", as_of: {day}"));
        format!("  - {{name: {}, given: {}{as_of}, then: {}}}", inline(&name), flow(&given), self.then)
    }
}

/// As few as notice all that any of them notices, the most telling first; those alike joined to one.
fn few(mut all: Vec<Found>) -> Vec<Found> {
    let mut chosen: Vec<Found> = Vec::new();
    loop {
        all.retain(|found| !found.notices.is_empty());
        let most = all.iter().enumerate().rev().max_by_key(|(_, found)| found.notices.len());
        let Some((at, _)) = most else {
            return chosen;
        };
        let best = all.remove(at);
        for other in &mut all {
            other.notices.retain(|at| !best.notices.contains(at));
        }
        let alike = |found: &&mut Found| {
            (&found.case.name, &found.steps, &found.then) == (&best.case.name, &best.steps, &best.then) && found.base == best.base
        };
        match chosen.iter_mut().find(alike) {
            Some(found) => {
                found.values.extend(best.values);
                found.notices.extend(best.notices);
            }
            None => chosen.push(best),
        }
    }
}
