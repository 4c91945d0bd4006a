//! Figures of the readings taken at the dump hose: how much water mixes, and how long is left.
//!
//! Contract: the readings of the rinse are those at the end of the log that name the same branch as
//! the last, as far back as they draw nearer to the mains, brought to the temperature of the mains where the
//! meter does not correct for it; where nobody says whether it does, both ways count. A log that may go
//! on, a reading that is not exact or a moment that is not known gives no figure, and the reason names
//! the reading. The curve is that of well-mixed water; its
//! ranges hold the value nineteen times in twenty, if the water does mix well.

use super::emitters::elements;
use super::survey;
use super::table::{Figure, Source, figure, figures, gathered, source};
use super::view::{Gathered, Refused, View};
use super::water::{BAND_LEAST, BAND_SHARE, band, reads};
use wetside_base::facts::{FactId, Facts, fact_name};
use wetside_house::Range;
use wetside_physics::fit::{Estimate, Fit, Reading, fit, time_within};
use wetside_units::Kind;

const CURVE: Source = source(
    "least squares through an exponential approach to the mains; Student's distribution",
    "from memory",
);

pub(super) const FIGURES: &[Figure] = figures! {
    "mixing_volume": Volume,
        "The water that mixes in the rinse, by its readings at the dump hose: it owes nothing to what is \
         recorded of radiators and pipes.";
        "V = q/k, k where C = C_m + A e^(−k t) runs nearest to the readings", CURVE;
        [
            figure("q", "rinse_flow"),
            gathered("k", "how fast the readings draw near the mains, in changes a second", Kind::Number,
                rate).down(),
        ]
        => { |flow, rate| if rate > 0.0 { flow / rate } else { f64::INFINITY } };

    "rinse_left": Time,
        "How long the rinse still takes after its last reading, if it goes on as its readings do.";
        "t = ln(|A|/max(b C_m, B))/k − t_last, at least 0", CURVE;
        [
            gathered("t_end", "from the first of its readings until they count as clean", Kind::Time, end),
            gathered("t_last", "from the first of its readings to the last", Kind::Time, last).down(),
        ]
        => { |end, last| (end - last).max(0.0) };
};

/// The readings of the rinse and the mains, each way that they may have to be taken, with the facts behind.
struct Log {
    /// When the first of the readings was taken, in s, and all of them from then on.
    ways: Result<Vec<(f64, Vec<Reading>)>, Refused>,
    mains: Result<f64, Refused>,
    facts: Vec<FactId>,
}

/// Readings no further from the mains than this, in kg/m³, tell nothing of the curve: three digits of
/// a meter.
const SEEN: f64 = 0.003;

fn log(view: &View<'_>, root: FactId) -> Log {
    let list = view.at(root, survey::FLUSH_LOG);
    let mains_id = view.at(root, survey::MAINS_TDS);
    let mains = exact(view, mains_id);
    let mut facts = vec![list, mains_id];
    let entries = entries(view, list, &mut facts);
    let as_read = mains.clone().and_then(|mains| Ok((mains, entries?)));
    let ways = as_read.and_then(|(mains, entries)| {
        let all = corrected(view, root, entries, &mut facts)?;
        Ok(all.into_iter().map(|way| rinse(way, mains)).collect())
    });
    Log { ways, mains, facts }
}

/// One line of the log.
#[derive(Clone)]
struct Entry {
    element: FactId,
    /// Seconds.
    at: f64,
    value: f64,
    branch: String,
}

fn entries(view: &View<'_>, list: FactId, facts: &mut Vec<FactId>) -> Result<Vec<Entry>, Refused> {
    let (listed, more) = elements(view, list);
    if listed.is_empty() {
        return Err(if more {
            view.open(list)
        } else {
            "there are no readings".into()
        });
    }
    let mut entries = Vec::with_capacity(listed.len());
    for element in listed {
        let [at, value, branch] = [survey::LOGGED_AT, survey::LOGGED_TDS, survey::LOGGED_BRANCH]
            .map(|path| view.at(element, path));
        facts.extend([value, at, branch]);
        let text = view.facts.text(branch).ok_or_else(|| view.open(branch));
        entries.push(Entry {
            element,
            at: view.moment(at)?,
            value: exact(view, value)?,
            branch: text?.to_string(),
        });
    }
    if more {
        return Err("the log may hold readings that are not listed".into());
    }
    Ok(entries)
}

