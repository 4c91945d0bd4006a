//! From one rule to another of its pack: that it explains it, or comes before it.
//!
//! A rule that comes before `everything` asks for what must be so before anything else is done.
//!
//! Contract: read as written; whether there is such a rule is not looked at here.

use serde::{Deserialize, Serialize};
use wetside_base::source::Span;
use wetside_document::Placed;

pub(super) const EVERYTHING: &str = "everything";

/// From one rule to another.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Link {
    pub rule: String,
    /// Whether it says why, as in `other-rule because …`.
    pub(super) argued: bool,
    pub(super) span: Span,
}

pub(super) fn read(written: Option<&Vec<Placed<String>>>) -> Vec<Link> {
    let link = |text: &Placed<String>| {
        let (rule, because) = text
            .value
            .split_once(" because ")
            .unwrap_or((&text.value, ""));
        Link {
            rule: rule.to_string(),
            argued: !because.trim().is_empty(),
            span: text.span,
        }
    };
    written.into_iter().flatten().map(link).collect()
}

/// Whether a way leads from one thing to another; each is looked at once.
pub(super) fn leads<T: Copy + PartialEq, I: IntoIterator<Item = T>>(
    from: T,
    to: T,
    next: impl Fn(T) -> I,
) -> bool {
    let mut seen = vec![from];
    let mut at = 0;
    while let Some(here) = seen.get(at).copied() {
        if here == to {
            return true;
        }
        at += 1;
        for one in next(here) {
            if !seen.contains(&one) {
                seen.push(one);
            }
        }
    }
    false
}
