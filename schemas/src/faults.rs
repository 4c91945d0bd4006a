//! From the validating library's errors to ours.
//!
//! Contract: the only file that calls the library. Each error becomes one [`Fault`]; an error of a
//! choice between shapes becomes the faults of the shape that the value was most likely meant for.

use std::sync::OnceLock;

use jsonschema::error::{TypeKind, ValidationErrorKind as Kind};
use jsonschema::{Draft, JsonType, Keyword, PatternOptions, Registry, ValidationError, Validator};
use serde_json::{Value, json};

use crate::Which;
use crate::plain::{Plain, Plainly};

/// One place where a value does not fit its schema.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fault {
    /// Where in the value, as a JSON Pointer; empty for the whole. Of a key that is not allowed or
    /// is missing it is the place of the mapping.
    pub pointer: String,
    /// What is wrong there.
    pub what: What,
    /// The keyword that was not met, as a JSON Pointer into the schema file.
    pub schema_pointer: String,
}

/// What is wrong.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum What {
    /// The mapping has keys that its schema does not name; `allowed` are those it does.
    NotAllowedKey {
        names: Vec<String>,
        allowed: Vec<String>,
    },
    /// The mapping lacks a key that it must have.
    MissingKey { name: String },
    /// A word, or a number, that is none of the choices.
    NotOneOf { allowed: Vec<String> },
    /// A value of another sort, such as a list where a text belongs.
    /// Of a mapping with the keys that it must have.
    WrongType {
        expected: Vec<Sort>,
        keys: Vec<String>,
    },
    /// A text that has not the form of what belongs there; `hint` is the schema's own sentence.
    Pattern { hint: Option<String> },
    /// A set that says the same twice.
    Repeated,
    /// Too few elements, keys or letters: at least so many belong there.
    TooFew { least: u64 },
    /// A key whose own form is wrong, such as the name of a limit.
    BadKey { name: String, hint: Option<String> },
    /// Any other keyword; the schemas of this crate have none today.
    Other { keyword: String },
}

/// The sorts of values that a document can hold.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Sort {
    Text,
    Number,
    WholeNumber,
    List,
    Mapping,
    Truth,
    Nothing,
}

impl Fault {
    /// Whether all it says is that a survey has no edition, which a fragment need not have.
    pub(crate) fn is_missing_edition(&self) -> bool {
        self.pointer.is_empty()
            && matches!(&self.what, What::MissingKey { name } if name == "survey")
    }
}

/// The compiled schema of one kind of file, made at the first call of the run.
pub(crate) fn validator(which: Which) -> &'static Validator<Plainly> {
    static COMPILED: [OnceLock<Validator<Plainly>>; 14] = [const { OnceLock::new() }; 14];
    COMPILED[which.place()].get_or_init(|| {
        compile(which, &which.read())
            .expect("the schema files are tested to be sound and to refer only to themselves")
    })
}

/// Compiles a schema of ours, which the tests have held against the meta-schema already.
///
/// The library checks every root it compiles against the root's meta-schema, which takes longer than
/// the compiling. So the root here is a mere reference, in a draft whose meta-schema is small, and the
/// schema itself is a document of the registry, which is trusted.
fn compile(which: Which, schema: &Value) -> Result<Validator<Plainly>, ValidationError<'static>> {
    let name = schema["$id"].as_str().unwrap_or("urn:wetside");
    let registry = Registry::new().add(name, schema)?.prepare()?;
    let mut options = jsonschema::options_for::<Plainly>()
        .offline()
        .with_draft(Draft::Draft6)
        .with_pattern_options(PatternOptions::regex())
        .with_registry(&registry);
    if which.place() == Which::Survey.place() {
        options = options.with_keyword("pattern", |_, _, _| Ok(Box::new(ForEditorsOnly)));
    }
    options.build(&json!({"$ref": name}))
}

/// The patterns of the survey's schema help an editor; here the reader of quantities and dates
/// judges the texts, since it can say what is wrong with them.
struct ForEditorsOnly;

impl<'i> Keyword<'i, Plainly> for ForEditorsOnly {
    fn validate(&self, _: &'i Plain<'i>) -> Result<(), ValidationError<'i>> {
        Ok(())
    }

    fn is_valid(&self, _: &'i Plain<'i>) -> bool {
        true
    }
}

/// Every fault of a value.
pub(crate) fn find(which: Which, value: &Plain<'_>) -> Vec<Fault> {
    let mut found = Vec::new();
    for error in validator(which).iter_errors(value) {
        tell(which.schema(), &error, &mut found);
    }
    found
}

