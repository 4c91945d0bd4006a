//! What may be written where a field is asked, in a few words.

use super::{FieldId, Shape, Type, Vocabulary, WordId};

impl Vocabulary {
    /// The words of a field, or the unit of its measure; nothing for a group, which has fields instead.
    pub fn answers(&self, id: FieldId) -> String {
        let words = |ids: &[WordId], between| {
            let words: Vec<&str> = ids.iter().map(|id| self.word(*id)).collect();
            words.join(between)
        };
        match &self.field(id).shape {
            Shape::Group { .. } => String::new(),
            Shape::List { .. } => "how many there are, and each of them".to_string(),
            Shape::Fact(Type::Choice(choice)) => words(choice, " | "),
            Shape::Fact(Type::Set(choice)) => format!("any of [{}]", words(choice, ", ")),
            Shape::Fact(Type::Quantity { kind, .. }) if kind.name() == "year" => {
                "a year".to_string()
            }
            Shape::Fact(Type::Quantity { usual_unit, .. }) => match usual_unit.as_str() {
                "" => "a number".to_string(),
                unit if unit.starts_with("per ") => format!("as 2 {unit}"),
                unit => format!("in {unit}"),
            },
            Shape::Fact(Type::Date) => "as 2026-10-13".to_string(),
            Shape::Fact(Type::DateTime) => "as 2026-10-13T10:05".to_string(),
            Shape::Fact(Type::Text) => "in your own words".to_string(),
        }
    }
}
