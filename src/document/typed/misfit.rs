//! What does not fit, in our words and at its place.

use serde::de;
use std::fmt;
use wetside_base::problem::Problem;
use wetside_base::source::Span;
use wetside_base::suggest;

/// What does not fit, as serde carries it: a problem whose place is told by the innermost value that
/// knows it.
#[derive(Debug)]
pub(super) struct Misfit {
    pub(super) problem: Box<Problem>,
    placed: bool,
}

impl Misfit {
    pub(super) fn new(
        kind: &'static str,
        says: impl Into<String>,
        help: impl Into<String>,
    ) -> Misfit {
        Misfit {
            problem: Box::new(Problem::new(kind, Span::default(), says, help)),
            placed: false,
        }
    }

    pub(super) fn at(mut self, span: Span) -> Misfit {
        if !self.placed {
            self.problem.span = span;
            self.placed = true;
        }
        self
    }
}

impl fmt::Display for Misfit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.problem.says)
    }
}

impl std::error::Error for Misfit {}

impl de::Error for Misfit {
    fn custom<T: fmt::Display>(says: T) -> Misfit {
        let help = "see the description of this key in its schema";
        Misfit::new("does-not-fit", says.to_string(), help)
    }

    fn invalid_type(_: de::Unexpected<'_>, _: &dyn de::Expected) -> Misfit {
        Misfit::custom("this is not the sort of value that belongs here")
    }

    fn invalid_value(_: de::Unexpected<'_>, _: &dyn de::Expected) -> Misfit {
        Misfit::custom("this is not a value that belongs here")
    }

    fn unknown_variant(written: &str, words: &'static [&'static str]) -> Misfit {
        let says = format!("`{written}` is not one of the words for this");
        Misfit::new("not-a-choice", says, nearest_or_all(written, words))
    }

    fn unknown_field(written: &str, keys: &'static [&'static str]) -> Misfit {
        let says = format!("there is no `{written}` here");
        Misfit::new("unknown-key", says, nearest_or_all(written, keys))
    }

    fn missing_field(key: &'static str) -> Misfit {
        let says = format!("`{key}` is missing here");
        Misfit::new("key-missing", says, format!("add a line `{key}:`"))
    }
}

fn nearest_or_all(written: &str, offered: &'static [&'static str]) -> String {
    let all = format!("it can be {}", suggest::either(offered.iter().copied()));
    suggest::help(written, offered.iter().copied(), &all)
}
