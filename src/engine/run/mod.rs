//! Rules and facts to outcomes and findings.
//!
//! Contract: one rule on one system, or on one element of it, has exactly one outcome, by the table
//! in [`Outcome::of`]. Where plain three-valued evaluation leaves the outcome or the guard undecided,
//! they are tried again in every cell of the facts that are read more than once. The order of rules,
//! keys and lists cannot be seen in the result, but for lists that a rule asks in their order. This module must not print, and must not know files.

mod doubt;
mod grounds;
mod judge;
mod order;
mod phases;
mod phrase;
mod questions;
mod scene;
mod tell;

pub use doubt::{Doubt, Doubts, judge_in_doubt};
pub(crate) use grounds::is_open;
pub use judge::{Judged, On, judge};
pub(crate) use phrase::{describe, fill, of_thing};
pub use phrase::{element_name, fact_name, fact_value};
pub(crate) use questions::{SURE, waiting};
pub use questions::{Waiting, questions};
pub(crate) use scene::scene_of_case;
pub use scene::{STAGE, fact_at, scene};

use crate::pack::{Pack, Piece, Rule};
use judge::judge_each;
use std::collections::BTreeSet;
use tell::{Described, Teller};
use wetside_base::finding::{Class, Counts, Departure, Finding, Outcome, Stage};
use wetside_base::source::{Source, Span};
use wetside_lang::eval::Scene;
use wetside_lang::node::Node;

/// What a rule orders where the job stands, whatever it found; nothing where its words are of one thing alone.
pub fn remedy(
    pack: &Pack,
    rule: &Rule,
    scene: Scene<'_>,
    source: &Source,
    stage: Stage,
) -> Option<String> {
    let texts = rule.words.remedy.iter().flat_map(|(_, text)| text);
    let of_all = |piece: &Piece| match piece {
        Piece::Text(_) => true,
        Piece::Blank(checked) => matches!(checked.node, Node::Limit(..)),
    };
    texts.into_iter().all(of_all).then(|| {
        let phases = &phases::possible(pack, scene, stage);
        let teller = Teller {
            pack,
            scene,
            source,
            stage,
            phases,
            described: &Described::default(),
        };
        teller.remedy(rule, &[])
    })
}

/// What all rules of the packs come to.
pub struct Run<'a> {
    /// Broken and undecided, due at the stage.
    pub findings: Vec<Finding>,
    /// Hazards and preparations that are broken already but due later.
    pub ahead: Vec<Finding>,
    pub counts: Counts,
    /// The outcomes that wait for something, for [`questions()`].
    pub waiting: Vec<Waiting<'a, 'a>>,
    /// The departures, and the places of those that something was departed by.
    pub departing: &'a [Departing],
    pub departed: BTreeSet<usize>,
    /// The rules that are undecided through doubt alone, each with the place of what is behind it.
    doubted: BTreeSet<(usize, &'a str)>,
}

/// A departure from a rule, on one thing or on the system as a whole.
pub struct Departing {
    pub rule: String,
    pub of: Option<String>,
    /// Whether it is accepted too that nobody knows.
    pub undecided: bool,
    /// Where it is written, in its own file.
    pub span: Span,
    pub told: Departure,
}

/// Judges every rule of the packs.
pub fn run<'a>(
    packs: &'a [Pack],
    source: &'a Source,
    scene: Scene<'a>,
    doubts: Doubts<'a>,
    stage: Stage,
    departing: &'a [Departing],
) -> Run<'a> {
    let mut run = Run {
        findings: Vec::new(),
        ahead: Vec::new(),
        counts: Counts::default(),
        waiting: Vec::new(),
        departing,
        departed: BTreeSet::new(),
        doubted: BTreeSet::new(),
    };
    let described = Described::default();
    for pack in packs {
        let with_tables = |scene| Scene {
            tables: &pack.tables,
            ..scene
        };
        let teller = Teller {
            pack,
            scene: with_tables(scene),
            source,
            stage,
            phases: &phases::possible(pack, scene, stage),
            described: &described,
        };
        let doubts = doubts.with(with_tables);
        for rule in &pack.rules {
            run.rule(rule, &teller, &doubts, stage);
        }
    }
    run.findings.sort_by(in_order);
    run.findings = order::arrange(run.findings, packs);
    run.ahead.sort_by(in_order);
    run
}

