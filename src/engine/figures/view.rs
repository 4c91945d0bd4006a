//! The facts of a survey as formulas want them: numbers in ranges, and words.
//!
//! Contract: everything that is read is named, so that a figure knows all its lines. An unknown is
//! never replaced: what is open comes back as a reason, or as the whole range of what it may be.

use super::survey::Choice;
use wetside_base::facts::{Content, FactId, Facts, Told, Value, Why, fact_name};
use wetside_base::vocabulary::{Shape, Type, Vocabulary, names};
use wetside_house::Range;
use wetside_physics::OutOfRange;

/// A survey's facts, those worked out so far among them.
#[derive(Clone, Copy)]
pub struct View<'a> {
    pub facts: &'a Facts,
    pub vocabulary: &'a Vocabulary,
}

/// Why a figure cannot be worked out, as the end of a sentence.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Refused(pub String);

impl From<OutOfRange> for Refused {
    fn from(refused: OutOfRange) -> Refused {
        Refused(format!("{refused}"))
    }
}

impl From<&str> for Refused {
    fn from(reason: &str) -> Refused {
        Refused(reason.to_string())
    }
}

/// A number brought together from facts.
#[derive(Clone, Debug)]
pub struct Gathered {
    pub range: Result<Range, Refused>,
    /// Everything that was read for it, what places it first.
    pub facts: Vec<FactId>,
}

impl Gathered {
    pub fn of(range: Range, facts: Vec<FactId>) -> Gathered {
        Gathered {
            range: Ok(range),
            facts,
        }
    }

    /// What is worked out of facts, or why it cannot be.
    pub(crate) fn by(
        facts: Vec<FactId>,
        range: impl FnOnce() -> Result<Range, Refused>,
    ) -> Gathered {
        let range = range();
        Gathered { range, facts }
    }

    /// Why nothing can be said.
    pub(crate) fn refused(why: impl Into<Refused>, facts: Vec<FactId>) -> Gathered {
        let range = Err(why.into());
        Gathered { range, facts }
    }

    /// Nothing, for sure.
    pub fn nothing(facts: Vec<FactId>) -> Gathered {
        Gathered::of(Range::point(0.0), facts)
    }

    /// Something that may not be there, as a fact says: nothing where it is not, and from nothing up to
    /// all of it where nobody says.
    pub(crate) fn if_there(
        (says, there): (FactId, Option<bool>),
        held: impl FnOnce() -> Gathered,
    ) -> Gathered {
        if there == Some(false) {
            return Gathered::nothing(vec![says]);
        }
        let mut held = held();
        if held.range == Ok(Range::point(0.0)) {
            return held;
        }
        if there.is_none() {
            held.range = held.range.map(|held| Range::new(0.0, held.high));
        }
        held.facts.push(says);
        held
    }
}

/// What a set holds for certain, and all that it may hold.
pub type Held<T> = (Vec<T>, Vec<T>);

impl<'a> View<'a> {
    /// The fact at a dotted path within a group.
    ///
    /// # Panics
    /// When there is no such field. Paths are written in the table of figures, and a test walks it.
    pub fn at(&self, group: FactId, path: &str) -> FactId {
        names(path).fold(group, |at, name| {
            let field = self.facts.fact(at).field;
            let child = self.vocabulary.child(field, name);
            let child = child.unwrap_or_else(|| panic!("no field `{path}`"));
            self.facts.child(at, self.vocabulary.field(child).slot)
        })
    }

