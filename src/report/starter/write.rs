//! Fields to lines of a survey to fill in.
//!
//! Contract: the starter has the shape of a survey, so the shape check passes it; every minimum fact
//! stands there as `unknown`, so nothing passes because nobody has looked. What is asked only of some
//! systems, or only later, stands as comments with the condition that opens it. This module must not
//! know what any field is about; it knows two by name, the `id` of a thing in a list and the stage,
//! which of a new job is the first.

use crate::pen::wrap;
use std::collections::{BTreeMap, BTreeSet};
use wetside_base::vocabulary::{Field, FieldId, Shape, Tier, Type, Vocabulary, WordId};

const HEAD: &str = "\
# A survey of one job. Write what was seen and measured, and leave `unknown` where nobody has looked:
# it is an honest answer, and `{unknown: why}` says why. A key left out counts as not recorded.
# Measures carry their unit: 15 mm, 14 L/min, about 45 years, 4 to 6 m, at least 9 L/min.
# Lines behind one `#` are asked only under the condition given, or are examples:
# take the `#` and the space after it away to answer them. Lines behind `##` explain.
";

/// Columns that explanations of a survey are broken to.
const WIDTH: usize = 100;
/// Columns that the words of a choice may reach beyond them, behind their field, in a survey.
const BEYOND: usize = 20;
const STAGE: &str = "job.stage";
/// Stands for a space at which no line is broken.
const HELD: &str = "\u{a0}";

/// The starter for a first look: the minimum facts, what their answers may open, and the fields at these
/// paths, which can stand in the way at once.
pub fn survey(vocabulary: &Vocabulary, at_once: &BTreeSet<&str>) -> String {
    write(vocabulary, false, at_once)
}

/// The starter with every field of a survey, those of later stages too.
pub fn full(vocabulary: &Vocabulary) -> String {
    write(vocabulary, true, &BTreeSet::new())
}

fn write(vocabulary: &Vocabulary, full: bool, at_once: &BTreeSet<&str>) -> String {
    let mut starter = Starter {
        vocabulary,
        full,
        at_once,
        only: None,
        width: WIDTH,
        widest: WIDTH + BEYOND,
        text: HEAD.to_string(),
    };
    starter.all();
    starter.text
}

pub(super) struct Starter<'v> {
    vocabulary: &'v Vocabulary,
    full: bool,
    /// Paths of fields that are asked at once, whatever their tier.
    at_once: &'v BTreeSet<&'v str>,
    /// What is asked, where the starter is a list of questions.
    only: Option<Only>,
    /// Columns that explanations are broken to, and that the words of a choice may reach to behind their field.
    width: usize,
    widest: usize,
    text: String,
}

/// A thing of a list by the fields that tell it from the others, and the fields that are asked of it.
type Thing = (Vec<(String, String)>, Vec<FieldId>);

/// The fields that are asked.
#[derive(Clone, Debug, Default)]
pub(super) struct Only {
    pub(super) fields: Vec<FieldId>,
    /// Lists of which it is asked how many things they have.
    pub(super) lists: Vec<FieldId>,
    pub(super) things: BTreeMap<FieldId, Vec<Thing>>,
}

impl Only {
    /// Whether a field is asked, or something below it.
    fn holds(&self, vocabulary: &Vocabulary, id: FieldId) -> bool {
        self.fields.contains(&id)
            || self.lists.contains(&id)
            || self.things.contains_key(&id)
            || vocabulary
                .children(id)
                .any(|child| self.holds(vocabulary, child))
    }
}

/// A text of the survey as a value, in quotes where it would be read otherwise without.
fn written(text: &str) -> String {
    let plain = text.starts_with(char::is_alphanumeric)
        && !text.ends_with(':')
        && ![": ", " #"].iter().any(|sign| text.contains(sign));
    if plain {
        text.to_string()
    } else {
        serde_json::to_string(text).expect("a text can be written")
    }
}

/// Where a field stands.
#[derive(Clone, Copy)]
struct At {
    depth: usize,
    /// Behind a comment sign.
    closed: bool,
    in_list: bool,
}

const TOP: At = At {
    depth: 0,
    closed: false,
    in_list: false,
};

impl At {
    fn below(self) -> At {
        At {
            depth: self.depth + 1,
            ..self
        }
    }
}

