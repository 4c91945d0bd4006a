//! What is drawn of one survey: things with their names, how they stand, and the findings told at them.
//!
//! Contract: the drawing and the table under it are made from this and nothing else, so that they say the same. What is
//! broken or undecided and can block has a number, in the order of the report; a step that is only assumed, and advice,
//! have none. A finding belongs to a thing where it is told at a line of that thing.

use super::read::{Said, View};
use super::survey::{self, Band, DRAWN, Drawn, Meant, Stands};
use wetside_base::facts::{FactId, Facts};
use wetside_base::finding::{Class, Finding, Judgement, Outcome};
use wetside_base::source::Span;

/// One thing in the drawing.
pub(crate) struct Thing<'a> {
    pub band: Band,
    pub name: String,
    pub kind: Option<String>,
    /// What is written beside it, each with its label.
    pub says: Vec<(&'static str, Said)>,
    pub stands: Option<Stands>,
    pub marks: Vec<Mark<'a>>,
}

pub(crate) struct Emitter<'a> {
    pub name: String,
    pub kind: Said,
    pub floor: Said,
    pub off: bool,
    pub flow: Valve,
    pub back: Valve,
    pub marks: Vec<Mark<'a>>,
}

/// A valve of an emitter: its kind, how it was found and set, whether it is back.
pub(crate) struct Valve {
    pub kind: Said,
    pub found: Said,
    pub set: Said,
    pub restored: Said,
    /// Nothing where there is no valve.
    pub stands: Option<Stands>,
}

/// Everything that is drawn.
pub(crate) struct Scene<'a> {
    pub things: Vec<Thing<'a>>,
    pub emitters: Vec<Emitter<'a>>,
    /// Marks that no thing of the drawing has.
    pub elsewhere: Vec<Mark<'a>>,
}

impl Scene<'_> {
    /// The emitters by their floors, the highest first.
    pub(crate) fn floors(&self) -> Vec<(&str, Vec<&Emitter<'_>>)> {
        let mut floors: Vec<(&str, Vec<&Emitter<'_>>)> = Vec::new();
        for one in &self.emitters {
            let floor = one.floor.words.as_str();
            match floors.iter_mut().find(|(name, _)| *name == floor) {
                Some((_, on)) => on.push(one),
                None => floors.push((floor, vec![one])),
            }
        }
        // A floor without a number is drawn below all that have one.
        let height = |floor: &str| floor.parse::<i64>().unwrap_or(i64::MIN);
        floors.sort_by_key(|(floor, _)| std::cmp::Reverse(height(floor)));
        floors
    }
}

/// The scene of one survey.
pub(crate) fn scene<'a>(view: &View<'_>, marks: &[Mark<'a>]) -> Scene<'a> {
    let mut things = Vec::new();
    let (emitters, more) = view.list(survey::EMITTERS);
    if more {
        let name = survey::MORE_EMITTERS;
        things.push(unlisted(view, marks, survey::EMITTERS, Band::Rung, name));
    }
    let emitters: Vec<Emitter<'a>> = (1..)
        .zip(emitters)
        .map(|(at, fact)| emitter(view, marks, fact, at))
        .collect();
    for drawn in DRAWN {
        match drawn.of {
            Some(list) => {
                let (elements, more) = view.list(list);
                let elements = (1..).zip(elements);
                things.extend(elements.map(|(at, fact)| thing(view, marks, drawn, fact, at)));
                if more {
                    things.push(unlisted(view, marks, list, drawn.band, drawn.more));
                }
            }
            None if has(view, Facts::ROOT, drawn.absent) => {}
            None => things.push(thing(view, marks, drawn, Facts::ROOT, 1)),
        }
    }
    let drawn = |mark: &&Mark<'a>| {
        let here = |on: &Vec<Mark<'a>>| on.iter().any(|one| one.number == mark.number);
        things.iter().any(|thing| here(&thing.marks)) || emitters.iter().any(|one| here(&one.marks))
    };
    let elsewhere = marks.iter().filter(|mark| !drawn(mark)).copied().collect();
    Scene {
        things,
        emitters,
        elsewhere,
    }
}

/// Whether a field has one of these words.
fn has(view: &View<'_>, of: FactId, one: Option<(&str, &[&str])>) -> bool {
    one.is_some_and(|(path, words)| {
        let said = view.said_in(of, path);
        words.iter().any(|word| said.is(word))
    })
}

/// The name of a thing, or its number in its list.
fn named(name: &Said, at: usize) -> String {
    name.value()
        .map_or_else(|| format!("number {at}"), str::to_string)
}

fn thing<'a>(
    view: &View<'_>,
    marks: &[Mark<'a>],
    drawn: &Drawn,
    fact: FactId,
    at: usize,
) -> Thing<'a> {
    let said = |path: &str| view.said_in(fact, path);
    let (name, of) = if drawn.of.is_some() {
        (named(&said(drawn.name), at), vec![fact])
    } else {
        let groups = drawn.groups.iter().map(|group| view.at(fact, group));
        (drawn.name.to_string(), groups.collect())
    };
    let places: Vec<Span> = of.into_iter().flat_map(|fact| view.places(fact)).collect();
    Thing {
        band: drawn.band,
        name,
        kind: drawn.kind.map(|path| said(path).words),
        says: drawn
            .says
            .iter()
            .map(|(label, path)| (*label, said(path)))
            .filter(|(_, said)| said.asked)
            .collect(),
        stands: stands(view, fact, drawn.stands, drawn.back)
            .filter(|_| !has(view, Facts::ROOT, drawn.still)),
        marks: told_at(marks, &places),
    }
}