    /// The same view of other facts.
    pub(crate) fn of<'b>(&self, facts: &'b Facts) -> View<'b>
    where
        'a: 'b,
    {
        View { facts, ..*self }
    }

    /// What a quantity may be, within what is physically possible.
    pub fn range(&self, id: FactId) -> Result<Range, Refused> {
        let quantity = self.facts.quantity(id).ok_or_else(|| self.open(id))?;
        let recorded = Range::of(&quantity.range);
        let field = self.facts.fact(id).field;
        let within = match &self.vocabulary.field(field).shape {
            Shape::Fact(Type::Quantity { possible, .. }) => recorded.within(Range::of(possible)),
            _ => None,
        };
        Ok(within.unwrap_or(recorded))
    }

    /// The range of a quantity at a path of the survey, where it is known.
    pub(crate) fn known(&self, path: &str) -> Option<Range> {
        self.range(self.at(Facts::ROOT, path)).ok()
    }

    /// A moment that is known, in seconds.
    pub fn moment(&self, id: FactId) -> Result<f64, Refused> {
        match &self.facts.fact(id).content {
            Content::Known(Value::Time(time)) if time.single().is_some() => Ok(Range::of(time).low),
            _ => Err(self.open(id)),
        }
    }

    /// What a quantity may be, and nothing known where it is open.
    pub(crate) fn range_or(&self, id: FactId, open: Range) -> Range {
        self.range(id).unwrap_or(open)
    }

    /// The quantity at a path within a group, with its fact.
    pub fn taken(&self, group: FactId, path: &str) -> Gathered {
        let id = self.at(group, path);
        Gathered::by(vec![id], || self.range(id))
    }

    /// The same, and any amount where it is open.
    pub(crate) fn amount(&self, group: FactId, path: &str) -> Gathered {
        let id = self.at(group, path);
        Gathered::of(self.range_or(id, Range::FROM_NOTHING), vec![id])
    }

    /// The word of a choice; nothing where it is open.
    pub fn word(&self, id: FactId) -> Option<&'a str> {
        match &self.facts.fact(id).content {
            Content::Known(Value::Word(word)) => Some(self.vocabulary.word(*word)),
            _ => None,
        }
    }

    /// The field of a choice within a group, and what its word means; nothing where that is open.
    pub(crate) fn choice<T: Copy>(&self, group: FactId, choice: &Choice<T>) -> (FactId, Option<T>) {
        let id = self.at(group, choice.path);
        (id, self.word(id).and_then(|word| choice.meaning(word)))
    }

    /// The words that a set holds, and those that it may hold, in the order of the schema; nothing
    /// where it is open.
    pub fn set(&self, id: FactId) -> Option<Held<&'a str>> {
        let fact = self.facts.fact(id);
        let Content::Known(Value::Set { has, may }) = &fact.content else {
            return None;
        };
        let Shape::Fact(Type::Set(all)) = &self.vocabulary.field(fact.field).shape else {
            return None;
        };
        let among = |bits: u64| {
            let held = all.iter().enumerate();
            let held = held.filter(|(at, _)| bits & (1 << at) != 0);
            held.map(|(_, word)| self.vocabulary.word(*word)).collect()
        };
        Some((among(*has), among(*may)))
    }

    /// What the words mean that a set of the survey holds, and those that it may hold; nothing where it
    /// is open.
    pub(crate) fn choices<T: Copy>(&self, choice: &Choice<T>) -> (FactId, Option<Held<T>>) {
        let id = self.at(Facts::ROOT, choice.path);
        let meant = |words: Vec<&str>| -> Vec<T> {
            let words = words.into_iter();
            words.filter_map(|word| choice.meaning(word)).collect()
        };
        let set = self.set(id).map(|(sure, may)| (meant(sure), meant(may)));
        (id, set)
    }

    /// Whether a set of the survey holds a word of a meaning; nothing where that is open.
    pub(crate) fn has<T: Copy + PartialEq>(
        &self,
        choice: &Choice<T>,
        meaning: T,
    ) -> (FactId, Option<bool>) {
        let (id, set) = self.choices(choice);
        let has = set.and_then(|(sure, may)| {
            let surely = sure.contains(&meaning);
            (surely || !may.contains(&meaning)).then_some(surely)
        });
        (id, has)
    }

    /// The group of the figures.
    pub fn figures(&self) -> FactId {
        self.at(Facts::ROOT, Vocabulary::FIGURES)
    }

    /// A figure of the survey that was worked out before.
    pub fn figure(&self, name: &str) -> FactId {
        self.at(self.figures(), name)
    }

    /// Why an open fact stops a formula.
    pub fn open(&self, id: FactId) -> Refused {
        let name = fact_name(self.facts, self.vocabulary, id);
        let name = name.strip_prefix("figure.").unwrap_or(&name);
        let what = match &self.facts.fact(id).content {
            Content::Open(Why::NotWorkedOut(reason, _)) => return Refused(reason.clone()),
            Content::Open(Why::NotRecorded) => "is not recorded",
            Content::Open(Why::Unknown(_)) => "is unknown",
            Content::Open(Why::Malformed) => "could not be understood",
            Content::List { extent, .. } => match extent.told {
                Told::NotRecorded => "is not recorded",
                Told::Unknown => "is unknown",
                Told::Malformed => "could not be understood",
                Told::NotStated | Told::Count => {
                    let may = format!("the list `{name}` may hold more than it names");
                    return Refused(may);
                }
            },
            _ => "could not be worked out",
        };
        Refused(format!("`{name}` {what}"))
    }
}
