//! Two rules beside each other: whether they say the same, and whether anybody can obey both.

use super::rule::{Found, key};
use crate::mutants::each_combination;
use crate::pack::{Pack, Rule};
use std::collections::BTreeSet;
use std::ops::ControlFlow;
use wetside_base::finding::{Class, Outcome};
use wetside_base::problem::Problem;
use wetside_base::vocabulary::{FieldId, Vocabulary};
use wetside_lang::node::Reads;

pub(super) fn of(pack: &Pack, rule: &Rule, vocabulary: &Vocabulary) -> Found {
    let mut found = Found::default();
    let list = |rule: &Rule| rule.selection.as_ref().map(|one| one.each.list.field);
    let demanded = fields(rule);
    for other in &pack.rules {
        // Each pair once; a layer's rule beside every one of the pack below.
        let after = other.pack != rule.pack || other.path() > rule.path();
        let speaks_of_same = fields(other).iter().any(|field| demanded.contains(field));
        if after && list(rule) == list(other) && speaks_of_same {
            beside(pack, rule, other, vocabulary, &mut found);
        }
    }
    found
}

const TOLD_TWICE: &str = "take out the one that tells nothing of its own, or say in `explains` or `comes_before` how the two hang together";

/// The fields that a rule demands something of.
fn fields(rule: &Rule) -> BTreeSet<FieldId> {
    let mut reads = Reads::default();
    rule.must.node.note(&mut reads);
    reads.fields.into_iter().collect()
}

/// Whether two rules demand something of the very same facts, and neither is said to go before the other.
fn demand_of_the_same(rule: &Rule, other: &Rule) -> bool {
    let linked = |a: &Rule, b: &Rule| a.explains(b) || a.comes_before(b);
    !linked(rule, other) && !linked(other, rule) && fields(rule) == fields(other)
}

/// Whether a rule tells its faults as gravely, as early and as long as another.
fn as_grave(rule: &Rule, than: &Rule) -> bool {
    let long = match (rule.until, than.until) {
        (None, _) => true,
        (Some(last), Some(other)) => last >= other,
        (Some(_), None) => false,
    };
    rule.class <= than.class && rule.stage <= than.stage && long
}

fn beside(pack: &Pack, rule: &Rule, other: &Rule, vocabulary: &Vocabulary, found: &mut Found) {
    let empty = |rule: &Rule| rule.selection.as_ref().map(|one| one.when_empty);
    let (mut alike, mut obeyed, mut known) = (empty(rule) == empty(other), false, true);
    let of_the_same = demand_of_the_same(rule, other);
    let advice = [rule, other].iter().any(|one| one.class == Class::Advisory);
    // Of each whether the other may tell all that it finds, as far as was tried.
    let within = of_the_same && empty(rule) == empty(other);
    let mut told_by = [
        within && as_grave(other, rule),
        within && as_grave(rule, other),
    ];
    let mut clash = None;
    let mut tried_here = 0;
    let tried = each_combination((pack, rule), (pack, other), vocabulary, &mut |tried| {
        tried_here += 1;
        alike &= tried.one == tried.other;
        for (a, b) in tried.one.iter().zip(tried.other) {
            let pair = (a.outcome, b.outcome);
            known &= ![pair.0, pair.1].contains(&Outcome::Undecided);
            obeyed |= pair == (Outcome::Met, Outcome::Met);
            let both = [pair.0, pair.1];
            told_by[0] &= both[0] != Outcome::Broken || both[1] == Outcome::Broken;
            told_by[1] &= both[1] != Outcome::Broken || both[0] == Outcome::Broken;
            let apply = !both.contains(&Outcome::NotApplicable);
            if apply && both.contains(&Outcome::Broken) && clash.is_none() {
                clash = tried.told(vocabulary);
            }
        }
        if !known || obeyed && !alike && told_by == [false; 2] {
            ControlFlow::Break(())
        } else {
            ControlFlow::Continue(())
        }
    });
    found.tried += tried_here;
    if tried.is_none() || !known {
        found.open += 1;
        return;
    }
    let (name, must) = (&other.id, key(rule, "must"));
    let mut tell = |kind, says, help| found.told.push(Problem::new(kind, must, says, help));
    if alike && rule.class == other.class && rule.stage == other.stage {
        let says = format!("`{name}` says the same: the two come out alike on every survey");
        let help = "take one of the two out; each fault would be told twice";
        tell("rule-twice", says, help);
    } else if told_by[0] {
        let says = format!("whatever this rule finds, `{name}` finds too, as grave and as early");
        tell("told-by-another", says, TOLD_TWICE);
    } else if told_by[1] && rule.pack == other.pack {
        let says = format!("whatever `{name}` finds, this rule finds too, as grave and as early");
        tell("told-by-another", says, TOLD_TWICE);
    } else if let Some(clash) = clash.filter(|_| !obeyed && of_the_same && !advice) {
        let says = format!(
            "nobody can obey this rule and `{name}` together: with {clash} one of them is broken, and so with every other answer"
        );
        let help = "mend the demand of one, say in its `when` where it is not wanted, or let one come before the other";
        tell("cannot-obey-both", says, help);
    }
}
