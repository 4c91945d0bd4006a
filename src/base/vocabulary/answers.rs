//! What may be written where a field is asked, in a few words.

use super::{Field, FieldId, Shape, Type, Vocabulary, WordId};

impl Vocabulary {
    /// The words of a field, or the unit of its measure; nothing for a group, which has fields instead.
    pub fn answers(&self, id: FieldId) -> String {
        self.answers_in(self.field(id), str::to_string)
    }

    /// The same with each word written in some way.
    pub fn answers_in(&self, field: &Field, write: impl Fn(&str) -> String) -> String {
        let words = |ids: &[WordId], between: &str| {
            let words: Vec<String> = ids.iter().map(|id| write(self.word(*id))).collect();
            words.join(between)
        };
        let kind = match &field.shape {
            Shape::Group { .. } => return String::new(),
            Shape::List { .. } => return "how many there are, and each of them".to_string(),
            Shape::Fact(kind) => kind,
        };
        match kind {
            Type::Choice(choice) => words(choice, " | "),
            Type::Set(choice) => format!("any of [{}]", words(choice, ", ")),
            Type::Quantity { kind, .. } if kind.name() == "year" => "a year".to_string(),
            Type::Quantity { usual_unit, .. } => match usual_unit.as_str() {
                "" => "a number".to_string(),
                unit if unit.starts_with("per ") => format!("as 2 {unit}"),
                unit => format!("in {unit}"),
            },
            Type::Date => "as 2026-10-13".to_string(),
            Type::DateTime => "as 2026-10-13T10:05".to_string(),
            Type::Text if field.name == "id" => "a short name of your own".to_string(),
            Type::Text => "in your own words".to_string(),
        }
    }
}
