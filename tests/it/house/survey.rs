//! From a survey to the figures of its branches, and to what is told when asked.

use wetside_base::facts::{Content, FactId, Facts, Value, Why, fact_name};
use wetside_base::source::Source;
use wetside_base::vocabulary::Vocabulary;
use wetside_engine::check::{Ask, Packs, check};
use wetside_engine::figures;
use wetside_engine::figures::tell::{Told, tell};
use wetside_engine::figures::view::View;
use wetside_engine::read;
use wetside_house::{Layout, Range};

/// An invented house, as fully described as a careful engineer would.
const HOUSE: &str = "\
survey: 1
circuit:
  antifreeze: none
  layout: two-pipe
  pipe_materials: [copper]
  main_bore: 20.2 mm
  longest_run: 30 to 36 m
heat_sources:
  count: 1
  items:
  - {id: boiler, kind: gas heat only, during_flush: isolated}
hot_water: {kind: indirect vented cylinder, buffer: {fitted: no}}
controls:
  count: 1
  items:
  - {id: zone, kind: two-port valve, set: locked open}
emitters:
  count: 2
  items:
  - {id: hall, floor: 0, kind: panel radiator, panels: 2, size: {height: 600 mm, length: 1200 mm},
     tails: {bore: 13.6 mm, length: 6 to 8 m}, flow_valve: {kind: thermostatic, set: head removed},
     return_valve: {kind: lockshield, set: fully open}}
  - {id: landing, floor: 1, kind: panel radiator, panels: 1, size: {height: 600 mm, length: 800 mm},
     tails: {bore: 13.6 mm, length: 9 m}, flow_valve: {kind: one-way thermostatic},
     return_valve: {kind: lockshield}}
machine:
  tank: 41 L
  freeboard: 7 L
  shut_off_pressure: 1.9 bar
  rated_flow: 87 L/min
  hose_length: 7 m
  storey: 0
  connected_at: pump housing
  points_available: [pump housing, radiator tails]
  connection_bore: 19 mm
  connection_floor: 0
  power: 1.1 kW
cleaner: {nature: neutral, planned_temperature: 45 °C, rate: 1 L per 100 L, maximum_temperature: 60 °C}
readings: {mains: {tds: 300 ppm}, system: {tds: 900 ppm}}
water_supply: {flow: 14 L/min}
drain: {acceptance: 40 L/min}
";

struct Known {
    facts: Facts,
    vocabulary: Vocabulary,
}

fn derived(text: &str) -> Known {
    let vocabulary = Packs::none().vocabulary;
    let source = Source::new("s.yaml".to_string(), text.to_string());
    let (mut facts, problems) = read::read(&source, &wetside_document::read(&source), &vocabulary);
    assert!(problems.is_empty(), "{problems:?}");
    figures::derive(&mut facts, &vocabulary);
    Known { facts, vocabulary }
}

impl Known {
    fn at(&self, id: &str, field: &str) -> FactId {
        let view = View {
            facts: &self.facts,
            vocabulary: &self.vocabulary,
        };
        let list = view.at(Facts::ROOT, "figure.branches");
        let mut all = self.facts.elements(list);
        let element = all.find(|one| self.facts.text(view.at(*one, "id")) == Some(id));
        view.at(element.expect("there is such a branch"), field)
    }

    fn range(&self, id: &str, field: &str) -> Range {
        match &self.facts.fact(self.at(id, field)).content {
            Content::Known(Value::Quantity(held)) => Range::of(&held.range),
            other => panic!("{field} of {id} is {other:?}"),
        }
    }

    fn reason(&self, id: &str, field: &str) -> String {
        match &self.facts.fact(self.at(id, field)).content {
            Content::Open(Why::NotWorkedOut(reason, _)) => reason.clone(),
            other => panic!("{field} of {id} is {other:?}"),
        }
    }

    fn behind(&self, id: &str) -> Vec<String> {
        let inputs = self.facts.inputs(self.at(id, "alone_speed")).iter();
        inputs
            .map(|input| fact_name(&self.facts, &self.vocabulary, *input))
            .collect()
    }

    fn told(&self) -> Told {
        tell(&self.facts, &self.vocabulary).unwrap()
    }
}

#[test]
fn a_survey_gives_each_branch_its_figures_and_all_their_lines() {
    let known = derived(HOUSE);
    let speed = known.range("hall", "alone_speed");
    assert!(0.8 < speed.low && speed.high < 3.0, "{speed:?}");
    assert_eq!(known.range("hall", "reversed_speed"), speed);
    assert_eq!(known.range("landing", "reversed_speed").low, 0.0);
    assert!(known.range("landing", "outlet_pressure").low < 0.0);
    assert_eq!(known.range("hall", "taken_by_shorts"), Range::point(0.0));
    let behind = known.behind("hall");
    for line in [
        "emitters, hall: tails.bore",
        "emitters, hall: flow_valve.set",
        "circuit.longest_run",
        "machine.connection_bore",
        "heat_sources, boiler: during_flush",
    ] {
        assert!(behind.iter().any(|one| one == line), "{line}: {behind:?}");
    }
    assert!(!behind.iter().any(|one| one.contains("landing")));
}

