//! Facts to figures: fills the group of the figures, once all that is recorded has been read.

use super::catalogue::{lists, table};
use super::view::View;
use super::wanted::Wanted;
use super::work;
use wetside_base::facts::Facts;
use wetside_base::vocabulary::Vocabulary;

/// Works out every figure and fills its fact. Nothing happens where the vocabulary has no figures.
pub fn derive(facts: &mut Facts, vocabulary: &Vocabulary) {
    derive_wanted(facts, vocabulary, &Wanted::everything());
}

/// The same for what is wanted; the rest stays as if nobody had recorded it.
pub fn derive_wanted(facts: &mut Facts, vocabulary: &Vocabulary, wanted: &Wanted) {
    if vocabulary.figures().is_none() {
        return;
    }
    for list in lists().filter(|list| wanted.has(list.name)) {
        let fields = list.fields.iter();
        let asked = fields.filter(|figure| wanted.has_of_elements(list.name, figure.name));
        (list.derive)(facts, vocabulary, &asked.collect::<Vec<_>>());
    }
    derive_of_survey(facts, vocabulary, wanted);
}

/// The figures of the survey alone, those of its lists as they are.
pub(crate) fn derive_of_survey(facts: &mut Facts, vocabulary: &Vocabulary, wanted: &Wanted) {
    for figure in table().filter(|figure| wanted.has(figure.name)) {
        let view = View { facts, vocabulary };
        let id = view.figure(figure.name);
        let (content, behind) = work::out(&view, Facts::ROOT, figure);
        facts.work_out(id, content, behind);
    }
}
