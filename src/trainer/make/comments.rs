//! Which comments of the clean survey an exercise keeps.
//!
//! Contract: a comment beside a changed value was written for the old one, and would tell that something
//! was changed, or what. So none of those stays, be the change a fault, a decoy or harmless. That a line
//! has no comment must not tell either: every exercise keeps half of the comments that the clean survey
//! has beside its values, and those that go beyond the changed lines are drawn. So the number of comments is
//! the same in each, unless more than half of them stand beside changes. This module must not know rules.

use crate::draw::Draw;
use crate::survey::look::Look;
use crate::survey::text;
use wetside_base::source::Span;
use wetside_edit::splice::{Sort, Splice};

/// The comments that go, each with the space before it, for the changes of one exercise.
pub(crate) fn dropped(changes: &[Splice], base: &Look, draw: &mut Draw) -> Vec<Splice> {
    let mut all: Vec<Span> = text::comments(&base.source, &base.root)
        .into_iter()
        .map(|comment| with_space(comment, &base.source.text))
        .collect();
    let kept = all.len() / 2;
    draw.shuffle(&mut all);
    let (beside, free): (Vec<Span>, Vec<Span>) = all.into_iter().partition(|comment| {
        changes
            .iter()
            .any(|change| is_beside(*comment, change, base))
    });
    let still_there = |comment: &Span| {
        !changes
            .iter()
            .any(|change| change.at.start <= comment.start && comment.end <= change.at.end)
    };
    let beside = beside.into_iter().filter(still_there);
    let mut dropped: Vec<Splice> = beside
        .chain(free.into_iter().skip(kept))
        .map(Splice::comment)
        .collect();
    dropped.sort();
    dropped
}

fn with_space(comment: Span, text: &str) -> Span {
    let before = &text[..comment.start as usize];
    Span::new(
        before.trim_end_matches([' ', '\t']).len(),
        comment.end as usize,
    )
}

/// Whether a comment stands on a line that a change touches.
fn is_beside(comment: Span, change: &Splice, base: &Look) -> bool {
    let at = change.at;
    // A new line of its own stands behind the line that has the comment.
    if change.sort == Sort::Added && change.text.contains('\n') {
        return false;
    }
    let last = at.end.saturating_sub(1).max(at.start);
    let lines = base.source.line_of(at.start)..=base.source.line_of(last);
    lines.contains(&base.source.line_of(comment.start))
}
