//! Whether one rule finds at least what another finds.
//!
//! Contract: *tighter* is proved, by the form of the conditions or by trying every combination of what the two
//! rules can tell apart; *looser* comes with facts of a survey that show it; all else is open, which no caller
//! may take for tighter.

use crate::mutants::{Combination, Of, each_combination};
use crate::pack::{Pack, Rule};
use std::ops::ControlFlow;
use wetside_base::finding::{Outcome, Stage};
use wetside_base::vocabulary::Vocabulary;
use wetside_lang::ast::{Comparison, WhenEmpty};
use wetside_lang::node::{Each, Node};
use wetside_units::{Exact, Interval};

/// What the newer of two rules is beside the older.
pub(crate) enum Compared {
    Tighter,
    /// With what shows it, as the end of a sentence.
    Looser(String),
    Open,
}

/// Whether a change of this name made nothing of a rule but what it was.
pub(super) fn is_idle(
    change: &str,
    pack: &Pack,
    old: &Rule,
    new: &Rule,
    vocabulary: &Vocabulary,
) -> bool {
    match change {
        "reword" => format!("{:?}", new.words) == format!("{:?}", old.words),
        // It finds no more than the older, if that finds all that it finds.
        "tighten" => matches!(
            compare((pack, new), (pack, old), vocabulary),
            Compared::Tighter
        ),
        _ => false,
    }
}

/// What a newer rule is beside an older one, each with its pack.
pub(crate) fn compare(older: Of<'_>, newer: Of<'_>, vocabulary: &Vocabulary) -> Compared {
    let ((old_pack, old), (pack, new)) = (older, newer);
    if new.class > old.class {
        return Compared::Looser(format!("it would be of class {} only", new.class));
    }
    if new.stage > old.stage {
        return Compared::Looser(format!("it would be due only by {}", new.stage));
    }
    let last = |rule: &Rule| rule.until.unwrap_or(Stage::Upkeep);
    if last(new) < last(old) {
        return Compared::Looser(format!("past {} it would be advice only", last(new)));
    }
    if !breaks_when_empty(old, new) {
        return Compared::Open;
    }
    if same_tables(old_pack, pack, old) && by_form(old, new) {
        return Compared::Tighter;
    }
    let mut proved = true;
    let mut shown = None;
    let mut visit = |tried: Combination<'_, '_>| {
        let (old, new) = (tried.one, tried.other);
        let alike = old.len() == new.len();
        let mut pairs = old.iter().zip(new);
        let looser = pairs.any(|(old, new)| weight(new.outcome) < weight(old.outcome));
        if alike
            && looser
            && let Some(facts) = tried.told(vocabulary)
        {
            let broken = old.iter().any(|one| one.outcome == Outcome::Broken);
            let word = if broken {
                "breaks the rule"
            } else {
                "leaves the rule undecided"
            };
            let was = if broken { "break it" } else { "leave it so" };
            shown = Some(format!(
                "a survey with {facts} {word} today and would not {was} then"
            ));
            return ControlFlow::Break(());
        }
        let mut all = old.iter().chain(new);
        let decided = all.all(|judged| judged.outcome != Outcome::Undecided);
        proved &= alike && !looser && (tried.whole || decided);
        ControlFlow::Continue(())
    };
    let all = each_combination(older, newer, vocabulary, &mut visit);
    match (all, shown) {
        (_, Some(shown)) => Compared::Looser(shown),
        (Some(()), None) if proved => Compared::Tighter,
        _ => Compared::Open,
    }
}

/// How much an outcome finds.
pub(crate) fn weight(outcome: Outcome) -> u8 {
    match outcome {
        Outcome::Broken => 2,
        Outcome::Undecided => 1,
        Outcome::Met | Outcome::NotApplicable => 0,
    }
}

/// Whether the newer rule is broken by an empty list, if the older is; of two lists nothing can be said.
fn breaks_when_empty(old: &Rule, new: &Rule) -> bool {
    match (&old.selection, &new.selection) {
        (None, None) => true,
        (Some(old), Some(new)) => {
            let same = old.when_empty == new.when_empty;
            old.each.list == new.each.list && (same || new.when_empty == WhenEmpty::Broken)
        }
        _ => false,
    }
}