#[test]
fn what_is_missing_is_named() {
    let known = derived(&HOUSE.replace("  longest_run: 30 to 36 m\n", ""));
    assert_eq!(
        known.reason("hall", "alone_speed"),
        "`circuit.longest_run` is not recorded"
    );
    // Tails that nobody measured may be anything, and say so by a wide range.
    let known = derived(&HOUSE.replace("bore: 13.6 mm, length: 9 m", "bore: 13.6 mm"));
    let wide = known.range("landing", "alone_speed");
    assert!(wide.high > 2.0 * wide.low);
    assert!(
        known
            .reason("landing", "coarse_sludge")
            .contains("it may be anything from")
    );
}

#[test]
fn a_bypass_of_which_nobody_says_whether_it_is_open_may_take_the_flow() {
    let open = derived(&HOUSE.replace(
        "kind: two-port valve, set: locked open",
        "kind: gate bypass",
    ));
    assert_eq!(open.range("hall", "taken_by_shorts").low, 0.0);
    assert!(open.range("hall", "taken_by_shorts").high > 0.3);
    let shut = derived(&HOUSE.replace(
        "kind: two-port valve, set: locked open",
        "kind: gate bypass, set: closed",
    ));
    assert_eq!(shut.range("hall", "taken_by_shorts"), Range::point(0.0));
}

/// What a hose, a take-off and antifreeze are recorded to be goes into the flows.
#[test]
fn what_is_asked_for_narrows_and_antifreeze_slows() {
    let known = derived(HOUSE);
    let now = known.range("hall", "alone_flow");
    let narrower = |from: &str, to: &str| {
        let then = derived(&HOUSE.replacen(from, to, 1)).range("hall", "alone_flow");
        assert!(
            now.low <= then.low && then.high <= now.high,
            "{to}: {then:?}"
        );
        assert!(then.high - then.low < 0.99 * (now.high - now.low), "{to}");
    };
    narrower("machine:\n", "machine:\n  hose_bore: 19 mm\n");
    narrower("{id: hall,", "{id: hall, take_off: first third,");
    narrower(
        "machine:\n",
        "machine:\n  measured_flow: 38 L/min\n  measured_pressure: 1.35 bar\n",
    );
    let glycol = |says: &str| {
        let house = HOUSE.replace("antifreeze: none", says);
        derived(&house).range("hall", "alone_flow")
    };
    let mixed = glycol("antifreeze: propylene glycol\n  glycol: 30 %");
    assert!(
        mixed.low < 0.995 * now.low && mixed.high >= now.high,
        "{mixed:?}"
    );
    let either = glycol("age: 3 to 9 years");
    assert!(either.low <= mixed.low && mixed.high <= either.high * 1.001);
}

/// A point that the plate does not allow is told as a contradiction of the survey, and only such a one: no figure
/// goes by it, and it is said so.
#[test]
fn a_point_beside_the_plate_is_left_out_and_told() {
    let plain = derived(HOUSE).range("hall", "alone_flow");
    let (mut on, mut beside) = (0, 0);
    for flow in [0, 35, 61, 88, 110] {
        for pressure in (0..=24).step_by(3) {
            let read = format!(
                "machine:\n  measured_flow: {flow} L/min\n  measured_pressure: {} bar\n",
                f64::from(pressure) / 10.0
            );
            let text = HOUSE.replacen("machine:\n", &read, 1);
            let known = derived(&text);
            let left_out = known
                .told()
                .supposed
                .iter()
                .any(|words| words.contains("not on its plate"));
            let source = Source::new("s.yaml".to_string(), text);
            let judgement = check(&source, &Packs::none(), &Ask::default());
            let told = judgement.problems.iter().any(|problem| {
                problem.says.contains("a pump of that plate")
                    || problem.says.contains("no pump of that plate")
            });
            assert_eq!(
                left_out, told,
                "{flow} L/min at {pressure}/10 bar: {:?}",
                judgement.problems
            );
            let then = known.range("hall", "alone_flow");
            assert!(plain.low <= then.low && then.high <= plain.high, "{read}");
            assert!(!left_out || then == plain, "{read}");
            *(if left_out { &mut beside } else { &mut on }) += 1;
        }
    }
    assert!(on > 8 && beside > 20, "{on} {beside}");
}

#[test]
fn units_and_order_change_no_figure() {
    let known = derived(HOUSE);
    let other = HOUSE
        .replace("main_bore: 20.2 mm", "main_bore: 0.0202 m")
        .replace("rated_flow: 87 L/min", "rated_flow: 5.22 m³/h")
        .replace("shut_off_pressure: 1.9 bar", "shut_off_pressure: 190 kPa");
    let other = derived(&other);
    for field in [
        "alone_flow",
        "alone_speed",
        "main_speed",
        "change_time",
        "outlet_pressure",
    ] {
        assert_eq!(
            known.range("hall", field),
            other.range("hall", field),
            "{field}"
        );
    }
}

