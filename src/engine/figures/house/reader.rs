//! Facts one by one, as a house takes them: each is noted, and what is open stands for all it may be.
//!
//! Contract: see `read`. Of a list no more than the first are read, so many as its reader says; the house
//! may then hold any others, as it may where a list is not complete. So the cost has a bound, and what
//! is not read is never taken for absent.

use crate::figures::emitters;
use crate::figures::survey::Choice;
use crate::figures::view::{Refused, View};
use wetside_base::facts::{FactId, Facts};
use wetside_base::vocabulary::{Shape, Type};
use wetside_house::Range;
use wetside_house::convention::Convention;

/// So many emitters are read, the first of their list.
pub(super) const MOST_EMITTERS: usize = 500;
/// So many heat sources, and so many controls: each of them stands behind every branch.
pub(super) const MOST_OTHERS: usize = 50;

pub(super) struct Reader<'a> {
    pub view: View<'a>,
    pub suppose: bool,
    pub facts: Vec<FactId>,
    pub supposed: Vec<String>,
    /// The quantities that are known as ranges alone, recorded so, supposed or by convention.
    pub wide: Vec<(FactId, Range)>,
}

impl Reader<'_> {
    pub(super) fn at(&self, path: &str) -> FactId {
        self.view.at(Facts::ROOT, path)
    }

    /// The first elements of a list, and whether others may exist.
    pub(super) fn listed(&mut self, path: &str, most: usize) -> (Vec<FactId>, bool) {
        let list = self.at(path);
        self.facts.push(list);
        let (mut listed, more) = emitters::elements(&self.view, list);
        if listed.len() <= most {
            return (listed, more);
        }
        let count = listed.len();
        self.note_supposed(format!(
            "`{path}` lists {count}: only the first {most} are looked at"
        ));
        listed.truncate(most);
        (listed, true)
    }

    /// A quantity without which there is no house.
    pub(super) fn needed(&mut self, path: &str) -> Result<Range, Refused> {
        let id = self.at(path);
        self.facts.push(id);
        self.view.range(id)?;
        Ok(self.range(id, path, None))
    }

    /// A quantity, over all that is possible where it is open; over what is usual if that is supposed.
    pub(super) fn any(&mut self, path: &str, usual: Option<&Convention>) -> Range {
        let id = self.at(path);
        self.facts.push(id);
        self.range(id, path, usual)
    }

    pub(super) fn range(&mut self, id: FactId, name: &str, usual: Option<&Convention>) -> Range {
        let range = match (self.view.range(id), usual) {
            (Ok(range), _) => range,
            (Err(_), Some(usual)) if self.suppose => {
                self.note_supposed(format!("`{name}` is not known: {}", usual.says));
                usual.range
            }
            (Err(_), _) => self.possible(id),
        };
        if !range.is_point() {
            self.wide.push((id, range));
        }
        range
    }

    /// Names what is supposed, once.
    pub(super) fn note_supposed(&mut self, words: String) {
        if !self.supposed.contains(&words) {
            self.supposed.push(words);
        }
    }

    /// A quantity that hardly any survey records: where it is open, the convention, which its field keeps to.
    pub(super) fn refined(&mut self, path: &str, usual: &Convention) -> Range {
        let id = self.at(path);
        if self.view.range(id).is_err() {
            self.wide.push((id, usual.range));
            return usual.range;
        }
        self.any(path, Some(usual))
    }

    fn possible(&self, id: FactId) -> Range {
        let field = self.view.facts.fact(id).field;
        match &self.view.vocabulary.field(field).shape {
            Shape::Fact(Type::Quantity { possible, .. }) => Range::of(possible),
            _ => Range::FROM_NOTHING,
        }
    }

    /// What the word of a choice means.
    pub(super) fn said<T: Copy>(&mut self, choice: &Choice<T>) -> Option<T> {
        let (id, meant) = self.view.choice(Facts::ROOT, choice);
        self.facts.push(id);
        meant
    }

    /// The same where there is no house without it.
    pub(super) fn known<T: Copy>(&mut self, choice: &Choice<T>) -> Result<T, Refused> {
        let said = self.said(choice);
        said.ok_or_else(|| self.view.open(self.at(choice.path)))
    }
}
