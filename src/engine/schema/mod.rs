//! The survey's schema: the words that it defines, and whether a document has its shape.
//!
//! Contract: the JSON Schema file is the single place where a field is named, typed and explained;
//! [`vocabulary`] reads it, nothing repeats it. A survey is well shaped or not, whatever the pack:
//! this module must not know rules.

pub mod check;

use serde_json::{Map, Value as Json};
use wetside_base::vocabulary::{Plan, PlanShape, Tier, Type, Vocabulary};
use wetside_schemas::Which;
use wetside_units::{End, Interval, Kind, Quantity};

/// The vocabulary of the survey, read from its schema.
///
/// # Panics
/// When the schema holds what this reader does not know. The schema is part of the program, and a
/// test reads it, so no user meets this.
pub fn vocabulary() -> Vocabulary {
    Vocabulary::new(fields())
}

/// The fields of the survey in the order of its schema.
///
/// # Panics
/// As [`vocabulary`].
pub fn fields() -> Vec<Plan> {
    let schema = Which::Survey.read();
    let loader = Loader {
        shared: schema["$defs"]
            .as_object()
            .expect("the schema has shared shapes"),
    };
    loader.fields(&schema)
}

struct Loader<'a> {
    shared: &'a Map<String, Json>,
}

impl<'a> Loader<'a> {
    fn fields(&self, group: &'a Json) -> Vec<Plan> {
        let properties = group["properties"].as_object().expect("a group has fields");
        properties
            .iter()
            .map(|(name, field)| self.plan(name, field))
            .collect()
    }

    fn plan(&self, name: &str, field: &'a Json) -> Plan {
        let shared = self.reference(field);
        // A field that is only a reference has its description and tier with the shared shape.
        let own = |key: &str| {
            field
                .get(key)
                .or_else(|| shared.and_then(|shared| shared.get(key)))
        };
        let text = |key: &str| own(key).and_then(Json::as_str);
        Plan {
            name: name.to_string(),
            says: text("description").unwrap_or_default().to_string(),
            tier: text("x-tier").map(tier),
            asked_when: text("x-asked-when").map(str::to_string),
            true_anyway: own("x-true-anyway").is_some(),
            also: also(field),
            place: text("x-place").map(str::to_string),
            stays: own("x-stays").is_some(),
            shape: self.shape(name, field),
        }
    }

    fn reference(&self, field: &'a Json) -> Option<&'a Json> {
        let name = field.get("$ref")?.as_str()?.strip_prefix("#/$defs/")?;
        Some(
            self.shared
                .get(name)
                .unwrap_or_else(|| panic!("no shared shape `{name}`")),
        )
    }

    fn shape(&self, name: &str, field: &'a Json) -> PlanShape {
        if field.get("x-list").is_some() {
            return PlanShape::List(self.fields(self.element(field)));
        }
        if field.get("properties").is_some() {
            return PlanShape::Group(self.fields(field));
        }
        if field.get("x-kind").is_some() {
            return quantity(name, field);
        }
        if field.get("x-set").is_some() {
            let list = &field["anyOf"][0];
            return match list.get("minItems") {
                None => PlanShape::Set(words(&list["items"])),
                Some(_) => PlanShape::FilledSet(words(&list["items"])),
            };
        }
        if let Some(only) = field.get("const") {
            return PlanShape::Choice(vec![only.to_string()]);
        }
        if field.get("anyOf").is_some() {
            return PlanShape::Choice(words(&field["anyOf"][0]));
        }
        match field.get("$ref").and_then(Json::as_str).unwrap_or_default() {
            "#/$defs/yes_no" => PlanShape::Choice(vec!["yes".to_string(), "no".to_string()]),
            "#/$defs/date" => PlanShape::Fact(Type::Date),
            "#/$defs/date_time" => PlanShape::Fact(Type::DateTime),
            "#/$defs/text" | "#/$defs/note" | "#/$defs/id" => PlanShape::Fact(Type::Text),
            other => panic!("the schema's field `{name}` has an unknown shape `{other}`"),
        }
    }

    /// The shape of a list's element, which stands under the bare form of the list.
    fn element(&self, list: &'a Json) -> &'a Json {
        let items = &list["anyOf"][0]["items"];
        self.reference(items).unwrap_or(items)
    }
}

fn tier(word: &str) -> Tier {
    match word {
        "minimum" => Tier::Minimum,
        "detail" => Tier::Detail,
        "record" => Tier::Record,
        other => panic!("`{other}` is not a tier"),
    }
}

/// Other words of the trade, each with the word of the choice that it stands for.
fn also(field: &Json) -> Vec<(String, String)> {
    let options = field["anyOf"].as_array().into_iter().flatten();
    let named = options.filter_map(|option| option.get("x-read-as")?.as_object());
    let pair = |(other, ours): (&String, &Json)| Some((other.clone(), ours.as_str()?.to_string()));
    // A word that the trade uses for several stands once with each of them.
    let several = |(other, ours): (&'_ String, &'_ Json)| match ours.as_array() {
        Some(several) => several
            .iter()
            .filter_map(|one| pair((other, one)))
            .collect(),
        None => pair((other, ours)).into_iter().collect::<Vec<_>>(),
    };
    named.flatten().flat_map(several).collect()
}

/// The words of a choice, without `unknown`, which every fact accepts.
fn words(choice: &Json) -> Vec<String> {
    let words = choice["enum"].as_array().expect("a choice has words");
    let words = words.iter().filter_map(Json::as_str);
    words
        .filter(|word| *word != "unknown")
        .map(str::to_string)
        .collect()
}

fn quantity(name: &str, field: &Json) -> PlanShape {
    let text = |key: &str| field.get(key).and_then(Json::as_str);
    let kind_name = text("x-kind").unwrap_or_default();
    let kind = Kind::named(kind_name)
        .unwrap_or_else(|| panic!("the field `{name}` has an unknown kind `{kind_name}`"));
    let limit = |key: &str| {
        let written = text(key)?;
        let parsed = Quantity::parse(written, kind);
        let parsed = parsed.unwrap_or_else(|fault| panic!("{key} of `{name}`: {}", fault.says));
        parsed.range.single()
    };
    let end = |key: &str| limit(key).map_or(End::Unbounded, End::Closed);
    let possible = Interval::new(end("x-least"), end("x-most"));
    PlanShape::Fact(Type::Quantity {
        kind,
        possible: possible.unwrap_or(Interval::EVERYTHING),
        usual_unit: text("x-usual-unit").unwrap_or_default().to_string(),
    })
}