/// Those that a list does not name, though there may be some.
fn unlisted<'a>(
    view: &View<'_>,
    marks: &[Mark<'a>],
    list: &str,
    band: Band,
    name: &str,
) -> Thing<'a> {
    Thing {
        band,
        name: name.to_string(),
        kind: Some(match view.list(list).0.len() {
            0 => "none listed, and there may be some".to_string(),
            listed => format!("{listed} listed, and there may be more"),
        }),
        says: Vec::new(),
        stands: Some(Stands::Unknown),
        marks: told_at(marks, &view.places(view.at(Facts::ROOT, list))),
    }
}

/// How a thing stands: back where it is back, else the least safe of all that is said of it; nothing where
/// nothing of it is asked.
fn stands(
    view: &View<'_>,
    fact: FactId,
    by: &[Meant],
    back: Option<(&str, &[&str])>,
) -> Option<Stands> {
    if has(view, fact, back) {
        return Some(Stands::AsFound);
    }
    let each = by.iter().filter_map(|meant| {
        let said = view.said_in(fact, meant.path);
        let mut words = meant.words.iter();
        let found = words.find(|(word, _)| said.is(word));
        let found = found.map(|(_, stands)| *stands);
        found.or(said.asked.then_some(Stands::Unknown))
    });
    each.min()
}

fn emitter<'a>(view: &View<'_>, marks: &[Mark<'a>], fact: FactId, at: usize) -> Emitter<'a> {
    let said = |path: &str| view.said_in(fact, path);
    let (taken_off, yes) = survey::TAKEN_OFF;
    let flow = valve(view, fact, survey::FLOW_VALVE, survey::FLOW_SET);
    let mut back = valve(view, fact, survey::RETURN_VALVE, survey::RETURN_SET);
    back.stands = back.stands.filter(|_| !flow.kind.is(survey::TWIN_ENTRY));
    Emitter {
        name: named(&said(survey::ID), at),
        kind: said(survey::EMITTER_KIND),
        floor: said(survey::FLOOR),
        off: said(taken_off).is(yes),
        flow,
        back,
        marks: told_at(marks, &view.places(fact)),
    }
}

fn valve(view: &View<'_>, fact: FactId, fields: [&'static str; 4], by: Meant) -> Valve {
    let [kind, found, set, restored] = fields.map(|path| view.said_in(fact, path));
    let back = Some((fields[3], survey::VALVE_BACK));
    let stands = stands(view, fact, &[by], back);
    Valve {
        stands: stands.filter(|_| !kind.is(survey::NO_VALVE)),
        kind,
        found,
        set,
        restored,
    }
}

/// What a mark says, told apart by shape and word before colour.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Shape {
    Hazard,
    Undecided,
    Step,
}

impl Shape {
    pub(crate) const ALL: [Shape; 3] = [Shape::Hazard, Shape::Undecided, Shape::Step];

    pub(crate) fn words(self) -> &'static str {
        match self {
            Shape::Hazard => "hazard",
            Shape::Undecided => "hazard undecided",
            Shape::Step => "step to prepare",
        }
    }
}

/// One finding with its number.
#[derive(Clone, Copy)]
pub(crate) struct Mark<'a> {
    pub number: usize,
    pub shape: Shape,
    pub finding: &'a Finding,
}

pub(crate) fn marks(judgement: &Judgement) -> Vec<Mark<'_>> {
    let shaped = judgement.findings.iter().filter_map(|finding| {
        let shape = match (finding.class, finding.outcome) {
            (Class::Hazard, Outcome::Undecided) => Shape::Undecided,
            (Class::Hazard, _) => Shape::Hazard,
            (Class::Preparation, Outcome::Broken) => Shape::Step,
            _ => return None,
        };
        Some((shape, finding))
    });
    let numbered = (1..).zip(shaped);
    let mark = |(number, (shape, finding))| Mark {
        number,
        shape,
        finding,
    };
    numbered.map(mark).collect()
}

/// Those that are told at one of these places.
fn told_at<'a>(marks: &[Mark<'a>], places: &[Span]) -> Vec<Mark<'a>> {
    let here = |mark: &&Mark<'a>| {
        let mut on = mark.finding.on.iter();
        on.any(|on| places.contains(&on.place))
    };
    marks.iter().filter(here).copied().collect()
}

/// What to do, once where it is the same on all things.
pub(crate) fn remedies(finding: &Finding) -> Vec<&str> {
    let mut all: Vec<&str> = finding
        .on
        .iter()
        .map(|on| on.remedy.trim_end_matches('.'))
        .collect();
    all.dedup();
    all
}
