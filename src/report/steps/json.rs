//! The steps and the register for programs, as described by `steps.schema.json`.
//!
//! Contract: each object of the document is a struct with its keys in their order.

use crate::json::each;
use crate::layout::written;
use serde::Serialize;
use wetside_base::source::Source;
use wetside_engine::moved::{self, Register, Signature, Step, Thing, Told};
use wetside_units::truth::Truth;

/// The edition of the document.
const EDITION: u32 = 1;

/// The register of one survey, with the count of the file's problems.
pub fn document(source: &Source, register: &Register, problems: usize) -> String {
    written(&Document {
        steps: EDITION,
        survey: &source.name,
        problems,
        register: OfRegister {
            temporary: Count::new(register.temporary()),
            moved: Count::new(register.moved()),
            make_safe: each(&register.steps, |step| OfStep::new(source, register, step)),
        },
    })
}

#[derive(Serialize)]
struct Document<'a> {
    steps: u32,
    survey: &'a str,
    problems: usize,
    register: OfRegister<'a>,
}

#[derive(Serialize)]
struct OfRegister<'a> {
    temporary: Count,
    moved: Count,
    make_safe: Vec<OfStep<'a>>,
}

#[derive(Serialize)]
struct Count {
    moved: usize,
    back: usize,
    perhaps: usize,
}

impl Count {
    fn new(count: moved::Count) -> Count {
        Count {
            moved: count.moved,
            back: count.back,
            perhaps: count.perhaps,
        }
    }
}

#[derive(Serialize)]
struct OfStep<'a> {
    sort: &'a str,
    #[serde(rename = "do")]
    does: &'a str,
    undo: Option<&'a str>,
    after: Vec<&'a str>,
    open: bool,
    things: Vec<OfThing<'a>>,
}

impl<'a> OfStep<'a> {
    fn new(source: &Source, register: &'a Register, step: &'a Step) -> OfStep<'a> {
        OfStep {
            sort: &step.sort,
            does: &step.does,
            undo: Some(step.undo.as_str()).filter(|undo| !undo.is_empty()),
            after: each(&step.after, |at| register.steps[*at].sort.as_str()),
            open: step.open.is_some(),
            things: each(&step.things, |thing| OfThing::new(source, thing)),
        }
    }
}

#[derive(Serialize)]
struct OfThing<'a> {
    name: &'a str,
    line: usize,
    due: &'static str,
    is_set: &'static str,
    is_moved: &'static str,
    is_back: Option<&'static str>,
    is_fitted: &'static str,
    found: Option<&'a str>,
    set: Option<&'a str>,
    restored: Option<&'a str>,
    signed_set: Option<Signed<'a>>,
    signed_back: Option<Signed<'a>>,
}

impl<'a> OfThing<'a> {
    fn new(source: &Source, thing: &'a Thing) -> OfThing<'a> {
        let told = |told: &'a Option<Told>| told.as_ref()?.value.as_deref();
        let signed = |one: &'a Option<Signature>| one.as_ref().map(Signed::new);
        OfThing {
            name: &thing.name,
            line: source.line_of(thing.span.start),
            due: word(thing.due),
            is_set: word(thing.is_set),
            is_moved: word(thing.is_moved),
            is_back: thing.is_back.map(word),
            is_fitted: word(thing.is_fitted),
            found: told(&thing.found),
            set: told(&thing.set),
            restored: told(&thing.restored),
            signed_set: signed(&thing.signed_set),
            signed_back: signed(&thing.signed_back),
        }
    }
}

#[derive(Serialize)]
struct Signed<'a> {
    by: Option<&'a str>,
    at: Option<&'a str>,
}

impl<'a> Signed<'a> {
    fn new(signature: &'a Signature) -> Signed<'a> {
        Signed {
            by: signature.by.as_deref(),
            at: signature.at.as_deref(),
        }
    }
}

fn word(truth: Truth) -> &'static str {
    match truth {
        Truth::Yes => "yes",
        Truth::No => "no",
        Truth::Undecided => "undecided",
    }
}
