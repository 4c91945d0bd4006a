//! The cases of what usually holds by a pack: small surveys, and whether the row holds or breaks.
//!
//! Contract: as for the cases of rules. A case that comes out otherwise is a problem at its own line.

use super::{CaseRun, each_of, facts_of, scene};
use crate::agreements::each_broken;
use crate::figures::Wanted;
use crate::pack::{AGREEMENTS, Agreement, AgreementsFile, CaseFile, Pack, PackFiles, PackProblem};
use std::sync::Arc;
use wetside_base::problem::Problem;
use wetside_base::source::Source;
use wetside_base::vocabulary::Vocabulary;
use wetside_document::Node;

/// Runs the cases of every row that the files of the pack hold.
pub fn run(pack: &Pack, files: &PackFiles, vocabulary: &Vocabulary) -> CaseRun {
    let mut done = CaseRun::default();
    let tables = files.files.iter();
    for (path, text) in tables.filter(|(path, _)| path.starts_with(AGREEMENTS)) {
        let source = Arc::new(Source::new(format!("{}/{path}", files.name), text.as_ref()));
        let root = wetside_document::read(&source).root;
        // A file that cannot be read has its problem already.
        let Ok(file) = wetside_document::typed::<AgreementsFile>(&root) else {
            continue;
        };
        for written in file.rows.into_iter().flatten() {
            let is_it = |row: &&Agreement| Some(&row.id) == written.id.as_ref().map(|id| &id.value);
            let Some(row) = pack.usual.iter().find(is_it) else {
                continue;
            };
            for case in written.cases.iter().flatten() {
                done.cases += 1;
                match tried(pack, row, &source, case, &root, vocabulary) {
                    None => done.passed += 1,
                    Some(problem) => done.problems.push(PackProblem {
                        source: source.clone(),
                        problem,
                    }),
                }
            }
        }
    }
    done
}

/// What is wrong with a case, if anything is.
fn tried(
    pack: &Pack,
    row: &Agreement,
    source: &Source,
    case: &CaseFile,
    root: &Node,
    vocabulary: &Vocabulary,
) -> Option<Problem> {
    let then = root.at(case.then.as_ref()?.span)?;
    let given = root.at(case.given.as_ref()?.span)?;
    let mut breaks = false;
    for given in each_of(given) {
        let (facts, problems) = facts_of(source, &given, vocabulary, &Wanted::everything());
        if let Some(problem) = problems.into_iter().next() {
            return Some(problem);
        }
        let scene = scene(pack, vocabulary, &facts, None);
        breaks |= each_broken(row, &scene).next().is_some();
    }
    let found = if breaks { "breaks" } else { "holds" };
    let asked = then.as_text()?;
    let says = format!(
        "the case says that `{}` {asked}, and here it {found}",
        row.id
    );
    let help = "mend the row or the case";
    (asked != found).then(|| Problem::new("case-differs", then.span, says, help))
}
