//! The fields and words that figures read are those of the schema, all of them and no others.

use super::vocabulary;
use std::collections::BTreeSet;
use wetside_base::vocabulary::{FieldId, Shape, Type, Vocabulary, names};
use wetside_engine::figures::survey::{CHOICES, FIELDS, Of};

/// The field at a path, within an element of a list or in the survey.
pub(crate) fn field(of: Of, path: &str) -> FieldId {
    let words = vocabulary();
    let top = of.map_or(Vocabulary::ROOT, |list| {
        let list_field = words
            .find(list)
            .unwrap_or_else(|| panic!("no list `{list}`"));
        match words.field(list_field).shape {
            Shape::List { element } => element,
            _ => panic!("`{list}` is no list"),
        }
    });
    let found = names(path).try_fold(top, |at, name| words.child(at, name));
    found.unwrap_or_else(|| panic!("no field `{path}` of {of:?}"))
}

#[test]
fn every_field_that_figures_read_is_in_the_schema() {
    let mut seen = BTreeSet::new();
    for (of, path) in FIELDS {
        field(*of, path);
        assert!(seen.insert((of, path)), "`{path}` stands there twice");
    }
}

#[test]
fn every_choice_has_all_the_words_of_its_field() {
    for (of, path, known) in CHOICES {
        let all: BTreeSet<&str> = match &vocabulary().field(field(*of, path)).shape {
            Shape::Fact(Type::Choice(all) | Type::Set(all)) => {
                all.iter().map(|word| vocabulary().word(*word)).collect()
            }
            _ => panic!("`{path}` has no words"),
        };
        let once: BTreeSet<&str> = known.iter().copied().collect();
        assert_eq!(once.len(), known.len(), "`{path}` has a word twice");
        assert_eq!(once, all, "`{path}`");
    }
}
