//! How long the job takes.

use super::emitters::count;
use super::survey;
use super::table::{Figure, Input, NO_SOURCE, convention, figure, figures, gathered};
use super::view::{Gathered, View};
use wetside_base::facts::FactId;
use wetside_units::Kind;

const MINUTE: f64 = 60.0;

const fn minutes(symbol: &'static str, says: &'static str, low: f64, high: f64) -> Input {
    let range = (low * MINUTE, high * MINUTE);
    convention(symbol, says, Kind::Time, range, NO_SOURCE)
}

pub(super) const FIGURES: &[Figure] = figures! {
    "time_on_site": Time,
        "How long the job takes from the door to the door, without unforeseen work.";
        "t = t_safe + t_open + n t_each + m t_loop + t_rinse + t_back", NO_SOURCE;
        [
            gathered("n", "how many emitters there are", Kind::Number, count),
            minutes("t_each", "each emitter by itself, longer where it is bad", 12.0, 18.0),
            gathered("m", "loops of the floor", Kind::Number, loops),
            minutes("t_loop", "each floor loop by itself", 8.0, 12.0),
            minutes("t_safe", "making safe and setting up", 60.0, 90.0),
            minutes("t_open", "circulation with everything open", 20.0, 40.0),
            figure("t_rinse", "rinse_time"),
            minutes("t_back", "putting back, filling and the hot run", 75.0, 105.0),
        ]
        => { |emitters, each, loops, of_loop, safe, open, rinse, back| {
            safe + open + emitters * each + loops * of_loop + rinse + back
        } };
};

fn loops(view: &View<'_>, root: FactId) -> Gathered {
    let fitted = view.choice(root, &survey::FLOOR_FITTED);
    Gathered::if_there(fitted, || view.amount(root, survey::FLOOR_LOOPS))
}
