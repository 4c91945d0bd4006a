//! What the papers of one survey are made from.
//!
//! Contract: everything comes finished; here it is only looked up. This module must not know which paper it is for.

use super::page::said;
use super::read::View;
use super::survey::{self, Row, SELDOM};
use maud::{Markup, html};
use wetside_base::facts::Facts;
use wetside_base::finding::{Judgement, Verdict};
use wetside_base::source::{Source, Span};
use wetside_engine::figures::explain::Worked;
use wetside_engine::figures::tell::Told;
use wetside_engine::figures::view::Refused;
use wetside_engine::moved::Register;
use wetside_report::shown;

/// Everything that the papers are made from.
pub(crate) struct Job<'a> {
    pub source: &'a Source,
    pub view: View<'a>,
    pub judgement: &'a Judgement,
    /// The same survey judged for hand-back: what the papers wait for.
    pub at_hand_back: &'a Judgement,
    pub registers: &'a [Register],
    pub figures: &'a [Worked],
    pub told: &'a Result<Told, Refused>,
}

impl Job<'_> {
    /// Whether nothing that is due by hand-back stands in the way any more.
    pub(crate) fn is_complete(&self) -> bool {
        self.at_hand_back.verdict == Verdict::Clear
    }

    /// What the job goes by.
    pub(crate) fn reference(&self) -> String {
        let said = self.view.said(survey::REFERENCE);
        shown(said.value().unwrap_or("without a reference"), false)
    }

    /// A figure in words, or why it has none.
    pub(crate) fn figure(&self, name: &str) -> Result<&str, &str> {
        let found = self.figures.iter().find(|figure| figure.name == name);
        match found.map(|figure| &figure.value) {
            Some(Ok(value)) => Ok(value),
            Some(Err(why)) => Err(why),
            None => Err("it is not worked out"),
        }
    }

    /// Lines of the survey.
    pub(crate) fn lines(&self, places: impl IntoIterator<Item = Span>) -> String {
        wetside_report::lines(self.source, places).unwrap_or_default()
    }

    /// Rows with what the survey says, without those that are not asked of this system.
    pub(crate) fn rows(&self, all: &[Row]) -> Vec<(&'static str, Markup)> {
        let row = |(label, path): &Row| {
            let value = self.view.said_in(Facts::ROOT, path);
            let shown = value.recorded || value.asked && !SELDOM.contains(path);
            shown.then(|| (*label, said(&value)))
        };
        all.iter().filter_map(row).collect()
    }

    /// Said wherever a paper could be taken for a finished one.
    pub(crate) fn unfinished(&self) -> Markup {
        html! {
            @if !self.is_complete() {
                p.verdict.wait { strong { "Not finished" } br; "Something is still open before hand-over; the job sheet says what. This paper shows how far it is." }
            }
        }
    }
}
