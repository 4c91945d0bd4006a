//! Words of one's own in a note.

use crate::answer::Refused;
use crate::desk::{Desk, Slot};
use crate::values::{self, Value};
use crate::words::Line;
use std::collections::BTreeSet;
use wetside_base::vocabulary::Type;

/// The field for words beside what is asked, in which any word may stand.
const NOTE: &str = "note";

/// Words of one's own behind the name of a field that takes them, with that name.
pub(crate) fn take(
    desk: &Desk<'_>,
    line: &mut Line<'_>,
    slots: &[Slot],
    taken: &[String],
) -> Result<Option<(String, Option<Value>)>, Refused> {
    let texts = slots.iter().filter(|slot| matches!(slot.what, Type::Text));
    let names: BTreeSet<&str> = texts.map(Slot::name).collect();
    let found = names.into_iter().find_map(|name| {
        let place = line.find(name)?;
        // `left as found` is a word of its own.
        let mut trial = line.clone();
        values::take(desk, &mut trial, slots, taken);
        trial.unused(place.clone()).map(|_| (name, place))
    });
    let Some((name, place)) = found else {
        return Ok(None);
    };
    line.take(place.clone());
    let mut behind = line.clone();
    behind.take(0..place.end);
    let text = line.take_rest(place.end).to_string();
    let of_name = |slot: &&Slot| matches!(slot.what, Type::Text) && slot.name() == name;
    if let Some(other) = second_fact(desk, &behind, slots, slots.iter().find(of_name)) {
        let says = format!(
            "`{text}` holds what is said of `{}` too",
            other.replace('_', " ")
        );
        return Err(Refused::new(says, "write a note for each"));
    }
    let fits = slots.iter().enumerate();
    let fits = fits.filter(|(_, slot)| of_name(slot));
    let value = (!text.is_empty()).then(|| Value {
        fits: fits.map(|(at, _)| (at, text.clone())).collect(),
        said: text,
    });
    Ok(Some((name.to_string(), value)))
}

/// The sister of a field for words of one's own that these words name, with an answer that it takes.
fn second_fact(
    desk: &Desk<'_>,
    words: &Line<'_>,
    slots: &[Slot],
    own: Option<&Slot>,
) -> Option<String> {
    let own = own.filter(|own| own.name() != NOTE)?;
    let way = own.way.split_last()?.1;
    let sisters = slots.iter().filter(|slot| {
        let of_way = slot.way.split_last().is_some_and(|(_, up)| up == way);
        of_way && slot.field != own.field && words.find(slot.name()).is_some()
    });
    let sisters: Vec<Slot> = sisters.cloned().collect();
    sisters.into_iter().find_map(|sister| {
        let mut words = words.clone();
        let one = std::slice::from_ref(&sister);
        let is_said = !values::take(desk, &mut words, one, &[]).is_empty();
        is_said.then(|| sister.name().to_string())
    })
}
