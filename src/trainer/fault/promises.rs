//! What a fault says that it raises, and what a decoy says of itself.
//!
//! Contract: every rule named exists, every place is a field; a decoy explains itself and raises
//! nothing, every other fault raises something.

use super::draft::FaultFile;
use super::planned::{Family, FieldPath, Promise};

impl FaultFile<'_> {
    pub(super) fn promises(&mut self) -> Vec<Promise> {
        let mut promises = Vec::new();
        for item in self.items("raises") {
            let get = |key: &str| item.get(key).map(|entry| entry.value.clone());
            match (get("rule"), get("at"), get("missing")) {
                (Some(rule), Some(at), None) => {
                    self.known_rule(&rule);
                    let rule = rule.as_text().unwrap_or_default().to_string();
                    promises.extend(self.path(&at).map(|at| Promise::Broken { rule, at }));
                }
                (None, None, Some(missing)) => {
                    promises.extend(self.path(&missing).map(Promise::Missing));
                }
                _ => {
                    let help = "write `rule` with `at`, or `missing`";
                    self.report("not-a-promise", item.span, "this promises no finding", help);
                }
            }
        }
        promises
    }

    pub(super) fn looks_like(&mut self) -> Option<(String, FieldPath)> {
        let node = self.root.get("looks_like")?.value.clone();
        let rule = node.get("rule")?.value.clone();
        self.known_rule(&rule);
        let at = self.path(&node.get("at")?.value)?;
        Some((rule.as_text()?.to_string(), at))
    }

    /// A decoy explains itself and raises nothing; every other fault raises something.
    pub(super) fn hold_to_family(&mut self, family: Option<Family>) {
        let Some(family) = family else { return };
        let span = |key: &str| self.root.get(key).map(|entry| entry.key.span);
        let at = span("family").unwrap_or_default();
        let only_decoys = [span("looks_like"), span("because")];
        match (family, span("raises")) {
            (Family::Decoy, Some(raises)) => {
                self.report(
                    "decoy-raises",
                    raises,
                    "a decoy raises nothing",
                    "leave `raises` out, or name another family",
                );
            }
            (Family::Decoy, None) if only_decoys.contains(&None) => {
                let help = "write `looks_like` with the rule that a hasty reader would name, and `because`";
                self.report(
                    "decoy-unexplained",
                    at,
                    "this decoy does not say why it is right",
                    help,
                );
            }
            (Family::Decoy, None) => {}
            (_, None) => {
                let help = "write under `raises` what it must raise, and where";
                self.report("nothing-raised", at, "this fault promises no finding", help);
            }
            (_, Some(_)) => {
                for key in only_decoys.into_iter().flatten() {
                    self.report(
                        "only-for-decoys",
                        key,
                        "only a decoy has this",
                        "leave it out",
                    );
                }
            }
        }
    }
}
