//! The report for people: the verdict first, then everything that it rests on.
//!
//! Contract: no part is left out for being long; a part without content has no heading. The order is
//! that of use: may I start, is the file itself sound, what stands in the way, what is not known, what
//! comes later, how much was judged, the caution; and the verdict once more, with what to do first.

use super::pen::{Ink, Pen, number};
use super::{Style, Summary, finding, open, problems, verdict};
use wetside_base::finding::Judgement;
use wetside_base::source::Source;

pub use finding::cited;

/// The report on one survey.
pub fn survey(source: &Source, judgement: &Judgement, style: &Style) -> String {
    let mut pen = Pen::new(*style);
    verdict::head(&mut pen, source, judgement);
    problems::of_survey(&mut pen, source, &judgement.problems);
    problems::of_departures(&mut pen, judgement.beside.as_ref());
    finding::findings(&mut pen, source, &judgement.findings);
    open::gaps(&mut pen, source, judgement);
    open::questions(&mut pen, source, judgement);
    open::read_as(&mut pen, source, judgement);
    open::unlikely(&mut pen, source, judgement);
    open::ahead(&mut pen, source, &judgement.ahead);
    pen.heading("count", '.', Ink::Strong);
    verdict::count(&mut pen, judgement);
    verdict::foot(&mut pen, source, judgement);
    pen.finish()
}

/// How one survey is reported: [`survey`], or in short [`super::brief::survey`].
pub type Form = fn(&Source, &Judgement, &Style) -> String;

/// The reports on several surveys, one after the other, and one line for each at the end.
pub fn surveys(judged: &[(Source, Judgement)], form: Form, style: &Style) -> String {
    let mut pen = Pen::new(*style);
    for (source, judgement) in judged {
        if judged.len() > 1 {
            pen.title(&source.name, '#', Ink::Strong);
        }
        pen.add(&form(source, judgement, style));
        pen.gap();
    }
    if judged.len() > 1 {
        pen.heading(&number(judged.len(), "survey", "surveys"), '#', Ink::Strong);
        list(&mut pen, judged);
    }
    pen.finish()
}

/// One line for each survey, for those who read the reports elsewhere.
pub fn verdicts(judged: &[(Source, Judgement)], style: &Style) -> String {
    let mut pen = Pen::new(*style);
    list(&mut pen, judged);
    pen.finish()
}

fn list(pen: &mut Pen, judged: &[(Source, Judgement)]) {
    for (source, judgement) in judged {
        pen.entry(0, &source.name, &verdict::headline(judgement));
    }
    if judged.len() > 1 {
        let mut summary = Summary::default();
        judged.iter().for_each(|(_, one)| summary.add(one));
        summary.page(pen);
    }
}
