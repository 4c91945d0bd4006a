//! Which figures somebody reads, so that nothing is worked out in vain.
//!
//! Contract: the figures among the fields that rules read are wanted, and what those take in turn. To want
//! too much costs time and changes nothing.

use super::catalogue::{lists, table};
use super::house::{branches, points};
use super::list::FigureList;
use super::table::{Figure, Origin};
use super::{day, emitters};
use serde::{Deserialize, Serialize};
use std::collections::BTreeSet;
use wetside_base::vocabulary::{self, Vocabulary};

/// The figures that are read, each with the list whose elements it is of; with no list those of the survey,
/// and the lists themselves.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Wanted(#[serde(borrow)] BTreeSet<(&'static str, &'static str)>);

/// Where a list would stand, of a figure of the survey.
const NO_LIST: &str = "";

impl Wanted {
    pub fn nothing() -> Wanted {
        Wanted::default()
    }

    pub fn everything() -> Wanted {
        let own = table().map(|figure| (NO_LIST, figure.name));
        let mut wanted = Wanted(own.collect());
        for list in lists() {
            wanted.list(list, |_| true);
        }
        wanted
    }

    /// What is wanted of the fields that are read, each by its path.
    pub fn by<'p>(fields: impl IntoIterator<Item = &'p str>) -> Wanted {
        let mut wanted = Wanted::nothing();
        for field in fields {
            let mut names = vocabulary::names(field);
            if names.next() != Some(Vocabulary::FIGURES) {
                continue;
            }
            let (name, of_elements) = (names.next().unwrap_or_default(), names.next());
            match lists().find(|list| list.name == name) {
                Some(list) => wanted.list(list, |figure| Some(figure) == of_elements),
                None => wanted.name(name),
            }
        }
        wanted
    }

    /// Wants a list, and of its elements the figures that are asked for, with all that they take.
    fn list(&mut self, list: &'static FigureList, asked: impl Fn(&str) -> bool) {
        self.0.insert((NO_LIST, list.name));
        let asked = list.fields.iter().filter(|figure| asked(figure.name));
        self.0.extend(asked.map(|figure| (list.name, figure.name)));
        self.contents();
    }

    /// Wants a figure with all that it takes.
    fn name(&mut self, name: &str) {
        if let Some(figure) = table().find(|figure| figure.name == name) {
            self.figure(figure);
        }
    }

    fn figure(&mut self, figure: &'static Figure) {
        if !self.0.insert((NO_LIST, figure.name)) {
            return;
        }
        self.contents();
        if points::OF_POINTS.contains(&figure.name) {
            let quick = |figure: &str| !points::ALL_OPEN.contains(&figure);
            self.list(&points::LIST, quick);
            let others = points::FIGURES.iter();
            self.0.extend(others.map(|other| (NO_LIST, other.name)));
        }
        if figure.name == day::NAME {
            self.list(&branches::LIST, |of_each| of_each == day::OF_BRANCHES);
            for name in day::OF_SURVEY {
                self.name(name);
            }
        }
        for input in figure.inputs {
            if let Origin::Figure(name) = input.origin {
                self.name(name);
            }
        }
    }

    /// What emitters hold, which costs little, goes into volumes and branches.
    fn contents(&mut self) {
        let list = &emitters::LIST;
        self.0.insert((NO_LIST, list.name));
        let figures = list.fields.iter().map(|figure| (list.name, figure.name));
        self.0.extend(figures);
    }

    pub fn has(&self, name: &str) -> bool {
        self.has_of_elements(NO_LIST, name)
    }

    /// Whether this figure of the elements of a list is wanted.
    pub fn has_of_elements(&self, list: &str, figure: &str) -> bool {
        self.0.contains(&(list, figure))
    }

    /// What either wants.
    #[must_use]
    pub fn and(mut self, other: Wanted) -> Wanted {
        self.0.extend(other.0);
        self
    }
}
