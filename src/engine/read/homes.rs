//! Where each key of a survey belongs.

use std::collections::HashMap;
use wetside_base::vocabulary::{FieldId, Shape, Vocabulary};

/// Which groups, lists and things of lists have a key.
pub(super) type Homes<'a> = HashMap<&'a str, Vec<FieldId>>;

/// The keys of a list that says how long it is.
pub(super) const OF_A_LIST: [&str; 2] = ["count", "items"];

pub(super) fn homes(vocabulary: &Vocabulary) -> Homes<'_> {
    let mut homes = Homes::new();
    for (id, field) in vocabulary.fields() {
        let worked_out = field.path.split('.').next() == Some(Vocabulary::FIGURES);
        if worked_out || field.path.is_empty() {
            continue;
        }
        let is_element =
            |parent: &FieldId| matches!(vocabulary.field(*parent).shape, Shape::List { .. });
        if let Some(parent) = field.parent.filter(|parent| !is_element(parent)) {
            homes.entry(&field.name).or_default().push(parent);
        }
        if matches!(field.shape, Shape::List { .. }) {
            for key in OF_A_LIST {
                homes.entry(key).or_default().push(id);
            }
        }
    }
    homes
}
