//! Two rules beside each other: whether they say the same, and whether anybody can obey both.

use super::found::{Found, key};
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

/// The fields that a rule demands something of.
fn fields(rule: &Rule) -> BTreeSet<FieldId> {
    let mut reads = Reads::default();
    rule.must.node.note(&mut reads);
    reads.fields.into_iter().collect()
}

/// Whether two rules order something of the very same facts, and neither is said to go before the other.
fn order_the_same(rule: &Rule, other: &Rule) -> bool {
    let orders = |rule: &Rule| rule.class != Class::Advisory;
    let linked = |a: &Rule, b: &Rule| a.explains(b) || a.comes_before(b);
    let alone = !linked(rule, other) && !linked(other, rule);
    orders(rule) && orders(other) && alone && fields(rule) == fields(other)
}

fn beside(pack: &Pack, rule: &Rule, other: &Rule, vocabulary: &Vocabulary, found: &mut Found) {
    let empty = |rule: &Rule| rule.selection.as_ref().map(|one| one.when_empty);
    let (mut alike, mut obeyed, mut known) = (empty(rule) == empty(other), false, true);
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
            let apply = !both.contains(&Outcome::NotApplicable);
            if apply && both.contains(&Outcome::Broken) && clash.is_none() {
                clash = tried.told(vocabulary);
            }
        }
        if !known || obeyed && !alike {
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
    let name = &other.id;
    if alike && rule.class == other.class && rule.stage == other.stage {
        let says = format!("`{name}` says the same: the two come out alike on every survey");
        let help = "take one of the two out; each fault would be told twice";
        found
            .told
            .push(Problem::new("rule-twice", key(rule, "must"), says, help));
    } else if let Some(clash) = clash.filter(|_| !obeyed && order_the_same(rule, other)) {
        let says = format!(
            "nobody can obey this rule and `{name}` together: with {clash} one of them is broken, and so with every other answer"
        );
        let help = "mend the demand of one, say in its `when` where it is not wanted, or let one come before the other";
        found.told.push(Problem::new(
            "cannot-obey-both",
            key(rule, "must"),
            says,
            help,
        ));
    }
}
