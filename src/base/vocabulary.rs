//! The words that a rule may use: every field of the survey, with its path, type, kind and meaning.
//!
//! Contract: data only. The fields form a tree; the children of a group stand next to each other, so
//! a path through the tree is a row of small numbers. This module must not know where the words came
//! from, nor what a rule does with them.

mod answers;
mod company;
mod plan;

pub use plan::{Plan, PlanShape};

use serde::{Deserialize, Serialize};
use wetside_units::{Interval, Kind};

/// One field.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub struct FieldId(pub u32);

/// One word of a choice. The same word of two fields is the same `WordId`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub struct WordId(pub u16);

/// How much a fact matters to a first look.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Tier {
    /// Asked in every survey.
    Minimum,
    /// Asked where a gate opens or a firmer answer is wanted.
    Detail,
    /// Filled in on the day.
    Record,
}

#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Field {
    /// The last word of the path.
    pub name: String,
    /// The whole path, dotted; list elements add nothing: `emitters.tails.bore`.
    pub path: String,
    pub parent: Option<FieldId>,
    /// Which child of its parent this is.
    pub slot: u16,
    pub shape: Shape,
    pub tier: Option<Tier>,
    /// The condition under which the field is asked for, in the rule language.
    pub asked_when: Option<String>,
    /// Whether an answer may well be true where it is not asked.
    pub true_anyway: bool,
    /// Other words that the trade has for words of the choice, each with ours.
    pub also: Vec<(String, WordId)>,
    /// Where one stands to see it, as a place among those of the vocabulary.
    pub place: Option<u16>,
    /// Whether the answer stays true of the next flat in the same block.
    pub stays: bool,
    /// One or two sentences for people.
    pub says: String,
}

#[derive(Clone, Debug, Serialize, Deserialize)]
pub enum Shape {
    /// Fields under a key: the first, and how many.
    Group {
        first: FieldId,
        count: u16,
    },
    /// Things with an `id`; the element is a group.
    List {
        element: FieldId,
    },
    Fact(Type),
}

/// What a single fact can be.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub enum Type {
    Choice(Vec<WordId>),
    /// Any number of the words; at most 64 words.
    Set(Vec<WordId>),
    Quantity {
        kind: Kind,
        /// What is physically possible, in base units.
        possible: Interval,
        /// The unit people write, as shown to them.
        usual_unit: String,
    },
    Date,
    DateTime,
    Text,
}

/// All fields of the survey. The first is the survey itself.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Vocabulary {
    fields: Vec<Field>,
    /// The fields of groups, each from the place on that its group and name tell; the survey itself where
    /// there is none.
    by_name: Vec<FieldId>,
    words: Vec<String>,
    /// The same in the order of the alphabet.
    by_word: Vec<WordId>,
    /// Sets that are never empty.
    filled: Vec<FieldId>,
    /// Where things are seen, in the order in which the fields first name them.
    places: Vec<String>,
}

impl Vocabulary {
    pub const ROOT: FieldId = FieldId(0);
    /// The words of a yes-or-no question, the same in every vocabulary.
    pub const YES: WordId = WordId(0);
    pub const NO: WordId = WordId(1);
    /// The group of everything that is worked out from a survey and never recorded in it.
    pub const FIGURES: &str = "figure";
    /// The group of what companies ask of their own, by the packs that judge.
    const COMPANY: &str = "company";

    /// Lays out the fields of a survey.
    pub fn new(fields: Vec<Plan>) -> Vocabulary {
        let root = Field {
            name: String::new(),
            path: String::new(),
            parent: None,
            slot: 0,
            shape: Shape::Fact(Type::Text),
            tier: None,
            asked_when: None,
            true_anyway: false,
            also: Vec::new(),
            place: None,
            stays: false,
            says: String::new(),
        };
        let mut vocabulary = Vocabulary {
            fields: vec![root],
            by_name: Vec::new(),
            words: Vec::new(),
            by_word: Vec::new(),
            filled: Vec::new(),
            places: Vec::new(),
        };
        vocabulary.intern(vec!["yes".to_string(), "no".to_string()]);
        let shape = vocabulary.group(Vocabulary::ROOT, fields);
        vocabulary.fields[0].shape = shape;
        vocabulary.name_all();
        vocabulary
    }