/// Adds the faults that one error stands for.
fn tell(schema: &Value, error: &ValidationError, found: &mut Vec<Fault>) {
    if let Kind::AnyOf { context } = error.kind() {
        let words = context.iter().map(|branch| match branch.as_slice() {
            [only] if only.instance_path() == error.instance_path() => match only.kind() {
                Kind::Enum { options } => options.as_array(),
                _ => None,
            },
            _ => None,
        });
        // Words in several lists are one choice.
        if let Some(words) = words.collect::<Option<Vec<_>>>() {
            let allowed = words.into_iter().flatten().map(word).collect();
            found.push(Fault {
                pointer: error.instance_path().to_string(),
                what: What::NotOneOf { allowed },
                schema_pointer: error.schema_path().to_string(),
            });
            return;
        }
        let meant = context
            .iter()
            .min_by_key(|branch| unlikeness(branch, error));
        for inner in meant.into_iter().flatten() {
            tell(schema, inner, found);
        }
        return;
    }
    found.push(Fault {
        pointer: error.instance_path().to_string(),
        what: what(schema, error),
        schema_pointer: error.schema_path().to_string(),
    });
}

/// How unlikely it is that the value was meant for this shape; the first of the least unlikely wins.
fn unlikeness(branch: &[ValidationError], choice: &ValidationError) -> u8 {
    let here = |error: &&ValidationError| error.instance_path() == choice.instance_path();
    branch
        .iter()
        .filter(here)
        .map(|error| match error.kind() {
            // A mapping that does not even hold the key this shape is known by.
            Kind::Required { .. } => 3,
            Kind::Type { .. } | Kind::Constant { .. } => 2,
            Kind::Enum { .. } | Kind::Pattern { .. } | Kind::AnyOf { .. } => 1,
            _ => 0,
        })
        .max()
        .unwrap_or(0)
}

fn what(schema: &Value, error: &ValidationError) -> What {
    match error.kind() {
        Kind::AdditionalProperties { unexpected } => What::NotAllowedKey {
            names: unexpected.clone(),
            allowed: allowed_keys(schema, error),
        },
        Kind::Required { property } => What::MissingKey {
            name: word(property),
        },
        Kind::Enum { options } => What::NotOneOf {
            allowed: options.as_array().into_iter().flatten().map(word).collect(),
        },
        Kind::Constant { expected_value } => What::NotOneOf {
            allowed: vec![word(expected_value)],
        },
        Kind::Type { kind } => What::WrongType {
            expected: sorts(kind),
            keys: required_keys(schema, error),
        },
        Kind::Pattern { .. } => What::Pattern {
            hint: hint(schema, error),
        },
        Kind::UniqueItems => What::Repeated,
        Kind::MinItems { limit } | Kind::MinProperties { limit } | Kind::MinLength { limit } => {
            What::TooFew { least: *limit }
        }
        Kind::PropertyNames { error: inner } => What::BadKey {
            name: word(inner.instance()),
            hint: hint(schema, inner),
        },
        other => What::Other {
            keyword: other.keyword().to_owned(),
        },
    }
}

/// A word of the schema, or a number as the schema writes it.
fn word(value: &Value) -> String {
    value
        .as_str()
        .map_or_else(|| value.to_string(), str::to_owned)
}

/// The keys that the mapping's schema names.
fn allowed_keys(schema: &Value, error: &ValidationError) -> Vec<String> {
    beside(schema, error)
        .and_then(|parent| parent.get("properties"))
        .and_then(Value::as_object)
        .map(|keys| keys.keys().cloned().collect())
        .unwrap_or_default()
}

/// The keys that the mapping's schema asks for.
fn required_keys(schema: &Value, error: &ValidationError) -> Vec<String> {
    let required = beside(schema, error).and_then(|parent| parent.get("required"));
    let keys = required.and_then(Value::as_array);
    keys.into_iter().flatten().map(word).collect()
}

/// The sentence that the schema keeps for a text of the wrong form.
fn hint(schema: &Value, error: &ValidationError) -> Option<String> {
    beside(schema, error)?.get("patternErrorMessage").map(word)
}

/// The part of the schema that holds the keyword of the error.
fn beside<'s>(schema: &'s Value, error: &ValidationError) -> Option<&'s Value> {
    let path = error.schema_path().to_string();
    let (parent, _) = path.rsplit_once('/')?;
    schema.pointer(parent)
}

fn sorts(kind: &TypeKind) -> Vec<Sort> {
    let sort = |kind: JsonType| match kind {
        JsonType::String => Sort::Text,
        JsonType::Number => Sort::Number,
        JsonType::Integer => Sort::WholeNumber,
        JsonType::Array => Sort::List,
        JsonType::Object => Sort::Mapping,
        JsonType::Boolean => Sort::Truth,
        JsonType::Null => Sort::Nothing,
    };
    let mut sorts: Vec<Sort> = match kind {
        TypeKind::Single(kind) => vec![sort(*kind)],
        TypeKind::Multiple(kinds) => kinds.iter().map(sort).collect(),
    };
    sorts.sort_unstable();
    sorts
}
