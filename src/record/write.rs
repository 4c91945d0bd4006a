//! Changes to the text, one after another.

use crate::answer::Refused;
use crate::desk::{Desk, list_of};
use wetside_base::facts::Told;
use wetside_base::source::Source;
use wetside_base::vocabulary::{FieldId, Vocabulary};
use wetside_edit::{Answer, Place};
use wetside_engine::check;

/// A survey on its way to the next text.
pub(crate) struct Pages<'a> {
    vocabulary: &'a Vocabulary,
    pub source: Source,
}

impl<'a> Pages<'a> {
    pub(crate) fn new(desk: &Desk<'a>) -> Pages<'a> {
        Pages {
            vocabulary: desk.vocabulary(),
            source: desk.source.clone(),
        }
    }

    /// Writes a value at the place of a fact.
    pub(crate) fn set(&mut self, place: &Place, text: &str) -> Result<(), Refused> {
        self.put(place, &Answer::Text(text.to_string()))
    }

    pub(crate) fn put(&mut self, place: &Place, answer: &Answer) -> Result<(), Refused> {
        let edited = wetside_edit::set(&self.source, self.vocabulary, place, answer)?;
        self.source = edited.source;
        Ok(())
    }

    /// Adds a line to a list, and counts it where the list was whole.
    pub(crate) fn append(
        &mut self,
        list: FieldId,
        thing: &[(&str, String)],
    ) -> Result<(), Refused> {
        let (facts, _) = check::facts(&self.source, self.vocabulary);
        let fact = list_of(&facts, self.vocabulary, list);
        let place = Place::of(&facts, self.vocabulary, fact);
        let listed = facts.elements(fact).count();
        let extent = facts.extent(fact);
        let count = u32::try_from(listed).ok().filter(|listed| {
            extent.is_some_and(|one| {
                one.is_complete(*listed) && one.told == Told::Count || one.told == Told::NotRecorded
            })
        });
        let more = count.map(|count| (count + 1).to_string());
        let stands = extent.is_some_and(|one| one.told != Told::NotRecorded);
        let count_at = place.clone().key("count");
        // A list may be longer than what it names, and never shorter.
        if let Some(more) = more.as_deref().filter(|_| stands) {
            self.set(&count_at, more)?;
        }
        let thing: Vec<(&str, Answer)> = thing
            .iter()
            .map(|(name, text)| (*name, Answer::Text(text.clone())))
            .collect();
        let edited = wetside_edit::append(&self.source, self.vocabulary, &place, &thing)?;
        self.source = edited.source;
        match more.as_deref().filter(|_| !stands) {
            Some(more) => self.set(&count_at, more),
            None => Ok(()),
        }
    }
}
