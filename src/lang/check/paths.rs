//! Names in a condition to routes through the vocabulary, with a suggestion where one is misspelt.

use super::{Checker, NOTHING};
use crate::ast::{Name, dotted, span_of};
use crate::node::{Node, Route, Type};
use wetside_base::suggest;
use wetside_base::vocabulary::{self, FieldId, Shape, Vocabulary};

/// What to do about a condition that asks for paper.
pub(super) const NOT_ASKED: &str = "whether a fact is known cannot be asked: where it is not, the condition is undecided by itself; take this out";

impl Checker<'_> {
    /// A path that must lead to a single fact.
    pub(super) fn fact(&mut self, names: &[Name]) -> (Node, Type) {
        let Some(route) = self.route(names) else {
            return NOTHING;
        };
        let field = route.field;
        let yields = match &self.names.vocabulary.field(field).shape {
            Shape::Fact(vocabulary::Type::Choice(words)) => Type::Word(words.clone()),
            Shape::Fact(vocabulary::Type::Set(_)) => Type::Set(field),
            Shape::Fact(vocabulary::Type::Quantity { kind, .. }) => Type::Quantity(*kind),
            Shape::Fact(vocabulary::Type::Date) => Type::Date,
            Shape::Fact(vocabulary::Type::Text) => Type::Text,
            Shape::Fact(vocabulary::Type::DateTime) => Type::Moment,
            Shape::Group { .. } => {
                let says = format!("`{}` is a group of facts, not a fact", dotted(names));
                let help = format!("go on to one of its facts: {}", self.names_in(field));
                return self.fault("not-a-fact", span_of(names), says, &help);
            }
            Shape::List { .. } => {
                let says = format!("`{}` is a list", dotted(names));
                let help = "say `for every … in`, `for some … in` or `count of`";
                return self.fault("not-a-fact", span_of(names), says, help);
            }
        };
        (Node::Fact(route), yields)
    }

    /// A path that must lead to a list: the route to it and its element's group.
    pub(super) fn list(&mut self, names: &[Name]) -> Option<(Route, FieldId)> {
        let route = self.route(names)?;
        if let Shape::List { element } = self.names.vocabulary.field(route.field).shape {
            Some((route, element))
        } else {
            let says = format!("`{}` is not a list", dotted(names));
            let lists = self
                .names
                .vocabulary
                .fields()
                .filter(|(_, field)| matches!(field.shape, Shape::List { .. }));
            let paths: Vec<&str> = lists.map(|(_, field)| field.path.as_str()).collect();
            let all = format!("the lists are {}", suggest::either(paths.iter().copied()));
            let help = suggest::help(&dotted(names), paths.iter().copied(), &all);
            self.fault("not-a-list", span_of(names), says, &help);
            None
        }
    }

    /// Follows a path; a problem at the first name that leads nowhere.
    pub(super) fn route(&mut self, names: &[Name]) -> Option<Route> {
        let vocabulary = self.names.vocabulary;
        let first = names.first()?;
        let variable = self.variable(&first.text);
        let (mut field, rest) = match variable {
            Some((at, _)) => (self.variables[at].group, &names[1..]),
            None => (Vocabulary::ROOT, names),
        };
        let mut slots = Vec::new();
        for name in rest {
            let Some(child) = vocabulary.child(field, &name.text) else {
                match vocabulary.field(field).shape {
                    Shape::Group { .. } => self.unknown_fact(field, name),
                    Shape::List { .. } | Shape::Fact(_) => self.no_way_on(field, names, name),
                }
                return None;
            };
            slots.push(vocabulary.field(child).slot);
            field = child;
        }
        if rest.is_empty() {
            let says = format!(
                "`{}` is one of the things in the list, not a fact",
                first.text
            );
            let help = format!("go on to one of its facts: {}", self.names_in(field));
            self.fault("not-a-fact", first.span, says, &help);
            return None;
        }
        Some(Route {
            variable: variable.map(|(at, _)| at),
            before: variable.is_some_and(|(_, before)| before),
            slots,
            field,
        })
    }

    fn unknown_fact(&mut self, group: FieldId, name: &Name) {
        let vocabulary = self.names.vocabulary;
        let mut offered: Vec<&str> = vocabulary
            .children(group)
            .map(|child| vocabulary.field(child).name.as_str())
            .collect();
        if group == Vocabulary::ROOT {
            offered.extend(self.variables.iter().map(|variable| variable.name.as_str()));
            offered.push("as_of");
        }
        let says = match vocabulary.field(group).path.as_str() {
            "" => format!("the survey has no `{}`", name.text),
            path => format!("`{path}` has no `{}`", name.text),
        };
        let all = format!("it has {}", suggest::either(offered.iter().copied()));
        let help = match name.text.as_str() {
            "recorded" | "known" | "unknown" => NOT_ASKED.to_string(),
            "today" | "now" => "the day of judgement is `as_of`".to_string(),
            text => {
                // A fact without the heading that it stands under.
                let mut fields = vocabulary.fields().map(|(_, field)| field);
                let under = fields.find(|field| {
                    group == Vocabulary::ROOT
                        && field.name == text
                        && !field.path.starts_with(Vocabulary::FIGURES)
                });
                match under {
                    Some(field) => format!("did you mean `{}`?", field.path),
                    None => suggest::help(text, offered.iter().copied(), &all),
                }
            }
        };
        self.fault("unknown-fact", name.span, says, &help);
    }

    /// A path that goes on where there is nothing below: through a list, or from a single fact.
    fn no_way_on(&mut self, field: FieldId, names: &[Name], beyond: &Name) {
        let passed = names
            .iter()
            .take_while(|name| name.span != beyond.span)
            .count();
        let (written, span) = (dotted(&names[..passed]), span_of(&names[..passed]));
        let is_list = matches!(self.names.vocabulary.field(field).shape, Shape::List { .. });
        let (says, help) = if is_list {
            (
                format!("`{written}` is a list, and a path cannot pass through it"),
                format!(
                    "name its elements, as in `for some thing in {written}, thing.{} …`",
                    beyond.text
                ),
            )
        } else {
            (
                format!("`{written}` is a single fact, with nothing below it"),
                format!("end the path here: `{written}`"),
            )
        };
        self.fault("not-a-fact", span, says, &help);
    }

    fn names_in(&self, group: FieldId) -> String {
        let vocabulary = self.names.vocabulary;
        let names = vocabulary
            .children(group)
            .map(|child| vocabulary.field(child).name.as_str());
        suggest::either(names)
    }
}