    /// Puts every field of a group where it is looked for.
    fn name_all(&mut self) {
        // Twice the room that they take, so that few meet and a search always ends.
        let mut by_name = vec![Vocabulary::ROOT; (2 * self.fields.len()).next_power_of_two()];
        let groups = self.fields().map(|(group, _)| group);
        for (group, child) in
            groups.flat_map(|group| self.children(group).map(move |id| (group, id)))
        {
            let places = places_of(group, &self.field(child).name, by_name.len());
            let free = places
                .into_iter()
                .find(|at| by_name[*at] == Vocabulary::ROOT);
            by_name[free.expect("half of the places stay free")] = child;
        }
        self.by_name = by_name;
    }

    fn group(&mut self, parent: FieldId, plans: Vec<Plan>) -> Shape {
        let first = self.next_id();
        let count = self.lay_out_in(parent, 0, plans);
        Shape::Group { first, count }
    }

    /// Lays out fields from a slot of their group on; how many they are.
    fn lay_out_in(&mut self, parent: FieldId, slot: u16, plans: Vec<Plan>) -> u16 {
        let first = self.next_id();
        let count = u16::try_from(plans.len()).expect("a group has few fields");
        let prefix = match self.field(parent).path.as_str() {
            "" => String::new(),
            path => format!("{path}."),
        };
        let inherited = self.field(parent).place;
        let mut shapes = Vec::new();
        let mut others = Vec::new();
        for (slot, plan) in (slot..).zip(plans) {
            let place = plan.place.map(|words| self.place_called(words));
            self.fields.push(Field {
                path: format!("{prefix}{}", plan.name),
                name: plan.name,
                parent: Some(parent),
                slot,
                shape: Shape::Fact(Type::Text),
                tier: plan.tier,
                asked_when: plan.asked_when,
                true_anyway: plan.true_anyway,
                also: Vec::new(),
                place: place.or(inherited),
                stays: plan.stays,
                says: plan.says,
            });
            shapes.push(plan.shape);
            others.push(plan.also);
        }
        for (offset, (shape, also)) in (0..).zip(shapes.into_iter().zip(others)) {
            let id = FieldId(first.0 + offset);
            let shape = self.lay_out(id, shape);
            let (also, ours): (Vec<_>, Vec<_>) = also.into_iter().unzip();
            let also = also.into_iter().zip(self.intern(ours)).collect();
            let field = &mut self.fields[id.0 as usize];
            (field.shape, field.also) = (shape, also);
        }
        count
    }

    fn lay_out(&mut self, id: FieldId, shape: PlanShape) -> Shape {
        match shape {
            PlanShape::Group(plans) => self.group(id, plans),
            PlanShape::List(plans) => {
                let element = self.next_id();
                let list = self.field(id).clone();
                self.fields.push(Field {
                    parent: Some(id),
                    slot: 0,
                    tier: None,
                    asked_when: None,
                    ..list
                });
                let shape = self.group(element, plans);
                self.fields[element.0 as usize].shape = shape;
                Shape::List { element }
            }
            PlanShape::Choice(words) => Shape::Fact(Type::Choice(self.intern(words))),
            PlanShape::Set(words) => Shape::Fact(Type::Set(self.intern(words))),
            PlanShape::FilledSet(words) => {
                self.filled.push(id);
                Shape::Fact(Type::Set(self.intern(words)))
            }
            PlanShape::Fact(what) => Shape::Fact(what),
        }
    }

    fn place_called(&mut self, words: String) -> u16 {
        let known = self.places.iter().position(|place| *place == words);
        let at = known.unwrap_or_else(|| {
            self.places.push(words);
            self.places.len() - 1
        });
        u16::try_from(at).expect("a house has few places")
    }

    /// Where one stands to see what a field asks, in words; nothing where that is not told.
    pub fn place(&self, id: FieldId) -> Option<&str> {
        let place = self.field(id).place?;
        self.places.get(usize::from(place)).map(String::as_str)
    }

    /// Whether at least one word of the set is true of every system, so that none is a slip.
    pub fn is_never_empty(&self, set: FieldId) -> bool {
        self.filled.contains(&set)
    }

    fn next_id(&self) -> FieldId {
        FieldId(u32::try_from(self.fields.len()).expect("a vocabulary is small"))
    }