impl Starter<'_> {
    /// A starter of what is asked alone.
    pub(super) fn asking(vocabulary: &Vocabulary, only: Only, head: &str, width: usize) -> String {
        let mut starter = Starter {
            vocabulary,
            full: false,
            at_once: &BTreeSet::new(),
            only: Some(only),
            width,
            widest: width,
            text: String::new(),
        };
        starter.comment(TOP, head);
        starter.all();
        starter.text
    }

    fn all(&mut self) {
        for field in self.vocabulary.children(Vocabulary::ROOT) {
            if self.wanted(field, false) {
                self.text.push('\n');
                self.field(field, TOP);
            }
        }
    }

    /// Whether a field belongs into this starter; all of an opened group does.
    fn wanted(&self, id: FieldId, opened: bool) -> bool {
        let field = self.vocabulary.field(id);
        if let Some(only) = &self.only {
            return only.holds(self.vocabulary, id);
        }
        if self.at_once.contains(field.path.as_str()) {
            return true;
        }
        let opened = opened || field.asked_when.is_some();
        let empty = matches!(field.shape, Shape::Group { count: 0, .. });
        if empty || self.vocabulary.figures() == Some(id) {
            return false;
        }
        if self.full || field.name == "id" {
            return true;
        }
        match field.shape {
            Shape::Group { .. } => self
                .vocabulary
                .children(id)
                .any(|child| self.wanted(child, opened)),
            Shape::Fact(_) | Shape::List { .. } => match field.tier {
                Some(Tier::Minimum) | None => true,
                Some(Tier::Detail) => opened && field.name != "note",
                Some(Tier::Record) => false,
            },
        }
    }

    /// A field with everything below it.
    fn field(&mut self, id: FieldId, at: At) {
        let field = self.vocabulary.field(id).clone();
        self.explain(&field, at);
        match field.shape {
            Shape::Fact(ref kind) => self.fact(&field, kind, at),
            Shape::Group { .. } => self.group(id, &field, at),
            Shape::List { element } => self.list(id, &field, element, at),
        }
    }

    fn group(&mut self, id: FieldId, field: &Field, at: At) {
        // A group whose fields are all comments would be a key without a value.
        let waits = field.asked_when.is_some() || !self.asks_minimum(id);
        let closed = at.closed || (waits && self.only.is_none());
        let at = At { closed, ..at };
        self.line(at, &format!("{}:", field.name));
        self.below(id, at.below(), field.asked_when.is_some());
    }

    fn below(&mut self, id: FieldId, at: At, opened: bool) {
        for child in self.vocabulary.children(id).collect::<Vec<_>>() {
            if self.wanted(child, opened) {
                self.field(child, at);
            }
        }
    }

    /// A list of unknown extent, and an element of it to copy.
    fn list(&mut self, id: FieldId, field: &Field, element: FieldId, at: At) {
        if let Some(only) = &self.only
            && !only.lists.contains(&id)
        {
            let things = only.things.get(&id).cloned().unwrap_or_default();
            return self.things(field, element, &things, at);
        }
        let at = At {
            closed: at.closed || self.waits(field),
            ..at
        };
        self.line(
            at,
            &format!("{}: {{count: unknown, items: []}}", field.name),
        );
        self.comment(at, "In place of the line above, one like this for each:");
        let closed = At {
            closed: true,
            in_list: true,
            ..at
        };
        self.line(closed, &format!("{}:", field.name));
        self.line(closed.below(), "count: unknown");
        self.line(closed.below(), "items:");
        let inner = closed.below().below().below();
        let mut first = true;
        for child in self.vocabulary.children(element).collect::<Vec<_>>() {
            if !self.wanted(child, self.vocabulary.field(id).asked_when.is_some()) {
                continue;
            }
            let from = self.text.len();
            self.field(child, inner);
            if first {
                self.dash(from);
                first = false;
            }
        }
    }

    /// The things of a list that something is asked of, each with what is asked.
    fn things(&mut self, field: &Field, element: FieldId, things: &[Thing], at: At) {
        self.line(at, &format!("{}:", field.name));
        self.line(at.below(), "items:");
        let inner = At {
            in_list: true,
            ..at.below().below().below()
        };
        for (told, asked) in things {
            let from = self.text.len();
            for (name, says) in told {
                self.line(inner, &format!("{name}: {}", written(says)));
            }
            self.dash(from);
            let whole = self.only.replace(Only {
                fields: asked.clone(),
                ..Only::default()
            });
            self.below(element, inner, true);
            self.only = whole;
        }
    }

    /// Makes the first field since `from` the first of an element.
    fn dash(&mut self, from: usize) {
        let written = self.text.split_off(from);
        let mut dashed = false;
        for line in written.lines() {
            let inset = line.len() - line.trim_start_matches(['#', ' ']).len();
            let explains = line.trim_start().starts_with("##");
            if !dashed && !explains && inset >= 2 {
                self.text
                    .push_str(&format!("{}- {}\n", &line[..inset - 2], &line[inset..]));
                dashed = true;
            } else {
                self.text.push_str(line);
                self.text.push('\n');
            }
        }
    }

    fn fact(&mut self, field: &Field, kind: &Type, at: At) {
        let word = |id: &WordId| self.vocabulary.word(*id).to_string();
        let value = match kind {
            // A single word is the edition of the format; and a new job is at its first stage.
            Type::Choice(words) if words.len() == 1 || field.path == STAGE => {
                words.first().map(word).unwrap_or_default()
            }
            Type::Text if field.name == "id" => "name it".to_string(),
            _ => "unknown".to_string(),
        };
        let at = At {
            closed: at.closed || self.waits(field),
            ..at
        };
        let line = format!("{}: {value}", field.name);
        match offered(self.vocabulary, field, kind) {
            None => self.line(at, &line),
            Some(offered)
                if at.depth * 2 + line.len() + offered.chars().count() + 7 <= self.widest =>
            {
                self.line(at, &format!("{line}   # {offered}"));
            }
            Some(offered) => {
                self.comment(at, &format!("Answers: {offered}"));
                self.line(at, &line);
            }
        }
    }

    /// Whether a field is not asked in every survey.
    fn waits(&self, field: &Field) -> bool {
        if self.only.is_some() {
            return false;
        }
        let minimum = matches!(field.tier, Some(Tier::Minimum) | None)
            || self.at_once.contains(field.path.as_str());
        field.asked_when.is_some() || !minimum
    }

    /// Whether something below a group is asked in every survey.
    fn asks_minimum(&self, id: FieldId) -> bool {
        self.vocabulary.children(id).any(|child| {
            let field = self.vocabulary.field(child);
            match field.shape {
                Shape::Group { .. } => field.asked_when.is_none() && self.asks_minimum(child),
                Shape::Fact(_) | Shape::List { .. } => !self.waits(field),
            }
        })
    }

    /// What a field asks, and when; in the example of a list the words stand only in the full one.
    fn explain(&mut self, field: &Field, at: At) {
        if !field.says.is_empty() && (!at.in_list || self.full) {
            self.comment(at, &field.says);
        }
        if let Some(condition) = field.asked_when.as_ref().filter(|_| self.only.is_none()) {
            self.comment(at, &format!("Asked when {condition}."));
        }
    }

    /// A line of the survey. The comment sign stands at the edge, so that taking it away with its
    /// space leaves the line set in as it should be.
    fn line(&mut self, at: At, line: &str) {
        let sign = if at.closed { "# " } else { "" };
        let line = line.replace(HELD, " ");
        self.text
            .push_str(&format!("{sign}{}{line}\n", "  ".repeat(at.depth)));
    }

    /// Words that stay a comment when the sign of the line below is taken away.
    fn comment(&mut self, at: At, words: &str) {
        let edge = format!("{}## ", "  ".repeat(at.depth));
        let room = self.width.saturating_sub(edge.len());
        for line in wrap(&words.replace('\n', " "), room) {
            let line = line.replace(HELD, " ");
            self.text.push_str(&format!("{edge}{line}\n"));
        }
    }
}

/// The words or the unit to answer with; nothing where there is no choice.
pub(crate) fn offered(vocabulary: &Vocabulary, field: &Field, kind: &Type) -> Option<String> {
    let alone = matches!(kind, Type::Choice(choice) if choice.len() == 1);
    // An answer of several words is never broken over two lines.
    (!alone).then(|| vocabulary.answers_in(field, |word| word.replace(' ', HELD)))
}
