//! What there was to see of one target.

use super::marked::Lesson;
use super::reasoning::step;
use super::target::{Target, TargetKind};
use crate::survey::look::Look;
use crate::titles;

pub(super) fn lesson(target: &Target<'_>, look: &Look<'_>) -> Lesson {
    match &target.what {
        TargetKind::Broken { finding, on, .. } => {
            let first = (look.line_of(on.place), on.place_words.clone());
            let others = on
                .lines
                .iter()
                .map(|label| (look.line_of(label.span), label.words.clone()));
            let limits =
                titles::rule_named(look.packs, &finding.rule).map_or(Vec::new(), |(pack, rule)| {
                    let named = rule
                        .must
                        .reads()
                        .limits
                        .into_iter()
                        .map(|at| &pack.limits[at]);
                    named
                        .map(|limit| {
                            (
                                format!("{}: {}", limit.limit.written, limit.says),
                                limit.cited.everywhere(&pack.laws),
                            )
                        })
                        .collect()
                });
            Lesson {
                says: format!("{}: {}", finding.title, on.says),
                lines: std::iter::once(first).chain(others).collect(),
                limits,
                because: finding.because.clone(),
                source: Some(finding.source.clone()),
                step: step(target, look.packs),
            }
        }
        TargetKind::Missing { fact, waiting } => {
            let titles: Vec<String> = waiting
                .iter()
                .map(|finding| format!("`{}`", finding.title))
                .collect();
            let waits = if titles.is_empty() {
                "every survey of this sort asks for it".to_string()
            } else {
                let titles = titles.join(", ");
                format!("until it is known nobody can say whether this is so: {titles}")
            };
            let place = target.place.iter().map(|line| (*line, String::new()));
            Lesson {
                says: format!("`{fact}` is missing; {waits}"),
                lines: place.collect(),
                limits: Vec::new(),
                because: waiting
                    .first()
                    .map_or(String::new(), |finding| finding.because.clone()),
                source: waiting.first().map(|finding| finding.source.clone()),
                step: step(target, look.packs),
            }
        }
    }
}
