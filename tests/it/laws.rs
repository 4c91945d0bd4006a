//! Which text of a law a rule cites, by nation and day: the rows of `tests/laws`.

use serde::Deserialize;
use std::fs;
use wetside_units::{Date, DateTime, Exact, Interval};

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Row {
    rule: String,
    #[serde(rename = "for")]
    holds_for: Option<String>,
    on: Option<String>,
    cites: String,
}

#[test]
fn each_rule_cites_the_text_that_holds_there_on_that_day() {
    let text = fs::read_to_string("tests/laws/by-nation-and-day.yaml").expect("the rows are there");
    let rows: Vec<Row> = serde_yaml::from_str(&text).expect("the rows are of their shape");
    let pack = &wetside_rules::packs().packs[0];
    for row in rows {
        let rule = pack.rule(&row.rule).expect("the rule is in the pack");
        let day = row.on.as_deref().map_or(Interval::EVERYTHING, |day| {
            let date = Date::parse(day).expect("the day is a date");
            Interval::exact(Exact::whole(DateTime::from(date).seconds()))
        });
        let word_of = |_: &str| row.holds_for.as_deref();
        let citation = rule.words.cited.of(&pack.laws, word_of, day);
        assert_eq!(
            citation.work, row.cites,
            "{} for {:?}",
            row.rule, row.holds_for
        );
    }
}
