//! What the cases of a pack show of each part of its conditions.

use serde_json::{Value, json};
use wetside_base::vocabulary::Vocabulary;
use wetside_engine::mutants::{self, Shown};
use wetside_engine::pack::{Pack, Rule};
use wetside_report::pen::{Ink, Pen, number};
use wetside_units::truth::Truth;

pub(super) struct Parts<'p>(Vec<(&'p Rule, Shown)>);

impl<'p> Parts<'p> {
    /// Of the rules that the pack wrote and nobody changed: what is changed has cases of its own.
    pub(super) fn of(pack: &'p Pack, vocabulary: &Vocabulary) -> Parts<'p> {
        let name = pack.identities().pop().unwrap_or_default().pack;
        let own = |rule: &&Rule| rule.pack == name && rule.changes.is_empty();
        let rules: Vec<&Rule> = pack.rules.iter().filter(own).collect();
        let shown = mutants::of_each(&rules, |rule| mutants::shown(pack, rule, vocabulary));
        Parts(rules.into_iter().zip(shown).collect())
    }

    fn outcomes(&self) -> usize {
        self.0.iter().map(|(_, shown)| shown.outcomes).sum()
    }

    fn missing(&self) -> usize {
        let parts = self.0.iter().flat_map(|(_, shown)| &shown.unshown);
        parts.map(|part| part.lacks.len()).sum()
    }

    pub(super) fn for_programs(&self) -> Value {
        let each = self.0.iter().flat_map(|(rule, shown)| {
            shown.unshown.iter().map(|one| {
                let lacks: Vec<&str> = one.lacks.iter().map(|lack| word(*lack)).collect();
                json!({"rule": rule.id, "key": one.key, "part": one.part, "no_case": lacks})
            })
        });
        let unshown: Vec<Value> = each.collect();
        json!({
            "outcomes": self.outcomes(), "shown": self.outcomes() - self.missing(),
            "unshown": unshown,
        })
    }

    pub(super) fn page(&self, pen: &mut Pen) {
        for (rule, shown) in self.0.iter().filter(|(_, shown)| !shown.unshown.is_empty()) {
            pen.gap();
            pen.paragraph(0, &format!("{} ({}): no case shows", rule.id, rule.class));
            for one in &shown.unshown {
                let lacks: Vec<&str> = one.lacks.iter().map(|lack| word(*lack)).collect();
                let line = format!("`{}` in `{}` {}", one.part, one.key, lacks.join(", nor "));
                pen.hanging(0, "- ", &line, Ink::Usual);
            }
        }
        let outcomes = number(self.outcomes(), "outcome", "outcomes");
        let shown = self.outcomes() - self.missing();
        pen.gap();
        pen.paragraph(
            0,
            &format!("Parts of conditions: {outcomes}, {shown} shown by a case."),
        );
    }
}

fn word(truth: Truth) -> &'static str {
    match truth {
        Truth::Yes => "holding",
        Truth::No => "not holding",
        Truth::Undecided => "left open",
    }
}
