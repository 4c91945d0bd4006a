//! How the readings go on: what the last one is worth, and how much is left.
//!
//! Contract: tells and decides nothing. Readings are held against each other at one temperature where the meter
//! does not correct for it; a sentence that rests on something unknown says so or stays unsaid.

use crate::desk::Desk;
use crate::desk::list_of;
use crate::words::capital;
use std::collections::BTreeMap;
use wetside_base::facts::{Content, FactId, Facts, Value, element_name, one_line};
use wetside_base::source::Source;
use wetside_base::vocabulary::{FieldId, Vocabulary};
use wetside_engine::check::{self, Packs};
use wetside_engine::figures::day::TURNS;
use wetside_engine::figures::tell::tell;
use wetside_engine::pack::Readings;
use wetside_house::Range;
use wetside_lang::eval::{Scene, truth};
use wetside_lang::functions::FUNCTIONS;
use wetside_lang::node::Route;
use wetside_units::truth::Truth;
use wetside_units::{DateTime, Interval, Kind, Quantity, print};

/// The function of the rule language that brings a reading to one temperature.
const AT_ONE_TEMPERATURE: &str = "at_25";

/// What is said back of the last reading.
pub(crate) fn told(desk: &Desk<'_>, reading: &Readings, source: &Source) -> Vec<String> {
    let (facts, _) = check::facts(source, desk.vocabulary());
    let log = Log::of(desk.vocabulary(), &facts, reading);
    let lines = log.lines();
    let Some(last) = lines.last() else {
        return Vec::new();
    };
    let mut says = vec![log.last(last, &lines)];
    says.push(log.left(last));
    if lines[..lines.len() - 1].iter().all(|one| one.of != last.of) {
        says.push(log.whole(&lines));
    }
    says.extend(log.hidden(last, &lines));
    says
}

/// How far the readings have got.
#[derive(Debug, Default)]
pub struct Read {
    /// The last reading of each part, in the order in which they were taken.
    pub last: Vec<LastRead>,
    /// The parts that are read one by one and were not yet.
    pub not_yet: Vec<String>,
}

#[derive(Debug)]
pub struct LastRead {
    pub of: String,
    /// `10:42`; nothing where the time is not known.
    pub at: Option<String>,
    /// As written.
    pub value: Option<String>,
    pub is_clean: bool,
}

/// What was read last of each part; nothing where no pack says what readings are.
pub fn read(source: &Source, packs: &Packs) -> Option<Read> {
    let pack = packs.packs.iter().find_map(|pack| pack.moved.as_ref());
    let vocabulary = &packs.vocabulary;
    let (facts, _) = check::facts(source, vocabulary);
    let log = Log::of(vocabulary, &facts, pack?.spoken.reading.as_ref()?);
    let mut last: Vec<LastRead> = Vec::new();
    for line in log.lines() {
        last.retain(|one| one.of != line.of);
        last.push(LastRead {
            at: line.at.and_then(DateTime::from_seconds).map(clock),
            value: line.value.map(|value| value.to_string()),
            is_clean: log.is_clean(&line),
            of: line.of,
        });
    }
    let mut not_yet = log.branches();
    not_yet.retain(|name| last.iter().all(|one| one.of != *name));
    Some(Read { last, not_yet })
}

struct Log<'a> {
    vocabulary: &'a Vocabulary,
    facts: &'a Facts,
    scene: Scene<'a>,
    reading: &'a Readings,
    corrects: Truth,
}

/// One reading.
struct Entry {
    of: String,
    /// Seconds.
    at: Option<i64>,
    value: Option<Quantity>,
    warmth: Option<Quantity>,
    /// The value at one temperature, in base units.
    even: Option<f64>,
}

