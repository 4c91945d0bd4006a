//! Figures of what is put in: cleaner on one volume, inhibitor on the other.

use super::survey;
use super::table::{Figure, MASS_BALANCE, NO_SOURCE};
use super::table::{convention, fact, figure, figures, gathered, source};
use super::view::{Gathered, Refused, View};
use wetside_base::facts::FactId;
use wetside_units::Kind;

pub(super) const FIGURES: &[Figure] = figures! {
    "cleaner_dose": Volume,
        "Cleaner for everything that the machine moves, by the label's rate.";
        "V_c = r V_flush", source("arithmetic; the label rules", "arithmetic");
        [
            gathered("r", "the label's dose", Kind::DoseRate, cleaner_rate),
            figure("V_flush", "flush_volume"),
        ]
        => { |rate, water| rate * water };

    "cleaner_containers": Number,
        "Whole containers of cleaner that hold its dose, or all but a twentieth of it.";
        "n = s V_c/V_k, rounded up", source("arithmetic", "arithmetic");
        [
            convention("s", "the least share of the dose for which no further container is opened", Kind::Share,
                (0.95, 0.95), NO_SOURCE),
            figure("V_c", "cleaner_dose"),
            fact("V_k", survey::CLEANER_CONTAINER).down(),
        ]
        => { |share, dose, each| whole(share * dose, each)? };

    "inhibitor_basis": Volume,
        "The water that inhibitor is reckoned for: all that is wetted in service, and the machine's own \
         where it is dosed through the machine, since that share goes away with it.";
        "V_i = V_total + V_m", MASS_BALANCE;
        [
            figure("V_total", "total_volume"),
            gathered("V_m", "the machine's water, where inhibitor is dosed through it", Kind::Volume,
                goes_with_machine),
        ]
        => { |total, machine| total + machine };

    "inhibitor_dose": Volume,
        "Inhibitor by the label's rate, before it is rounded up to whole containers.";
        "V = r V_i", source("arithmetic; the label rules", "arithmetic");
        [fact("r", survey::INHIBITOR_RATE), figure("V_i", "inhibitor_basis")]
        => { |rate, water| rate * water };

    "inhibitor_containers": Number,
        "Whole containers of inhibitor that hold its dose.";
        "n = V/V_k, rounded up", source("arithmetic", "arithmetic");
        [
            figure("V", "inhibitor_dose"),
            fact("V_k", survey::INHIBITOR_CONTAINER).down(),
        ]
        => { |dose, each| whole(dose, each)? };
};

/// Containers that hold a dose, each of so much. A hair of room, so that an exact number of containers
/// is not one too many for its last bit.
fn whole(dose: f64, each: f64) -> Result<f64, Refused> {
    if each > 0.0 {
        Ok((dose / each - 1e-9).ceil().max(0.0))
    } else {
        Err("a container must hold something".into())
    }
}

fn cleaner_rate(view: &View<'_>, root: FactId) -> Gathered {
    let (nature, cleaner) = view.choice(root, &survey::CLEANER);
    let mut rate = view.taken(root, survey::CLEANER_RATE);
    if cleaner == Some(false) {
        rate.range = Err("there is no cleaner: `cleaner.nature` is `none`".into());
        rate.facts = vec![nature];
    }
    rate
}

fn goes_with_machine(view: &View<'_>, root: FactId) -> Gathered {
    let through = view.choice(root, &survey::DOSED_THROUGH);
    Gathered::if_there(through, || view.amount(view.figures(), "machine_water"))
}
