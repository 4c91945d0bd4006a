//! There is one plan: whatever speaks of the time or the water of the job says what its stages say.

use super::vocabulary;
use wetside_house::Range;
use wetside_report::Style;
use wetside_report::figures::{Survey, page};
use wetside_units::truth::Truth;

fn surveys() -> Vec<Survey> {
    let all = crate::examples::examples().into_iter();
    all.map(|source| Survey::new(source, vocabulary()))
        .collect()
}

fn figure(survey: &Survey, name: &str) -> Option<Range> {
    let figure = survey.figures.iter().find(|figure| figure.name == name)?;
    figure.range.as_ref().map(|(_, range)| Range::of(range))
}

fn close(one: f64, other: f64) -> bool {
    one == other || (one - other).abs() <= 1e-4 * one.abs().max(1.0)
}

#[test]
fn the_stages_of_the_plan_are_the_time_on_site() {
    let (mut alike, mut told) = (0, 0);
    for survey in surveys() {
        let (Ok(house), Some(day)) = (&survey.told, figure(&survey, "time_on_site")) else {
            continue;
        };
        let nothing = Range::point(0.0);
        let all = house
            .day
            .iter()
            .fold(nothing, |all, stage| all.plus(stage.time));
        let name = &survey.source.name;
        assert!(
            day.low <= all.low * (1.0 + 1e-4) && all.high <= day.high * (1.0 + 1e-4),
            "{name}"
        );
        told += 1;
        alike += usize::from(close(all.low, day.low) && close(all.high, day.high));
        let rinse = house
            .day
            .iter()
            .find(|stage| stage.says.starts_with("rinse"));
        if let (Some(stage), Some(time)) = (rinse, figure(&survey, "rinse_time")) {
            assert!(
                close(stage.time.low, time.low) && close(stage.time.high, time.high),
                "{name}"
            );
            let end = house.plan.rinse_at_end.expect("it is worked out");
            assert!(
                close(end.time.low, time.low) && close(end.time.high, time.high),
                "{name}"
            );
        }
    }
    assert!(told >= 10 && 2 * alike >= told, "{alike} of {told}");
}

#[test]
fn a_loop_left_open_is_said_not_to_work() {
    let all = surveys();
    let chapel = all.iter().find(|one| one.source.name.contains("chapel"));
    let chapel = chapel.expect("it is an example");
    let told = chapel.told.as_ref().expect("it is a whole house");
    assert!(told.plan.order.iter().all(|turn| turn.works != Truth::Yes));
    let page = page(chapel, None, false, &Style::wide(100));
    let words: Vec<&str> = page.split_whitespace().collect();
    let words = words.join(" ");
    assert!(
        words.contains("Block the main under it: its flow is then"),
        "{words}"
    );
    assert!(
        words.contains("reverse every 2 min"),
        "the recorded interval"
    );
    assert!(words.contains("none: flushed cold"), "nothing heats it");
}

/// No stage goes on for years, and no route is reversed for days.
#[test]
fn no_page_speaks_of_years_or_of_days_of_reversals() {
    for survey in surveys() {
        let page = page(&survey, None, false, &Style::wide(100));
        assert!(!page.contains("years"), "{}", survey.source.name);
        for turn in survey.told.iter().flat_map(|told| &told.plan.order) {
            assert!(
                turn.time.high <= 1800.0 && turn.reversals.high <= 60.0,
                "{turn:?}"
            );
        }
    }
}