    fn intern(&mut self, words: Vec<String>) -> Vec<WordId> {
        let intern_one = |word: String| match self.place_of(&word) {
            Ok(place) => self.by_word[place],
            Err(place) => {
                let id = WordId(u16::try_from(self.words.len()).expect("a vocabulary is small"));
                self.by_word.insert(place, id);
                self.words.push(word);
                id
            }
        };
        words.into_iter().map(intern_one).collect()
    }

    /// Where a word stands in the order of the alphabet, or where it would.
    fn place_of(&self, word: &str) -> Result<usize, usize> {
        self.by_word.binary_search_by(|id| self.word(*id).cmp(word))
    }

    pub fn field(&self, id: FieldId) -> &Field {
        &self.fields[id.0 as usize]
    }

    /// All fields in the order of the schema, the survey itself first.
    pub fn fields(&self) -> impl Iterator<Item = (FieldId, &Field)> {
        (0..).map(FieldId).zip(&self.fields)
    }

    /// The children of a group, or of a list's element; none for a fact.
    pub fn children(&self, id: FieldId) -> impl Iterator<Item = FieldId> + use<> {
        let (first, count) = match self.field(id).shape {
            Shape::Group { first, count } => (first.0, u32::from(count)),
            Shape::List { .. } | Shape::Fact(_) => (0, 0),
        };
        (first..first + count).map(FieldId)
    }

    /// What the things of a list are told apart by: their `id`, or the first of their fields.
    pub fn key_of(&self, list: FieldId) -> Option<FieldId> {
        let Shape::List { element } = self.field(list).shape else {
            return None;
        };
        let first = || self.children(element).next();
        self.child(element, "id").or_else(first)
    }

    /// The child of a group with this name.
    pub fn child(&self, id: FieldId, name: &str) -> Option<FieldId> {
        let places = places_of(id, name, self.by_name.len());
        let mut named = places
            .map(|at| self.by_name[at])
            .take_while(|child| *child != Vocabulary::ROOT);
        named.find(|child| {
            let field = self.field(*child);
            field.parent == Some(id) && field.name == name
        })
    }

    /// The field at a dotted path that crosses no list.
    pub fn find(&self, path: &str) -> Option<FieldId> {
        names(path).try_fold(Vocabulary::ROOT, |at, name| self.child(at, name))
    }

    /// Whether a field is the one at a dotted path, or stands below it.
    pub fn is_within(&self, field: FieldId, path: &str) -> bool {
        let rest = self.field(field).path.strip_prefix(path);
        rest.is_some_and(|rest| rest.is_empty() || rest.starts_with('.'))
    }

    /// The group of the figures, if this vocabulary has them.
    pub fn figures(&self) -> Option<FieldId> {
        self.child(Vocabulary::ROOT, Vocabulary::FIGURES)
    }

    pub fn word(&self, id: WordId) -> &str {
        &self.words[id.0 as usize]
    }

    /// Every word that some field has.
    pub fn words(&self) -> impl Iterator<Item = &str> {
        self.words.iter().map(String::as_str)
    }

    pub fn word_id(&self, word: &str) -> Option<WordId> {
        self.place_of(word).ok().map(|place| self.by_word[place])
    }
}

/// The names in a dotted path. Names are short, so looking at each byte is the quickest way.
pub fn names(path: &str) -> impl Iterator<Item = &str> {
    let mut rest = Some(path);
    std::iter::from_fn(move || {
        let path = rest?;
        let dot = path.bytes().position(|byte| byte == b'.');
        rest = dot.map(|dot| &path[dot + 1..]);
        Some(&path[..dot.unwrap_or(path.len())])
    })
}

/// Where to look for a name in a group, one place after another, in so many places: a power of two. The length
/// of a name and three of its bytes tell most of a group apart.
fn places_of(group: FieldId, name: &str, places: usize) -> impl Iterator<Item = usize> {
    let bytes = name.as_bytes();
    let byte = |at: usize| bytes.get(at).copied().unwrap_or(0);
    let length = u8::try_from(bytes.len()).unwrap_or(u8::MAX);
    let last = bytes.len().saturating_sub(1);
    let told = u32::from_be_bytes([length, byte(0), byte(bytes.len() / 2), byte(last)]);
    // Odd numbers without a pattern spread what is alike over all places.
    let spread = (told ^ group.0.wrapping_mul(0x9E37_79B1)).wrapping_mul(0x85EB_CA6B);
    let from = (spread >> 16) as usize;
    (0..places).map(move |step| (from + step) & (places - 1))
}
