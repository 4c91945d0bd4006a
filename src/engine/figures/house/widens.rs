//! Which number of a house widens a figure most, for people.

use super::{branches, points, read};
use crate::figures::survey;
use crate::figures::table::Found;
use crate::figures::view::View;
use wetside_base::facts::FactId;
use wetside_house::{House, Range, branch, widest_input};

/// In a house of more emitters than this only what they share is tried, and of a branch its own, since
/// each number is tried on every branch.
const MOST_TRIED: usize = 25;

/// What widens a figure of an element of a house's list most, in words; nothing for other figures.
pub(crate) fn of(view: &View<'_>, list: &str, id: FactId, name: &str) -> Option<String> {
    let element = view.facts.fact(id).parent;
    let called = || view.facts.text(view.at(element, survey::ID));
    let tried = |house: &House, of: Option<&str>, own: Option<&str>| {
        house.emitters.len() <= MOST_TRIED || of.is_none() || of == own
    };
    let input = if list == branches::LIST.name {
        let called = called()?;
        let house = read::house(view, false, None).house.ok()?;
        let at = house.emitters.iter().position(|one| one.id == called)?;
        let measure = |house: &House| -> Option<Range> {
            match branches::read_off(&branch(house, at).ok()?, name) {
                Ok(Found::Range(range)) => Some(range),
                _ => None,
            }
        };
        widest_input(&house, |of| tried(&house, of, Some(called)), measure)?
    } else if list == points::LIST.name && name == "least_speed" {
        let point = survey::CONNECTED_AT.meaning(called()?)?;
        let house = read::house(view, false, Some(point)).house.ok()?;
        let measure = |house: &House| points::listed_slowest(house).ok();
        widest_input(&house, |of| tried(&house, of, None), measure)?
    } else {
        return None;
    };
    Some(match input.of {
        Some(of) => format!("{}, {of}", input.what),
        None => input.what.to_string(),
    })
}