impl<'a> Run<'a> {
    /// Whether a rule is undecided through doubt alone.
    pub(crate) fn is_in_doubt(&self) -> bool {
        !self.doubted.is_empty()
    }

    /// The rules that are undecided through what is in doubt at that place.
    pub(crate) fn waiting_for(&self, place: usize) -> Vec<String> {
        let behind = self.doubted.iter().filter(|(behind, _)| *behind == place);
        behind.map(|(_, rule)| (*rule).to_string()).collect()
    }

    fn rule(&mut self, rule: &'a Rule, teller: &Teller<'a, '_>, doubts: &Doubts<'a>, stage: Stage) {
        let due = rule.stage <= stage;
        self.counts.later += usize::from(!due);
        // Nobody asks what becomes of advice that is not due.
        if !due && rule.class == Class::Advisory {
            return;
        }
        let (mut broken, mut undecided) = (Vec::new(), Vec::new());
        let mut take = |judged: Judged| {
            if due {
                self.counts.add(judged.outcome);
                let safe =
                    judged.outcome == Outcome::Met && rule.class_at(stage) != Class::Advisory;
                self.counts.met_that_block += usize::from(safe);
            }
            match judged.outcome {
                Outcome::Broken => broken.push(judged),
                Outcome::Undecided if due => undecided.push(judged),
                _ => {}
            }
        };
        match doubts.of(rule.class_at(stage)).filter(|_| due) {
            None => judge_each(rule, &teller.scene, &mut take),
            Some(doubt) => {
                let all = judge_in_doubt(rule, teller.scene, doubt.scene).into_iter();
                let (through_doubt, others): (Vec<_>, Vec<_>) =
                    all.partition(|one| one.through_doubt);
                others.into_iter().for_each(|one| take(one.judged));
                // Told once, with what is in doubt, and not rule by rule.
                for one in through_doubt {
                    self.counts.add(one.judged.outcome);
                    let behind = doubt.behind(rule, &one.judged);
                    self.doubted.insert((behind, &rule.id));
                }
            }
        }
        for mut alike in [broken, undecided] {
            if due {
                self.depart(rule, teller, &mut alike);
            }
            if alike.is_empty() {
                continue;
            }
            let (finding, waiting) = teller.finding(rule, alike);
            // Nothing waits for what is only worth knowing.
            if finding.class != Class::Advisory {
                self.waiting.extend(waiting);
            }
            if due {
                self.findings.push(finding);
            } else {
                self.ahead.push(finding);
            }
        }
    }

    /// Tells apart what somebody accepted; it waits for nothing.
    fn depart(&mut self, rule: &'a Rule, teller: &Teller<'a, '_>, alike: &mut Vec<Judged>) {
        for (at, one) in self.departing.iter().enumerate() {
            let meant = |judged: &Judged| {
                let name = judged.element.map(|one| element_name(teller.scene, one));
                let decided = one.undecided || judged.outcome == Outcome::Broken;
                one.rule == rule.id && name == one.of && decided
            };
            let (accepted, others) = std::mem::take(alike).into_iter().partition(meant);
            *alike = others;
            let accepted: Vec<Judged> = accepted;
            if !accepted.is_empty() {
                self.departed.insert(at);
                let (mut finding, _) = teller.finding(rule, accepted);
                finding.departure = Some(one.told.clone());
                self.findings.push(finding);
            }
        }
    }
}

/// By class, broken before undecided, then by place, rule and pack: nothing depends on the order in
/// which packs list their rules, nor on the order of packs.
fn in_order(a: &Finding, b: &Finding) -> std::cmp::Ordering {
    let key = |finding: &Finding| {
        (
            finding.class,
            finding.outcome != Outcome::Broken,
            finding.stage,
            finding.split().0.place,
        )
    };
    key(a)
        .cmp(&key(b))
        .then_with(|| a.rule.cmp(&b.rule))
        .then_with(|| a.pack.cmp(&b.pack))
}