#[test]
fn everything_is_told_when_asked() {
    let told = derived(HOUSE).told();
    assert_eq!(
        (told.house.layout, told.branches.len()),
        (Layout::TwoPipe, 2)
    );
    assert!(told.supposed.is_empty(), "{:?}", told.supposed);
    let open = told.open.unwrap();
    assert!(open.machine_flow.low > 0.0);
    let points = told.connections.unwrap();
    assert_eq!(points.points.len(), 2);
    assert!(!points.trade_differs);
    assert_eq!(told.plan.order[0].id, "landing");
    assert!(told.plan.dump.is_some());
    assert_eq!(told.unnamed, (Range::point(0.0), Range::point(0.0)));
}

#[test]
fn radiators_that_are_counted_and_not_named_have_their_turns() {
    let told = derived(&HOUSE.replace("emitters:\n  count: 2", "emitters:\n  count: 5")).told();
    assert_eq!(
        told.unnamed,
        (Range::point(3.0), Range::new(1800.0, 5400.0))
    );
}

#[test]
fn what_a_few_lines_leave_open_is_supposed_by_name() {
    let few = "survey: 1\ncircuit: {layout: two-pipe, main_bore: 20.2 mm, longest_run: about 30 m}\n\
               machine: {shut_off_pressure: 1.75 bar, rated_flow: 81 L/min, connected_at: filter adapter}\n\
               emitters: [{id: hall}, {id: landing, floor: 1}]\n";
    let told = derived(few).told();
    assert!(
        told.supposed
            .iter()
            .any(|words| words.contains("`tails.length` is not known"))
    );
    assert!(told.branches[0].flow.low > 0.0);
    let nothing = derived("survey: 1\nemitters: [{id: hall}]\n");
    assert!(tell(&nothing.facts, &nothing.vocabulary).is_err());
}

/// A house of so many radiators, each as one of [`HOUSE`], half of them upstairs.
fn large(count: usize) -> String {
    let at = HOUSE.find("  - {id: hall").expect("it has a hall");
    let end = HOUSE.find("  - {id: landing").expect("and a landing");
    let after = HOUSE.find("machine:").expect("and a machine");
    let (before, hall, after) = (&HOUSE[..at], &HOUSE[at..end], &HOUSE[after..]);
    let before = before.replace(
        "emitters:\n  count: 2",
        &format!("emitters:\n  count: {count}"),
    );
    let each = (0..count).map(|nth| {
        let floor = format!("floor: {}", nth % 2);
        hall.replace("id: hall", &format!("id: r{nth}"))
            .replace("floor: 0", &floor)
    });
    before + &each.collect::<String>() + after
}

/// What is not worked out for its cost is said to be so, and is open and not nothing.
#[test]
fn of_a_large_house_the_rest_is_open_and_said_to_be() {
    let known = derived(&large(502));
    assert!(known.range("r0", "alone_speed").low > 0.0);
    for left in ["r500", "r501"] {
        let why = known.reason(left, "alone_speed");
        assert_eq!(
            why,
            "only the first 500 emitters of a survey are worked out"
        );
    }
    let view = View {
        facts: &known.facts,
        vocabulary: &known.vocabulary,
    };
    let points: Vec<FactId> = known.facts.elements(view.figure("connections")).collect();
    for point in points {
        let slowest = view.range(view.at(point, "least_speed")).unwrap();
        assert_eq!(
            slowest.low, 0.0,
            "what is not looked at may be slower still"
        );
        let content = &known.facts.fact(view.at(point, "weakest_pressure")).content;
        let Content::Open(Why::NotWorkedOut(why, _)) = content else {
            panic!("the pressure is {content:?}");
        };
        assert!(why.contains("more emitters than"), "{why}");
    }
    let told = known.told();
    let says = "`emitters` lists 502: only the first 500 are looked at";
    assert!(told.supposed.iter().any(|words| words.contains(says)));
    assert!(told.open.is_err() && told.branches.len() == 500);
}

/// What stands behind a figure grows with the house, not with its square.
#[test]
fn what_stands_behind_the_branches_grows_as_the_survey_does() {
    let behind = |count: usize| {
        let known = derived(&large(count));
        let all = known.facts.all();
        all.map(|(id, _)| known.facts.inputs(id).len())
            .sum::<usize>()
    };
    let [few, some, many] = [20, 40, 80].map(behind);
    assert!(
        many - some <= 2 * (some - few) + few,
        "{few}, {some}, {many}"
    );
}

#[test]
fn of_many_controls_the_rest_may_stand_open() {
    let one = "  count: 1\n  items:\n  - {id: zone, kind: two-port valve, set: locked open}\n";
    assert!(HOUSE.contains(one));
    let shut = (0..51).map(|nth| format!("  - {{id: c{nth}, kind: gate bypass, set: closed}}\n"));
    let many = format!("  count: 51\n  items:\n{}", shut.collect::<String>());
    let known = derived(&HOUSE.replace(one, &many));
    assert!(known.range("hall", "taken_by_shorts").high > 0.3);
    let says = "`controls` lists 51: only the first 50 are looked at";
    assert!(known.told().supposed.iter().any(|words| words == says));
}
