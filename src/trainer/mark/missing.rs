//! Which fact a trainee means who claims that something is missing.
//!
//! Contract: one fact or a problem. A name may be the whole path of a field or its end; in a list a line
//! of the thing tells which one is meant.

use super::target::lines_of;
use crate::survey::look::Look;
use wetside_base::facts::{Content, FactId, Facts};
use wetside_base::problem::Problem;
use wetside_base::source::Span;
use wetside_base::suggest;
use wetside_base::vocabulary::{Shape, Vocabulary};
use wetside_document::Node;
use wetside_engine::run;

/// A fact that could be meant.
struct Candidate {
    name: String,
    /// The lines of the thing it belongs to, or of its section.
    lines: Option<(usize, usize)>,
}

/// The name of the fact that is meant, as findings name it.
pub(crate) fn meant(
    field: &str,
    line: Option<usize>,
    at: Span,
    look: &Look<'_>,
) -> Result<String, Problem> {
    let mut all = Vec::new();
    let walk = Walk {
        look,
        wanted: field.trim(),
    };
    walk.collect(Facts::ROOT, &mut Vec::new(), None, &mut all);
    let exact = all.iter().any(|candidate| candidate.name == walk.wanted);
    if exact {
        all.retain(|candidate| candidate.name == walk.wanted);
    }
    if let (Some(line), true) = (line, all.len() > 1) {
        let holds = |lines: &Option<(usize, usize)>| {
            lines.is_some_and(|(first, last)| first <= line && line <= last)
        };
        all.retain(|candidate| holds(&candidate.lines));
        if all.is_empty() {
            let says = format!("line {line} belongs to nothing that has a field `{field}`");
            let help = "give a line of the thing that you mean";
            return Err(Problem::new("unclear-field", at, says, help));
        }
    }
    match all.as_slice() {
        [one] => Ok(one.name.clone()),
        [] => {
            // A path is held against paths, a name alone against names.
            let is_path = field.contains('.');
            let fields = look
                .packs
                .vocabulary
                .fields()
                .map(|(_, field)| if is_path { &field.path } else { &field.name }.as_str());
            let help = suggest::help(
                field,
                fields,
                "write the field as the survey names it, such as `circuit.hold_test.length`",
            );
            Err(Problem::new(
                "unknown-field",
                at,
                format!("no field of a survey is called `{field}`"),
                help,
            ))
        }
        several => {
            let names = several
                .iter()
                .take(3)
                .map(|candidate| candidate.name.as_str());
            let says = format!("`{field}` could be {}", suggest::either(names));
            let help = "write more of the name, or give a line of the thing that you mean";
            Err(Problem::new("unclear-field", at, says, help))
        }
    }
}

struct Walk<'a> {
    look: &'a Look<'a>,
    wanted: &'a str,
}

impl Walk<'_> {
    /// Collects the facts of this name; `keys` lead to the group, `within` are the lines of its thing.
    fn collect(
        &self,
        id: FactId,
        keys: &mut Vec<String>,
        within: Option<(usize, usize)>,
        all: &mut Vec<Candidate>,
    ) {
        let vocabulary = &self.look.packs.vocabulary;
        let fact = self.look.facts.fact(id);
        let field = vocabulary.field(fact.field);
        let within = within.or_else(|| self.section(keys));
        let name = run::fact_name(self.look.scene(), id);
        let ends = field.path == self.wanted
            || field.path.ends_with(&format!(".{}", self.wanted))
            || name == self.wanted;
        let is_thing = matches!(
            &self.look.facts.fact(fact.parent).content,
            Content::List { .. }
        );
        if ends && !is_thing {
            all.push(Candidate {
                name,
                lines: within,
            });
        }
        match field.shape {
            Shape::Group { count, .. } => {
                for slot in 0..count {
                    let child = self.look.facts.child(id, slot);
                    let name = vocabulary
                        .field(self.look.facts.fact(child).field)
                        .name
                        .clone();
                    if keys.is_empty() && name == Vocabulary::FIGURES {
                        continue;
                    }
                    keys.push(name);
                    self.collect(child, keys, within, all);
                    keys.pop();
                }
            }
            Shape::List { .. } => {
                for element in self.look.facts.elements(id) {
                    let thing = run::element_name(self.look.scene(), element);
                    let item = self.look.item(keys, &thing);
                    let lines = item.map(|item| lines_of(self.look, item));
                    self.collect(element, keys, lines.or(within), all);
                }
            }
            Shape::Fact(_) => {}
        }
    }

    /// The lines of the section at the top of the survey.
    fn section(&self, keys: &[String]) -> Option<(usize, usize)> {
        let entry = self.look.root.get(keys.first()?)?;
        let node: &Node = &entry.value;
        let (_, last) = lines_of(self.look, node);
        Some((self.look.line_of(entry.key.span), last))
    }
}
