//! Something wrong in a *file*, a survey or a pack, as opposed to in the heating system.
//!
//! Contract: a problem is data: a place, the words of its message and what to do. It holds no
//! colour and no layout, and it never ends the reading of a file: every reader returns what it
//! understood together with the problems it met. A problem knows how far it reaches: what else is
//! wrong there follows from it, and is counted instead of told.

use crate::source::Span;
use std::cmp::Reverse;
use std::collections::HashMap;

/// How many problems of one text are told.
pub const MOST_TOLD: usize = 100;
/// The kind of the problem that stands for all that are not told.
const MORE: &str = "more-problems";
/// How many other places one problem speaks of.
const MOST_LABELS: usize = 8;

/// One thing wrong in a file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Problem {
    /// What sort of problem, in plain words joined by hyphens, such as `unknown-key`. Stable:
    /// tests and machine-readable output name problems by it.
    pub kind: &'static str,
    /// Where it is. Never a whole block: a key, a value, or the part of a value that is wrong.
    pub span: Span,
    /// What is wrong here, in the writer's own words: one lower-case sentence without a full stop.
    pub says: String,
    /// What was expected and what to do.
    pub help: String,
    /// Other places that the message speaks of.
    pub also: Vec<Label>,
    /// The stretch of text in which whatever else is wrong follows from this, if it reaches further.
    pub reach: Option<Span>,
    /// How many more are not told: those that follow from this, or that this stands for.
    pub others: usize,
}

/// A place with a few words about it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Label {
    pub span: Span,
    pub words: String,
}

impl Problem {
    pub fn new(
        kind: &'static str,
        span: Span,
        says: impl Into<String>,
        help: impl Into<String>,
    ) -> Problem {
        Problem {
            kind,
            span,
            says: says.into(),
            help: help.into(),
            also: Vec::new(),
            reach: None,
            others: 0,
        }
    }

    /// The same problem, speaking of one more place; of no more places than anyone looks at.
    #[must_use]
    pub fn with(mut self, span: Span, words: impl Into<String>) -> Problem {
        if self.also.len() < MOST_LABELS {
            let words = words.into();
            self.also.push(Label { span, words });
        }
        self
    }

    /// The same problem as the cause of whatever else is wrong in a stretch of text.
    #[must_use]
    pub fn reaching(mut self, stretch: Span) -> Problem {
        self.reach = Some(self.span.to(stretch));
        self
    }
}

/// The problems of one text as they are told, by place: without those that follow from another, which
/// are counted with their cause, and no more than [`MOST_TOLD`], the rest counted by the last.
pub fn told(mut problems: Vec<Problem>) -> Vec<Problem> {
    problems.sort_by_key(|one| (one.span, one.kind));
    let followers = fold(&mut problems);
    for (cause, count) in problems.iter_mut().zip(followers) {
        if count > 0 {
            cause.others += count;
            let follow = if count == 1 {
                "problem follows"
            } else {
                "problems follow"
            };
            cause.help += &format!("; {count} more {follow} from this");
        }
    }
    let untold: usize = problems
        .iter()
        .filter(|one| one.kind == MORE)
        .map(|one| one.others)
        .sum();
    problems.retain(|one| one.kind != MORE);
    let rest = problems.split_off(problems.len().min(MOST_TOLD));
    let others = untold + rest.len() + rest.iter().map(|one| one.others).sum::<usize>();
    let next = rest.first().or(problems.last()).map(|one| one.span);
    if let Some(span) = next.filter(|_| others > 0) {
        let says = format!("{others} more problems like these follow");
        let mut more = Problem::new(MORE, span, says, "mend those above and check again");
        more.others = others;
        problems.push(more);
    }
    problems
}

/// Takes out what follows from another problem; how many that were of each that stays.
fn fold(problems: &mut Vec<Problem>) -> Vec<usize> {
    let causes = problems
        .iter()
        .filter_map(|one| Some((one.reach?, one.span)));
    let mut stretches: Vec<(Span, Span)> = causes.collect();
    // Of two that reach over each other the wider is the cause.
    stretches.sort_by_key(|(reach, span)| (reach.start, Reverse(reach.end), *span));
    let mut widest: Vec<(Span, Span)> = Vec::new();
    for (reach, span) in stretches {
        if widest
            .last()
            .is_none_or(|(last, _)| last.to(reach) != *last)
        {
            widest.push((reach, span));
        }
    }
    let cause_of = |span: Span| {
        let after = widest.partition_point(|(reach, _)| reach.start <= span.start);
        let cause = widest[..after].last().copied();
        cause.filter(|(reach, own)| reach.to(span) == *reach && *own != span)
    };
    let mut counts: HashMap<Span, usize> = HashMap::new();
    problems.retain(|one| match cause_of(one.span) {
        Some((_, cause)) => {
            *counts.entry(cause).or_default() += 1 + one.others;
            false
        }
        None => true,
    });
    problems
        .iter()
        .map(|one| counts.remove(&one.span).unwrap_or(0))
        .collect()
}
