//! Every row: the figures of a survey and those of the things in its lists.

use super::list::{self, FigureList};
use super::table::{Figure, plan};
use super::{
    ceiling, day, dose, emitters, estimate, heat, house, log, pressure, rinse, supply, tank,
    volume, water,
};
use wetside_base::vocabulary::{Plan, PlanShape, Vocabulary};

/// The figures of a survey under headings for people, each after those that it takes.
pub const GROUPS: [(&str, &[Figure]); 13] = [
    ("the water", volume::FIGURES),
    ("the water by its parts", estimate::FIGURES),
    ("cleaner and inhibitor", dose::FIGURES),
    ("the tank of the machine", tank::FIGURES),
    ("what counts as clean", water::FIGURES),
    ("the rinse", rinse::FIGURES),
    ("the readings of the rinse", log::FIGURES),
    ("pressures", pressure::FIGURES),
    ("heat", heat::FIGURES),
    ("how hot it may be", ceiling::FIGURES),
    ("electricity", supply::FIGURES),
    ("time", day::FIGURES),
    ("the best point of connection", house::points::FIGURES),
];

/// Every figure of a survey, each after those that it takes.
pub fn table() -> impl Iterator<Item = &'static Figure> {
    GROUPS.into_iter().flat_map(|(_, figures)| figures)
}

/// Every list of figures, worked out before the figures of the survey.
pub fn lists() -> impl Iterator<Item = &'static FigureList> {
    let all = [
        &emitters::LIST,
        &house::branches::LIST,
        &house::points::LIST,
    ];
    all.into_iter()
}

/// The figures as fields of a vocabulary, under one group.
pub fn fields() -> Vec<Plan> {
    let all = lists().map(list::plan_list).chain(table().map(plan));
    let says = "What the tool works out from the survey. It is never recorded.";
    let group = PlanShape::Group(all.collect());
    vec![Plan::new(Vocabulary::FIGURES, says, group)]
}
