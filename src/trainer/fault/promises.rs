//! What a fault says that it raises, and what a decoy says of itself.
//!
//! Contract: every rule named exists, every place is a field; a decoy explains itself and raises
//! nothing, every other fault raises something.

use super::draft::Draft;
use super::planned::{Family, FieldPath, Promise};
use super::written::WrittenFault;

pub(super) fn promises(draft: &mut Draft<'_>, written: &WrittenFault<'_>) -> Vec<Promise> {
    let mut promises = Vec::new();
    for item in written.raises.iter().flat_map(|raises| &raises.value) {
        let promise = &item.value;
        match (promise.rule, promise.at, promise.missing) {
            (Some(rule), Some(at), None) => {
                let rule = draft.rule(rule);
                promises.extend(draft.path(at).map(|at| Promise::Broken { rule, at }));
            }
            (None, None, Some(missing)) => {
                promises.extend(draft.path(missing).map(Promise::Missing));
            }
            _ => {
                let help = "write `rule` with `at`, or `missing`";
                draft.report("not-a-promise", item.span, "this promises no finding", help);
            }
        }
    }
    promises
}

pub(super) fn looks_like(
    draft: &mut Draft<'_>,
    written: &WrittenFault<'_>,
) -> Option<(String, FieldPath)> {
    let look = &written.looks_like.as_ref()?.value;
    let rule = draft.rule(look.rule);
    Some((rule, draft.path(look.at)?))
}

/// A decoy explains itself and raises nothing; every other fault raises something.
pub(super) fn hold_to_family(draft: &mut Draft<'_>, written: &WrittenFault<'_>) {
    let at = written.family.key.unwrap_or(written.family.span);
    let raises = written.raises.as_ref().and_then(|raises| raises.key);
    let looks_like = written.looks_like.as_ref().and_then(|look| look.key);
    let because = written.because.and_then(|because| because.key);
    match (written.family.value, raises) {
        (Family::Decoy, Some(raises)) => {
            let help = "leave `raises` out, or name another family";
            draft.report("decoy-raises", raises, "a decoy raises nothing", help);
        }
        (Family::Decoy, None) if looks_like.is_none() || because.is_none() => {
            let says = "this decoy does not say why it is right";
            let help =
                "write `looks_like` with the rule that a hasty reader would name, and `because`";
            draft.report("decoy-unexplained", at, says, help);
        }
        (Family::Decoy, None) => {}
        (_, None) => {
            let help = "write under `raises` what it must raise, and where";
            draft.report("nothing-raised", at, "this fault promises no finding", help);
        }
        (_, Some(_)) => {
            for key in [looks_like, because].into_iter().flatten() {
                let says = "only a decoy has this";
                draft.report("only-for-decoys", key, says, "leave it out");
            }
        }
    }
}
