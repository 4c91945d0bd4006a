//! What antifreeze makes of the circuit's water: which glycol, how strong, how it grows and holds heat.
//!
//! Contract: by what was found in the circuit. Where nobody says whether there is any, there may be none, or of
//! either kind up to the strongest; of a strength that nobody measured, any up to that.

use super::survey::{self, Antifreeze};
use super::view::{Gathered, Refused, View};
use wetside_base::facts::FactId;
use wetside_house::convention::ANTIFREEZE;
use wetside_house::{Range, celsius};
use wetside_physics::glycol::{self, Glycol};
use wetside_physics::vessel::expansion;
use wetside_physics::water;

/// The strongest by volume, as a share.
const MOST_GLYCOL: f64 = ANTIFREEZE.range.high;

/// The glycols that an antifreeze is of; both where nobody says.
pub(super) fn glycols(antifreeze: Option<Antifreeze>) -> &'static [Glycol] {
    match antifreeze {
        Some(Antifreeze::Propylene) => &[Glycol::Propylene],
        Some(Antifreeze::Ethylene) => &[Glycol::Ethylene],
        Some(Antifreeze::None) => &[],
        None => &[Glycol::Propylene, Glycol::Ethylene],
    }
}

/// A strength by volume as one by mass, of any of these glycols.
pub(super) fn by_mass(kinds: &[Glycol], share: Range) -> Result<Range, Refused> {
    if share.low > MOST_GLYCOL {
        return Err("what is known of glycol ends at 47 % by volume".into());
    }
    let mut found: Option<Range> = None;
    for kind in kinds {
        let low = glycol::mass_strength(*kind, share.low.max(0.0))?;
        let here = Range::new(
            low,
            glycol::mass_strength(*kind, share.high.min(MOST_GLYCOL))?,
        );
        found = Some(found.map_or(here, |all| all.hull(here)));
    }
    found.ok_or_else(|| "it is of no kind".into())
}

/// The heat that a volume of the mixture holds, as a share of what water does; at 30 °C, from 10 to 60 °C it
/// differs by 2 %. It is less for the stronger.
pub(super) fn holds_heat(view: &View<'_>, root: FactId) -> Gathered {
    const AT: f64 = 30.0;
    let (id, antifreeze) = view.choice(root, &survey::ANTIFREEZE);
    let kinds = glycols(antifreeze);
    if kinds.is_empty() {
        return Gathered::of(Range::point(1.0), vec![id]);
    }
    let strength = view.at(root, survey::GLYCOL_STRENGTH);
    Gathered::by(vec![id, strength], || {
        let mass = by_mass(kinds, view.range_or(strength, Range::new(0.0, MOST_GLYCOL)))?;
        let of = |kind: Glycol, mass: f64| -> Result<f64, Refused> {
            let mixture = glycol::density(kind, mass, AT)? * glycol::heat_capacity(kind, mass, AT)?;
            Ok(mixture / (water::density(AT)? * water::heat_capacity(AT)?))
        };
        let mut range = Range::point(if antifreeze.is_none() {
            1.0
        } else {
            of(kinds[0], mass.low)?
        });
        for kind in kinds {
            range = range.hull(Range::new(of(*kind, mass.high)?, of(*kind, mass.low)?));
        }
        Ok(range)
    })
}

/// How many times as much as water the circuit's water grows, with the antifreeze that was found in it. Of a
/// strength that nobody measured any up to nearly half is taken.
pub(super) fn antifreeze_grows(view: &View<'_>, root: FactId) -> Gathered {
    let (id, antifreeze) = view.choice(root, &survey::ANTIFREEZE);
    if antifreeze == Some(Antifreeze::None) {
        return Gathered::of(Range::point(1.0), vec![id]);
    }
    let [strength, hottest] =
        [survey::GLYCOL_STRENGTH, survey::DESIGN_TEMPERATURE].map(|path| view.at(root, path));
    let kinds = glycols(antifreeze);
    Gathered::by(vec![id, strength, hottest], || {
        let share = view.range_or(strength, Range::new(0.0, MOST_GLYCOL));
        let hot = view.range(hottest)?;
        let mut all = match antifreeze {
            Some(_) => None,
            None => Some(Range::point(1.0)),
        };
        for kind in kinds {
            let low = mixture_grows(*kind, share.low, celsius(hot.high))?.low;
            let high = mixture_grows(*kind, share.high, celsius(hot.low))?.high;
            let here = Range::new(low, high);
            all = Some(all.map_or(here, |all| all.hull(here)));
        }
        all.ok_or_else(|| "it is of no kind".into())
    })
}

/// How many times as much as water a mixture grows from 10 °C on, by its strength by volume. It is more for
/// the stronger and less for the hotter; beyond 80 °C, where the densities end, down to as much as water.
fn mixture_grows(kind: Glycol, share: f64, hot: f64) -> Result<Range, Refused> {
    const COLD: f64 = 10.0;
    const DENSITIES_TO: f64 = 80.0;
    let by_mass = glycol::mass_strength(kind, share)?;
    let at = hot.clamp(COLD + 1.0, DENSITIES_TO);
    let of = |celsius: f64| glycol::density(kind, by_mass, celsius);
    let mixture = expansion(of(COLD)?, of(at)?)?;
    let water = expansion(water::density(COLD)?, water::density(at)?)?;
    let times = mixture / water;
    Ok(Range::new(
        if hot > DENSITIES_TO { 1.0 } else { times },
        times,
    ))
}