/// Whether the tables that a rule names are the same, and at the same places.
fn same_tables(old: &Pack, new: &Pack, rule: &Rule) -> bool {
    let stamp = |pack: &Pack, at: usize| {
        let name = pack.tables.get(at)?.named();
        Some((pack.stamp(&name)?.to_string(), name))
    };
    let mut read = rule.reads().tables.into_iter();
    read.all(|at| stamp(old, at) == stamp(new, at))
}

/// By the form of the conditions: it applies wherever the older does, and demands all that it demands.
fn by_form(old: &Rule, new: &Rule) -> bool {
    let selected = match (&old.selection, &new.selection) {
        (Some(old), Some(new)) => widens(&old.each, &new.each),
        _ => true,
    };
    let applies = match (&old.when, &new.when) {
        (_, None) => true,
        (None, Some(_)) => false,
        (Some(old), Some(new)) => implies(&old.node, &new.node),
    };
    selected && applies && implies(&new.must.node, &old.must.node)
}

/// Whether one list expression surely means all elements that another means.
fn widens(old: &Each, new: &Each) -> bool {
    let same = old.list == new.list && old.paired == new.paired;
    same && match (&old.filter, &new.filter) {
        (_, None) => true,
        (None, Some(_)) => false,
        (Some(old), Some(new)) => implies(old, new),
    }
}

fn same(a: &Node, b: &Node) -> bool {
    format!("{a:?}") == format!("{b:?}")
}

/// Whether one condition surely holds wherever another does.
fn implies(a: &Node, b: &Node) -> bool {
    match (a, b) {
        _ if same(a, b) => true,
        (_, Node::And(parts)) => parts.iter().all(|part| implies(a, part)),
        (Node::Or(parts), _) => parts.iter().all(|part| implies(part, b)),
        (Node::And(parts), _) if parts.iter().any(|part| implies(part, b)) => true,
        (_, Node::Or(parts)) if parts.iter().any(|part| implies(a, part)) => true,
        (Node::Not(a), Node::Not(b)) => implies(b, a),
        (Node::Listed(_, a), Node::Listed(_, b)) => implies(a, b),
        (Node::OneOf(a, few), Node::OneOf(b, many)) => {
            same(a, b) && few.iter().all(|word| many.contains(word))
        }
        (Node::Compare(how, a, limit), Node::Compare(other, b, wider)) if how == other => {
            let (low, high) = ((a, b), (limit, wider));
            match how {
                Comparison::Less | Comparison::AtMost => {
                    at_most(low.1, low.0) && at_most(high.0, high.1)
                }
                Comparison::More | Comparison::AtLeast => {
                    at_most(low.0, low.1) && at_most(high.1, high.0)
                }
                _ => false,
            }
        }
        (Node::Between(a, low, high), Node::Between(b, lower, higher)) => {
            same(a, b) && at_most(lower, low) && at_most(high, higher)
        }
        (Node::Every(each, empty, body), Node::Every(other, other_empty, wider)) => {
            empty == other_empty && widens(other, each) && implies(body, wider)
        }
        (Node::Some(each, body), Node::Some(other, wider)) => {
            widens(each, other) && implies(body, wider)
        }
        (Node::If(asked, yes, no), Node::If(other, wider, also)) => {
            same(asked, other) && implies(yes, wider) && implies(no, also)
        }
        _ => false,
    }
}

/// Whether a number is surely no more than another.
fn at_most(a: &Node, b: &Node) -> bool {
    let fixed = |node: &Node| -> Option<Exact> {
        let range: &Interval = match node {
            Node::Quantity(range) | Node::Limit(_, range) => range,
            _ => return None,
        };
        range.single()
    };
    match (fixed(a), fixed(b)) {
        (Some(a), Some(b)) => a <= b,
        _ => same(a, b),
    }
}
