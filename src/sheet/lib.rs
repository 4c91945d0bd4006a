//! Papers made from a survey: the job sheet, the customer's page, the record of water treatment, the label.
//!
//! Contract: pages that stand alone: nothing from elsewhere, no script, the same bytes for the same survey. What
//! a survey says reaches a page as text and never as markup. Nothing is decided here: what stands in the way,
//! what is moved and what is worked out comes finished, and what is not known is said to be so. The papers are
//! complete exactly when the survey is clear for hand-back.
//!
//! In the order of use: [`survey`] (the fields that papers read, spelt there alone), `read` (their values), `given`
//! (everything that is shown), `scene` (what is drawn, with the findings that are), `draw` (the drawing), `job`,
//! `handed` (the papers), `page` (what all of them share).

mod branches;
mod draw;
mod given;
mod handed;
mod job;
mod page;
mod read;
mod scene;
mod steps;
pub mod survey;

use given::Job;
use read::View;
use wetside_base::finding::{Judgement, Stage};
use wetside_base::source::Source;
use wetside_engine::check::{self, Ask, Packs, check_with};
use wetside_engine::figures;
use wetside_engine::figures::tell::tell;

/// One paper: the name of its file, and its text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Paper {
    pub name: &'static str,
    pub text: String,
}

/// All papers of one survey, with the judgement that they show.
pub struct Papers {
    pub papers: Vec<Paper>,
    pub judgement: Judgement,
}

/// The papers of one survey, with the file of departures that lies beside it, if there is one.
pub fn papers(source: &Source, packs: &Packs, ask: &Ask, beside: Option<&Source>) -> Papers {
    let judgement = check_with(source, packs, ask, beside);
    let hand_back = Ask {
        stage: Some(Stage::HandBack),
        ..*ask
    };
    let at_hand_back = check_with(source, packs, &hand_back, beside);
    let (facts, _) = check::facts(source, &packs.vocabulary);
    let (registers, _) = check::registers(source, packs);
    let figures = figures::all(&facts, &packs.vocabulary);
    let told = tell(&facts, &packs.vocabulary);
    let job = Job {
        source,
        view: View::new(source, &facts, packs),
        judgement: &judgement,
        at_hand_back: &at_hand_back,
        registers: &registers,
        figures: &figures,
        told: &told,
    };
    let papers = [
        ("job.html", job::page(&job)),
        ("customer.html", handed::customer(&job)),
        ("water-record.html", handed::record(&job)),
        ("label.html", handed::label(&job)),
    ];
    let papers = papers.map(|(name, text)| Paper { name, text }).into();
    Papers { papers, judgement }
}
