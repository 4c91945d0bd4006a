//! Everything that is known while a note is read.

use crate::answer::Refused;
use crate::strange;
use crate::words::{Line, parts};
use std::collections::BTreeSet;
use wetside_base::facts::{Content, FactId, Facts, Value, element_name};
use wetside_base::source::Source;
use wetside_base::suggest;
use wetside_base::vocabulary::{FieldId, Shape, Type, Vocabulary, WordId};
use wetside_engine::check::Packs;
use wetside_engine::moved::Register;
use wetside_engine::pack::{Moves, Pack};
use wetside_lang::eval::Scene;
use wetside_units::{Date, DateTime, Exact};

/// The name of an element, and its sort.
const ID: &str = "id";
const KIND: &str = "kind";

pub(crate) struct Desk<'a> {
    pub source: &'a Source,
    pub packs: &'a Packs,
    pub pack: &'a Pack,
    pub moves: &'a Moves,
    pub facts: &'a Facts,
    pub register: &'a Register,
}

impl<'a> Desk<'a> {
    pub(crate) fn vocabulary(&self) -> &'a Vocabulary {
        &self.packs.vocabulary
    }

    /// Whether it was worked out from the survey, so that nothing can be written there.
    fn is_figure(&self, fact: FactId) -> bool {
        let figures = self.vocabulary().figures();
        let mut at = fact;
        while at != Facts::ROOT && Some(self.facts.fact(at).field) != figures {
            at = self.facts.fact(at).parent;
        }
        at != Facts::ROOT
    }

    /// Every element that has a name.
    fn named(&self) -> impl Iterator<Item = (FactId, &'a str)> {
        let in_list = |id: &FactId| {
            let parent = self.facts.fact(*id).parent;
            *id != Facts::ROOT
                && matches!(self.facts.fact(parent).content, Content::List { .. })
                && !self.is_figure(*id)
        };
        let all = self.facts.all().map(|(id, _)| id).filter(in_list);
        all.filter_map(|element| Some((element, self.text(element, ID)?)))
    }

    /// The named things that are surely the only ones of their list, and the others.
    pub(crate) fn only_ones(&self) -> (Vec<FactId>, Vec<FactId>) {
        let alone = |thing: &FactId| {
            let list = self.facts.fact(*thing).parent;
            self.facts
                .extent(list)
                .is_some_and(|extent| extent.is_complete(1))
        };
        self.named().map(|(thing, _)| thing).partition(alone)
    }

    /// The words of a note that nothing is known of.
    pub(crate) fn strange(&self, line: &Line<'_>) -> Refused {
        let left = line.left();
        let of = left.join(" ").to_lowercase();
        // A thing that is named needs no guess at its name: nothing that the note says is said of it.
        if left.is_empty() || self.named().any(|(_, name)| name.to_lowercase() == of) {
            let (of, help) = match left.as_slice() {
                [] => (
                    String::new(),
                    "say `yes` or `no`, a measure with its unit, or a word that its field takes",
                ),
                _ => (
                    format!(" of `{}`", left.join(" ")),
                    "say a measure with its unit, a word that its field takes, or that it is back",
                ),
            };
            return Refused {
                strange: left.len(),
                ..Refused::new(format!("what is said{of}?"), help)
            };
        }
        strange::not_understood(line, self.named().map(|(_, name)| name))
    }

    pub(crate) fn text(&self, element: FactId, name: &str) -> Option<&'a str> {
        let vocabulary = self.vocabulary();
        let field = vocabulary.child(self.facts.fact(element).field, name)?;
        let fact = self.facts.child(element, vocabulary.field(field).slot);
        self.facts.text(fact).map(str::trim)
    }

    pub(crate) fn name(&self, element: FactId) -> String {
        element_name(self.facts, self.vocabulary(), element)
    }

    /// The things that a note names by one name, taken out of it; none where it names no thing.
    ///
    /// # Errors
    /// Where it may mean one of several, or names two.
    pub(crate) fn things(&self, line: &mut Line<'_>) -> Result<Vec<FactId>, Refused> {
        let exact = self.named().filter_map(|(_, name)| {
            let place = line.find(name)?;
            Some((place, name))
        });
        let mut exact: Vec<_> = exact.collect();
        exact.sort_by_key(|(place, name)| (std::cmp::Reverse(place.len()), place.start, *name));
        let mut names: Vec<(std::ops::Range<usize>, &str)> = Vec::new();
        for (place, name) in exact {
            let apart = |(other, _): &(std::ops::Range<usize>, &str)| {
                other.end <= place.start || place.end <= other.start
            };
            if names.iter().all(apart) {
                names.push((place, name));
            }
        }
        match names.as_slice() {
            [] => self.loosely(line),
            [(place, name)] => {
                line.take(place.clone());
                Ok(self.called(name))
            }
            [(_, one), (_, other), ..] => Err(Refused::new(
                format!("`{one}` and `{other}` are two things"),
                "write a note for each",
            )),
        }
    }

    /// Things whose whole name stands there in another order.
    fn loosely(&self, line: &mut Line<'_>) -> Result<Vec<FactId>, Refused> {
        let found = self.named().filter_map(|(_, name)| {
            let places = line.scattered(name)?;
            Some((places, name))
        });
        let found: Vec<_> = found.collect();
        let most = found.iter().map(|(places, _)| places.len()).max();
        let best = found
            .into_iter()
            .filter(|(places, _)| Some(places.len()) == most);
        let best: Vec<_> = best.collect();
        self.one_of(&best, line)
    }

    /// The things of the one name that was found, whose words are taken from the line.
    fn one_of(
        &self,
        found: &[(Vec<usize>, &str)],
        line: &mut Line<'_>,
    ) -> Result<Vec<FactId>, Refused> {
        let names: BTreeSet<&str> = found.iter().map(|(_, name)| *name).collect();
        match found.first() {
            Some((places, name)) if names.len() == 1 => {
                line.take(places.iter().copied());
                Ok(self.called(name))
            }
            Some(_) => Err(which(names)),
            None => Ok(Vec::new()),
        }
    }

    /// The things that words of their names or of their sorts may mean.
    ///
    /// # Errors
    /// Where they may mean several.
    pub(crate) fn by_words(&self, line: &mut Line<'_>) -> Result<Vec<FactId>, Refused> {
        let mut best: Vec<(Vec<usize>, &str)> = Vec::new();
        for (element, name) in self.named() {
            let mut known = parts(name);
            known.extend(self.kind_words(element));
            let places = line.among(&known);
            let most = best.first().map_or(1, |(places, _)| places.len());
            if places.len() > most {
                best.clear();
            }
            if places.len() >= most {
                best.push((places, name));
            }
        }
        self.one_of(&best, line)
    }

    /// The words for what sort of thing an element is, ours and those of the trade.
    fn kind_words(&self, element: FactId) -> Vec<String> {
        let vocabulary = self.vocabulary();
        let kind = vocabulary.child(self.facts.fact(element).field, KIND);
        let Some(kind) = kind.map(|kind| vocabulary.field(kind)) else {
            return Vec::new();
        };
        let fact = self.facts.child(element, kind.slot);
        let Content::Known(Value::Word(word)) = self.facts.fact(fact).content else {
            return Vec::new();
        };
        let also = kind.also.iter().filter(|(_, ours)| *ours == word);
        let also = also.map(|(theirs, _)| theirs.as_str());
        let words = also.chain([vocabulary.word(word)]);
        words.flat_map(parts).collect()
    }

    fn called(&self, name: &str) -> Vec<FactId> {
        let of_name = self.named().filter(|(_, other)| *other == name);
        of_name.map(|(element, _)| element).collect()
    }

    /// The single facts at a place or below it; lists are passed over.
    pub(crate) fn leaves(&self, from: FactId) -> Vec<(FactId, Slot)> {
        let mut leaves = Vec::new();
        self.gather(self.facts.fact(from).field, Some(from), &[], &mut leaves);
        leaves
            .into_iter()
            .filter_map(|(fact, slot)| Some((fact?, slot)))
            .collect()
    }

    /// The fields of an element of a list, whether there is one or not.
    pub(crate) fn slots(&self, element: FieldId) -> Vec<Slot> {
        let mut leaves = Vec::new();
        self.gather(element, None, &[], &mut leaves);
        leaves.into_iter().map(|(_, slot)| slot).collect()
    }

    fn gather(
        &self,
        at: FieldId,
        fact: Option<FactId>,
        way: &[String],
        leaves: &mut Vec<(Option<FactId>, Slot)>,
    ) {
        let vocabulary = self.vocabulary();
        for child in vocabulary.children(at) {
            let field = vocabulary.field(child);
            if Some(child) == vocabulary.figures() || field.name == ID {
                continue;
            }
            let way = [way, std::slice::from_ref(&field.name)].concat();
            let fact = fact.map(|fact| self.facts.child(fact, field.slot));
            match &field.shape {
                Shape::Group { .. } => self.gather(child, fact, &way, leaves),
                Shape::Fact(what) => {
                    let slot = Slot {
                        field: child,
                        way,
                        what: what.clone(),
                        also: field.also.clone(),
                    };
                    leaves.push((fact, slot));
                }
                Shape::List { .. } => {}
            }
        }
    }

    /// The groups of the survey that stand in no list, with the names on the way to them.
    pub(crate) fn groups(&self) -> Vec<(FactId, Vec<String>)> {
        let vocabulary = self.vocabulary();
        let mut groups = Vec::new();
        let mut open = vec![(Vocabulary::ROOT, Facts::ROOT, Vec::<String>::new())];
        while let Some((at, fact, way)) = open.pop() {
            for child in vocabulary.children(at) {
                let field = vocabulary.field(child);
                let is_group = matches!(field.shape, Shape::Group { .. });
                if is_group && Some(child) != vocabulary.figures() {
                    let fact = self.facts.child(fact, field.slot);
                    let way = [&way[..], std::slice::from_ref(&field.name)].concat();
                    groups.push((fact, way.clone()));
                    open.push((child, fact, way));
                }
            }
        }
        groups
    }

    /// The day that a time without its day is of: that of the work, or of the last line written since.
    pub(crate) fn day(&self) -> Option<Date> {
        let scene = self.scene();
        let first = scene.as_of.single().and_then(seconds)?;
        let last = self.lines().filter_map(|line| self.moment(line)).max();
        let day = DateTime::from_seconds(last.map_or(first, |last| last.max(first)));
        day.map(DateTime::date)
    }

    pub(crate) fn scene(&self) -> Scene<'a> {
        Scene {
            tables: &self.pack.tables,
            ..wetside_engine::run::scene(self.vocabulary(), self.facts, None)
        }
    }

    /// The lines of the list that readings go to.
    pub(crate) fn lines(&self) -> impl Iterator<Item = FactId> + use<'a> {
        let reading = self.moves.spoken.reading.as_ref();
        let list = reading.map(|reading| list_of(self.facts, self.vocabulary(), reading.list));
        let facts = self.facts;
        list.into_iter().flat_map(move |list| facts.elements(list))
    }

    pub(crate) fn of_line(&self, line: FactId, field: FieldId) -> FactId {
        self.facts.child(line, self.vocabulary().field(field).slot)
    }

    /// When a line was read, in seconds.
    pub(crate) fn moment(&self, line: FactId) -> Option<i64> {
        let at = self.moves.spoken.reading.as_ref()?.at;
        match &self.facts.fact(self.of_line(line, at)).content {
            Content::Known(Value::Time(time)) => time.single().and_then(seconds),
            _ => None,
        }
    }
}

fn seconds(exact: Exact) -> Option<i64> {
    i64::try_from(exact.floor().above()).ok()
}

/// A field that a value may be written to.
#[derive(Clone, Debug)]
pub(crate) struct Slot {
    pub field: FieldId,
    /// The names on the way to it.
    pub way: Vec<String>,
    pub what: Type,
    pub also: Vec<(String, WordId)>,
}

impl Slot {
    pub(crate) fn name(&self) -> &str {
        self.way.last().map_or("", String::as_str)
    }
}

/// The fact of a list that stands in no other.
pub(crate) fn list_of(facts: &Facts, vocabulary: &Vocabulary, list: FieldId) -> FactId {
    let held = vocabulary.field(list);
    match held.parent {
        None => Facts::ROOT,
        Some(parent) => facts.child(list_of(facts, vocabulary, parent), held.slot),
    }
}

fn which(names: BTreeSet<&str>) -> Refused {
    let says = format!("which is meant: {}?", suggest::either(names));
    Refused::new(says, "write its whole name")
}
