//! All cases that stand in the files of one pack.
//!
//! Contract: of a layer its own rules, and what it changes in others; what it left alone was tried below.

use super::{Case, CaseRun, read_case, run, run_case, usual};
use crate::pack::{HeadFile, PACK_FILE, Pack, PackFiles, PackProblem};
use std::sync::Arc;
use wetside_base::finding::Outcome;
use wetside_base::problem::Problem;
use wetside_base::source::Source;
use wetside_base::vocabulary::Vocabulary;
use wetside_document::Node;

/// All cases that stand in the files of a pack: of its rules, of what is usual, and of what it changes in
/// others where it is a layer.
pub fn all(pack: &Pack, files: &PackFiles, vocabulary: &Vocabulary) -> CaseRun {
    let source = Arc::new(files.source(PACK_FILE));
    let root = wetside_document::read(&source).root;
    let name = root.get("pack").and_then(|name| name.value.as_text());
    let mut done = run(pack, name.unwrap_or_default(), vocabulary);
    let changes = of_changes(pack, &source, &root, vocabulary);
    for more in [usual::run(pack, files, vocabulary), changes] {
        done.cases += more.cases;
        done.passed += more.passed;
        done.problems.extend(more.problems);
    }
    done
}

/// The cases of the changes of a layer. What is tightened is shown by a case that is broken now.
fn of_changes(pack: &Pack, source: &Arc<Source>, root: &Node, vocabulary: &Vocabulary) -> CaseRun {
    let mut done = CaseRun::default();
    let head = wetside_document::typed::<HeadFile>(root).unwrap_or_default();
    for change in head.changes.iter().flatten() {
        let Some((key, name)) = change.value.target() else {
            continue;
        };
        let Some(rule) = pack.rule(&name.value) else {
            continue;
        };
        let mut problems = Vec::new();
        let written = change.value.cases.iter().flat_map(|cases| &cases.value);
        let cases: Vec<Case> = written
            .filter_map(|case| read_case(case, root, &mut problems))
            .collect();
        done.cases += cases.len();
        for case in &cases {
            match run_case(pack, rule, source, case, vocabulary) {
                Ok(()) => done.passed += 1,
                Err(wrong) => problems.extend(wrong),
            }
        }
        if key == "tighten"
            && problems.is_empty()
            && !cases.iter().any(|case| case.shows(Outcome::Broken))
        {
            let says = "no case shows what this rule now finds".to_string();
            let help = "add a case under `cases` that is broken by the new demand";
            problems.push(Problem::new("case-missing", name.span, says, help));
        }
        done.problems.extend(PackProblem::each(source, problems));
    }
    done
}
