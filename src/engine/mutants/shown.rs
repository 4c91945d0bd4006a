//! Which outcomes of each part of a rule's conditions its cases show: holds, does not hold, cannot be told.
//!
//! Contract: a part is a condition that is made of no other, or one over a list. Under a list expression it is
//! asked of every element that is meant, and in what a rule demands only where the rule applies.

use super::change::head_mut;
use super::{Bench, KEYS, Staged, texts};
use crate::cases::worst;
use crate::pack::{Pack, Rule};
use crate::run::judge;
use wetside_base::finding::Outcome;
use wetside_base::source::Span;
use wetside_base::vocabulary::Vocabulary;
use wetside_lang::ast::{Each, Expr, Form};
use wetside_lang::check;
use wetside_lang::eval::truth;
use wetside_lang::node::Node;
use wetside_lang::parse::parse_each;
use wetside_units::truth::Truth;

/// A part of a condition of which the cases do not show all outcomes.
pub struct Unshown {
    pub key: &'static str,
    /// The part as it is written.
    pub part: String,
    pub lacks: Vec<Truth>,
}

/// What the cases of a rule show of the parts of its conditions.
#[derive(Default)]
pub struct Shown {
    pub outcomes: usize,
    pub unshown: Vec<Unshown>,
}

/// Asks every part of a rule's conditions of all of its cases.
pub fn shown(pack: &Pack, rule: &Rule, vocabulary: &Vocabulary) -> Shown {
    let bench = Bench::of((pack, rule), vocabulary);
    let root = wetside_document::read(&rule.source()).root;
    let texts = texts(&root);
    let over = texts[0].map(|text| parse_each(text).0);
    let staged = bench.staged();
    let mut shown = Shown::default();
    for (at, expr) in bench.exprs().iter().enumerate() {
        let (Some(expr), Some(text)) = (expr, texts[at]) else {
            continue;
        };
        let mut parts = Vec::new();
        // What stands in `for_each` has its list in itself.
        let around: Vec<Each> = over.iter().filter(|_| at > 0).cloned().collect();
        collect(expr, &around, &mut parts);
        parts.retain(|part| part.expr.span != expr.span || at > 0);
        for part in parts {
            let demanded = KEYS[at] == "must";
            let Some(lacks) = bench.lacks(&part, &staged, demanded) else {
                continue;
            };
            shown.outcomes += 3;
            if !lacks.is_empty() {
                let part = text.get(part.expr.span.range()).unwrap_or_default();
                shown.unshown.push(Unshown {
                    key: KEYS[at],
                    part: part.split_whitespace().collect::<Vec<_>>().join(" "),
                    lacks,
                });
            }
        }
    }
    shown
}

/// A part with the lists around it, the outermost first.
struct Part {
    expr: Expr,
    around: Vec<Each>,
}

fn collect(expr: &Expr, around: &[Each], parts: &mut Vec<Part>) {
    let is_part = matches!(
        expr.form,
        Form::Compare(..)
            | Form::Between(..)
            | Form::OneOf(..)
            | Form::Includes(..)
            | Form::Holds(..)
            | Form::Empty(_)
            | Form::Every(..)
            | Form::Some(..)
    );
    if is_part {
        parts.push(Part {
            expr: expr.clone(),
            around: around.to_vec(),
        });
    }
    let mut form = expr.form.clone();
    let Some(each) = head_mut(&mut form) else {
        for (_, part) in super::change::parts(&mut form) {
            collect(part, around, parts);
        }
        return;
    };
    let unfiltered = Each {
        filter: None,
        ..each.clone()
    };
    if let Some(filter) = &each.filter {
        collect(filter, &[around, &[unfiltered]].concat(), parts);
    }
    if let Form::Every(_, _, body) | Form::Some(_, body) = &expr.form {
        collect(
            body,
            &[around, std::slice::from_ref(&*each)].concat(),
            parts,
        );
    }
}

impl Bench<'_> {
    /// The outcomes that no case shows; nothing where the part cannot be asked alone.
    fn lacks(&self, part: &Part, staged: &[Staged], demanded: bool) -> Option<Vec<Truth>> {
        let holds = self.asked(part.expr.clone(), &part.around)?;
        let form = Form::Not(Box::new(part.expr.clone()));
        let span = part.expr.span;
        let fails = self.asked(Expr { span, form }, &part.around)?;
        let mut lacks = vec![Truth::Yes, Truth::No, Truth::Undecided];
        for Staged { case, facts, .. } in staged {
            let scene = self.scene(facts, case.as_of);
            let judged = judge(self.rule, scene);
            if demanded && worst(&judged) == Outcome::NotApplicable {
                continue;
            }
            let ask = |node| truth(node, &scene, &[], &[]);
            let (holds, fails) = (ask(&holds), ask(&fails));
            let open = holds == Truth::Undecided || fails == Truth::Undecided;
            lacks.retain(|lack| match lack {
                Truth::Yes => holds != Truth::Yes,
                Truth::No => fails != Truth::Yes,
                Truth::Undecided => !open,
            });
        }
        Some(lacks)
    }

    /// Whether something holds of some element of the lists around it.
    fn asked(&self, expr: Expr, around: &[Each]) -> Option<Node> {
        let over = |expr: Expr, each: &Each| Expr {
            span: Span::default(),
            form: Form::Some(each.clone(), Box::new(expr)),
        };
        let whole = around.iter().rev().fold(expr, over);
        let (checked, problems) = check::condition(&whole, self.names(), &[]);
        problems.is_empty().then_some(checked.node)
    }
}
