//! Which number of a house widens a figure most, for people.

use super::alone::branches;
use super::connect::least_speed;
use super::read;
use super::rows::{self, quantity};
use super::{House, points, widest};
use crate::figures::list::FigureList;
use crate::figures::range::Range;
use crate::figures::view::View;
use wetside_base::facts::FactId;

/// What widens a figure of an element of a house's list most, in words; nothing for other figures.
pub fn of(view: &View<'_>, list: &str, id: FactId, name: &str) -> Option<String> {
    let in_house = |lists: &[FigureList]| lists.iter().any(|one| one.name == list);
    if !in_house(rows::LISTS) && !in_house(points::LISTS) {
        return None;
    }
    let element = view.facts.fact(id).parent;
    let called = view.facts.text(view.at(element, "id"))?;
    let input = if in_house(rows::LISTS) {
        let house = read::house(view, false).ok()?.house;
        let at = house.emitters.iter().position(|one| one.id == called)?;
        widest(&house, |house| branch(house, at, name))?
    } else if name == "least_speed" {
        let house = read::house_at(view, false, read::point(called)?)
            .ok()?
            .house;
        widest(&house, slowest)?
    } else {
        return None;
    };
    Some(match input.of {
        Some(of) => format!("{}, {of}", input.what),
        None => input.what.to_string(),
    })
}

fn branch(house: &House, at: usize, name: &str) -> Option<Range> {
    let mut one = house.clone();
    // The others matter to where the mains run, and to nothing else.
    for (other, emitter) in one.emitters.iter_mut().enumerate() {
        emitter.off = other != at;
    }
    let branch = branches(&one).ok()?.into_iter().nth(at)??;
    quantity(&branch, name).ok()
}

fn slowest(house: &House) -> Option<Range> {
    let (_, speed) = least_speed(&branches(house).ok()?)?;
    Some(speed)
}