/// The readings as a meter that corrects gives them, and as one that does not would at the temperature of
/// the mains, at either end of what hot water reads.
fn corrected(
    view: &View<'_>,
    root: FactId,
    entries: Vec<Entry>,
    facts: &mut Vec<FactId>,
) -> Result<Vec<Vec<Entry>>, Refused> {
    let (compensated, corrects) = view.choice(root, &survey::COMPENSATED);
    facts.push(compensated);
    if corrects == Some(true) {
        return Ok(vec![entries]);
    }
    let mains = view.at(root, survey::MAINS_TEMPERATURE);
    facts.push(mains);
    let at_mains = reads(Range::point(exact(view, mains)?))?;
    let mut ways = vec![entries.clone(), entries.clone()];
    for (nth, entry) in entries.iter().enumerate() {
        let id = view.at(entry.element, survey::LOGGED_TEMPERATURE);
        facts.push(id);
        let here = reads(Range::point(exact(view, id)?))?;
        ways[0][nth].value *= at_mains.low / here.low;
        ways[1][nth].value *= at_mains.high / here.high;
    }
    if corrects.is_none() {
        ways.push(entries);
    }
    Ok(ways)
}

/// The readings of the rinse that tell something, from the first of them on.
fn rinse(mut entries: Vec<Entry>, mains: f64) -> (f64, Vec<Reading>) {
    let rinse = last_of_one_branch(&mut entries, mains);
    let told = |entry: &&Entry| (entry.value - mains).abs() >= SEEN;
    let begins = rinse[0].at;
    let timed = |entry: &Entry| Reading {
        time: entry.at - begins,
        value: entry.value,
    };
    (begins, rinse.iter().filter(told).map(timed).collect())
}

/// Those at the end that name the same branch and draw nearer to the mains.
fn last_of_one_branch(entries: &mut [Entry], mains: f64) -> &[Entry] {
    entries.sort_by(|one, other| one.at.total_cmp(&other.at));
    let off = |entry: &Entry| (entry.value - mains).abs();
    let mut from = entries.len() - 1;
    while from > 0 {
        let (before, after) = (&entries[from - 1], &entries[from]);
        if before.branch != after.branch || off(before) < off(after) {
            break;
        }
        from -= 1;
    }
    &entries[from..]
}

/// A reading, which must be one number.
fn exact(view: &View<'_>, id: FactId) -> Result<f64, Refused> {
    let range = view.range(id)?;
    if range.is_point() {
        Ok(range.low)
    } else {
        let name = fact_name(view.facts, view.vocabulary, id);
        Err(Refused(format!(
            "`{name}` is a range, and it takes one number"
        )))
    }
}

/// How many standard errors either side hold the value nineteen times in twenty, by the number of
/// readings beyond the two that the curve takes up: Student's distribution (from memory).
fn spread(beyond: usize) -> f64 {
    const TABLE: [f64; 10] = [12.71, 4.30, 3.18, 2.78, 2.57, 2.45, 2.36, 2.31, 2.26, 2.23];
    let at = beyond.saturating_sub(1);
    TABLE.get(at).copied().unwrap_or(TABLE[TABLE.len() - 1])
}

fn around(estimate: Estimate, readings: usize) -> Range {
    let off = spread(readings.saturating_sub(2)) * estimate.standard_error;
    Range::new(
        (estimate.value - off).max(0.0),
        (estimate.value + off).max(0.0),
    )
}

/// What is asked of the fitted curve.
fn fitted(
    view: &View<'_>,
    survey: FactId,
    of: fn(&Fit, f64) -> Result<Estimate, Refused>,
) -> Gathered {
    each_way(view, survey, |readings, mains| {
        let found = fit(readings, mains)?;
        Ok(around(of(&found, mains)?, readings.len()))
    })
}

/// What is found in the readings, over each way that they may have to be taken.
fn each_way(
    view: &View<'_>,
    survey: FactId,
    find: impl Fn(&[Reading], f64) -> Result<Range, Refused>,
) -> Gathered {
    let Log { ways, mains, facts } = log(view, survey);
    let range = ways.and_then(|ways| {
        let mains = mains?;
        let mut found = ways.iter().map(|(_, readings)| find(readings, mains));
        let first = found
            .next()
            .unwrap_or(Err("there are no readings".into()))?;
        found.try_fold(first, |hull, one| Ok(hull.hull(one?)))
    });
    Gathered { range, facts }
}

/// When the readings of the rinse begin, in s, and they, as they are first to be taken; none where they cannot
/// be used.
pub(super) fn readings(view: &View<'_>) -> (f64, Vec<Reading>) {
    let ways = log(view, Facts::ROOT).ways.unwrap_or_default();
    ways.into_iter().next().unwrap_or_default()
}

fn rate(view: &View<'_>, survey: FactId) -> Gathered {
    fitted(view, survey, |fit, _| {
        Ok(Estimate {
            value: fit.rate,
            standard_error: fit.covariance[2].max(0.0).sqrt(),
        })
    })
}

fn end(view: &View<'_>, survey: FactId) -> Gathered {
    fitted(view, survey, |fit, mains| {
        let band = band(mains, BAND_SHARE, BAND_LEAST);
        Ok(time_within(fit, band)?)
    })
}

/// The time of the last reading that still tells something.
fn last(view: &View<'_>, survey: FactId) -> Gathered {
    each_way(view, survey, |readings, _| {
        let last = readings.last().ok_or("there are no readings")?;
        Ok(Range::point(last.time))
    })
}