impl<'a> Log<'a> {
    fn of(vocabulary: &'a Vocabulary, facts: &'a Facts, reading: &'a Readings) -> Log<'a> {
        let scene = wetside_engine::run::scene(vocabulary, facts, None);
        Log {
            vocabulary,
            facts,
            scene,
            reading,
            corrects: truth(&reading.corrects.node, &scene, &[], &[]),
        }
    }

    fn lines(&self) -> Vec<Entry> {
        let list = list_of(self.facts, self.vocabulary, self.reading.list);
        let lines = self.facts.elements(list);
        lines.map(|line| self.entry(line)).collect()
    }

    fn entry(&self, line: FactId) -> Entry {
        let at = |field: FieldId| self.facts.child(line, self.vocabulary.field(field).slot);
        let value = self.quantity(at(self.reading.value));
        let warmth = self.quantity(at(self.reading.warmth));
        let moment = match &self.facts.fact(at(self.reading.at)).content {
            Content::Known(Value::Time(time)) => time.single(),
            _ => None,
        };
        Entry {
            of: self
                .facts
                .text(at(self.reading.of))
                .map(one_line)
                .unwrap_or_default(),
            at: moment.and_then(|at| i64::try_from(at.floor().above()).ok()),
            even: self
                .even(value, warmth)
                .and_then(|even| Some(even.middle()?.to_f64())),
            value,
            warmth,
        }
    }

    fn quantity(&self, fact: FactId) -> Option<Quantity> {
        match &self.facts.fact(fact).content {
            Content::Known(Value::Quantity(quantity)) => Some(**quantity),
            _ => None,
        }
    }

    /// A reading at the one temperature, or as it stands where the meter corrects.
    fn even(&self, value: Option<Quantity>, warmth: Option<Quantity>) -> Option<Interval> {
        let value = value?;
        match self.corrects {
            Truth::Yes => Some(value.range),
            _ => brought(&value, &warmth?),
        }
    }

    fn fact(&self, route: &Route) -> FactId {
        route.find(self.facts, |_| Facts::ROOT)
    }

    /// A reading, the highest that counts as clean, and the mains: at the one temperature, and as read too where
    /// nobody says whether the meter corrects.
    fn compared(&self, one: &Entry) -> Vec<Option<[f64; 3]>> {
        let read = |route| self.quantity(self.fact(route));
        let (clean, mains) = (read(&self.reading.clean), read(&self.reading.baseline));
        let warmth = read(&self.reading.baseline_warmth);
        let number = |range: Interval| Some(range.middle()?.to_f64());
        let even = |value| number(self.even(value, warmth)?);
        let as_read = |value: Option<Quantity>| number(value?.range);
        let mut all = vec![
            one.even
                .and_then(|value| Some([value, even(clean)?, even(mains)?])),
        ];
        if self.corrects == Truth::Undecided {
            let read = as_read(one.value);
            all.push(read.and_then(|value| Some([value, as_read(clean)?, as_read(mains)?])));
        }
        all
    }

    fn is_clean(&self, one: &Entry) -> bool {
        let clean = |[value, clean, _]: [f64; 3]| value <= clean;
        let all = self.compared(one);
        all.into_iter().all(|way| way.is_some_and(clean)) && !self.is_below(one)
    }

    /// Whether a reading is purer than the water that rinses, by more than clean water may be dirtier: then the
    /// meter, the tap or a digit is wrong.
    fn is_below(&self, one: &Entry) -> bool {
        let below = |[value, clean, mains]: [f64; 3]| value + (clean - mains) < mains;
        let all = self.compared(one);
        all.into_iter().all(|way| way.is_some_and(below))
    }

    /// The reading, what it is worth at one temperature, and whether it rose.
    fn last(&self, last: &Entry, lines: &[Entry]) -> String {
        let mut says = match last.at.and_then(DateTime::from_seconds) {
            Some(moment) => format!("{}, {}", clock(moment), last.of),
            None => last.of.clone(),
        };
        let value = last
            .value
            .map_or_else(|| "no value".to_string(), |one| one.to_string());
        says += &format!(": {value}");
        if let Some(warmth) = last.warmth {
            says += &format!(" at {warmth}");
        }
        let even = last.value.zip(last.warmth);
        let even = even.and_then(|(value, warmth)| {
            let even = brought(&value, &warmth)?;
            Some(print::worked_out(value.kind, &even))
        });
        match (self.corrects, even) {
            (Truth::No, Some(even)) => says += &format!(", that is {even} at 25 °C"),
            (Truth::Undecided, Some(even)) => {
                says += &format!(", {even} at 25 °C unless the meter corrects for that by itself");
            }
            _ => {}
        }
        let before = lines[..lines.len() - 1].iter().rev();
        let before = before
            .filter(|one| one.of == last.of)
            .find_map(|one| Some((one, one.even?)));
        if let Some((one, even)) = before
            && last.even.is_some_and(|now| now > even)
        {
            let value = one
                .value
                .map_or_else(String::new, |value| value.to_string());
            says += &format!("; it rose from {value}");
        }
        says + "."
    }

    /// The time that is left where it was read last.
    fn left(&self, last: &Entry) -> String {
        let baseline = self.quantity(self.fact(&self.reading.baseline));
        let left = match &self.facts.fact(self.fact(&self.reading.left)).content {
            _ if self.is_below(last) => {
                "this is purer than the mains itself: read the hose and the mains again".to_string()
            }
            Content::Known(Value::Quantity(left)) => {
                let end = left.range.high().at().is_some_and(|at| at.is_zero());
                let more = print::worked_out_to(Kind::Time, &left.range, 2);
                if end {
                    "clean by the readings".to_string()
                } else {
                    format!("{more} more here")
                }
            }
            _ if self.is_clean(last) => "this reading counts as clean".to_string(),
            _ => "more readings here will tell the time left".to_string(),
        };
        match baseline {
            Some(baseline) => format!("Baseline {baseline}; {left}."),
            None => capital(&left) + ".",
        }
    }

    /// The parts that are read one by one.
    fn branches(&self) -> Vec<String> {
        let each = &self.reading.branches.each;
        let list = self.fact(&each.list);
        let meant = |element: &FactId| {
            let truth = |node| truth(node, &self.scene, &[*element], &[]);
            each.filter.as_deref().map_or(Truth::Yes, truth) != Truth::No
        };
        let elements = self.facts.elements(list).filter(meant);
        elements
            .map(|one| element_name(self.facts, self.vocabulary, one))
            .collect()
    }

    /// How many parts were read, and by the plan how long the rest takes, and all that comes after them.
    fn whole(&self, lines: &[Entry]) -> String {
        let branches = self.branches();
        let is_read = |name: &str| lines.iter().any(|one| one.of == name);
        let read = branches.iter().filter(|name| is_read(name)).count();
        let said = format!("{read} of {} read on their own", branches.len());
        let Ok(told) = tell(self.facts, self.vocabulary) else {
            return said + ".";
        };
        let all =
            |times: &mut dyn Iterator<Item = Range>| times.fold(Range::point(0.0), Range::plus);
        let turns = told.plan.order.iter();
        let left = all(&mut turns
            .filter(|turn| !is_read(&turn.id))
            .map(|turn| turn.time));
        let after = told
            .day
            .iter()
            .skip_while(|stage| stage.says != TURNS)
            .skip(1);
        let after = all(&mut after.map(|stage| stage.time));
        let in_all = minutes(left.plus(told.unnamed.1).plus(after));
        let take = match branches.len() - read {
            all if read == 0 => format!("all {all} take"),
            0 => return format!("{said}; by the plan the day from here takes {in_all}."),
            1 => "the last takes".to_string(),
            others => format!("the other {others} take"),
        };
        let left = minutes(left);
        format!("{said}; by the plan {take} {left}, and the day from here {in_all}.")
    }

    /// Where all together read clean, the parts that did not when they were read on their own.
    fn hidden(&self, last: &Entry, lines: &[Entry]) -> Option<String> {
        let together = |name: &String| self.reading.together.contains(name);
        if !together(&last.of) || !self.is_clean(last) {
            return None;
        }
        let mut latest: BTreeMap<&str, &Entry> = BTreeMap::new();
        for one in lines.iter().filter(|one| !together(&one.of)) {
            latest.insert(&one.of, one);
        }
        let dirty = latest.values().filter(|one| !self.is_clean(one));
        let told = |one: &&Entry| {
            let value = one
                .value
                .map_or_else(String::new, |value| value.to_string());
            format!("{} ({value})", one.of)
        };
        let dirty: Vec<String> = dirty.map(told).collect();
        (!dirty.is_empty()).then(|| {
            format!(
                "Only the water of all together is clean: read these on their own again: {}.",
                dirty.join(", ")
            )
        })
    }
}

/// A reading at the one temperature.
fn brought(value: &Quantity, warmth: &Quantity) -> Option<Interval> {
    let function = FUNCTIONS
        .iter()
        .find(|one| one.name == AT_ONE_TEMPERATURE)?;
    (function.value)(&[value.range, warmth.range])
}

/// `10:42`
fn clock(moment: DateTime) -> String {
    let text = moment.to_string();
    text.split_once('T')
        .map_or(text.clone(), |(_, clock)| clock.to_string())
}

/// `35 to 50 min`, or from two hours on `2 h 15 min to 3 h 5 min`.
fn minutes(range: Range) -> String {
    let whole = |seconds: f64| (seconds / 60.0).round() as i64;
    let (low, high) = (whole(range.low), whole(range.high));
    let told = |minutes: i64| match (minutes / 60, minutes % 60) {
        (0 | 1, _) => format!("{minutes} min"),
        (hours, 0) => format!("{hours} h"),
        (hours, minutes) => format!("{hours} h {minutes} min"),
    };
    if range.high.is_infinite() {
        format!("at least {}", told(low))
    } else if low == high {
        told(low)
    } else if high < 120 {
        format!("{low} to {high} min")
    } else {
        format!("{} to {}", told(low), told(high))
    }
}
