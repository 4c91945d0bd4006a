//! Figures of the water itself: what counts as rinsed, and what a reading is worth.

use super::survey;
use super::table::{Figure, Input, NO_SOURCE, Source};
use super::table::{convention, fact, figures, gathered, source};
use super::view::{Gathered, Refused, View};
use wetside_base::facts::FactId;
use wetside_house::{Range, celsius};
use wetside_physics::water::reads_at;
use wetside_units::Kind;

const BAND: Source = source(
    "data sheet of a flushing test kit; a housing specification quoted in a forum",
    "read",
);

pub(super) const MAINS: Input = fact("C_m", survey::MAINS_TDS);
/// Share of the mains' reading within which the water counts as rinsed.
pub(super) const BAND_SHARE: f64 = 0.1;
/// The least band of dissolved solids, in kg/m³: 10 ppm.
pub(super) const BAND_LEAST: f64 = 0.010;

pub(super) const SHARE: Input = convention(
    "b",
    "share of the mains reading that the rinse may differ by",
    Kind::Share,
    (BAND_SHARE, BAND_SHARE),
    BAND,
)
.either();
/// A tenth of a very soft mains is inside the error of many meters.
pub(super) const LEAST: Input = convention(
    "B",
    "least difference that counts on very soft mains",
    Kind::DissolvedSolids,
    (BAND_LEAST, BAND_LEAST),
    NO_SOURCE,
)
.either();

pub(super) const FIGURES: &[Figure] = figures! {
    "tds_low": DissolvedSolids,
        "The lowest reading of dissolved solids that counts as rinsed to the mains.";
        "C = C_m − max(b C_m, B), at least 0", BAND;
        [MAINS, SHARE, LEAST]
        => { |mains, share, least| (mains - band(mains, share, least)).max(0.0) };

    "tds_high": DissolvedSolids,
        "The highest reading of dissolved solids that counts as rinsed to the mains.";
        "C = C_m + max(b C_m, B)", BAND;
        [MAINS, SHARE, LEAST]
        => { |mains, share, least| mains + band(mains, share, least) };

    "temperature_error": Share,
        "By how much the end reading is off against the mains because their temperatures differ and the \
         meter does not correct for it.";
        "e = f(t)/f(t_m) − 1, f = 1 + 0.02 (t − 25), above 36 °C 1.22 + (0.017 to 0.024) (t − 36); 0 with a meter that corrects", METER;
        [READS]
        => { |reads| reads - 1.0 };

    "proof_tds_corrected": DissolvedSolids,
        "The end reading as the same meter would show it at the temperature of the mains.";
        "C = C_p/R", METER;
        [fact("C_p", survey::PROOF_TDS), READS.down()]
        => { |proof, reads| proof / reads };
};

const METER: Source = source(
    "practice of meters, 2 % a kelvin; above 36 °C 1.7 to 2.4 %, from memory",
    "read",
);

const READS: Input = gathered(
    "R",
    "what the meter reads of a sample for each part that it would read at the mains' temperature",
    Kind::Number,
    misreads,
);

fn misreads(view: &View<'_>, root: FactId) -> Gathered {
    let (compensated, corrects) = view.choice(root, &survey::COMPENSATED);
    let [sample, mains] =
        [survey::PROOF_TEMPERATURE, survey::MAINS_TEMPERATURE].map(|path| view.at(root, path));
    let alike = Range::point(1.0);
    if corrects == Some(true) {
        return Gathered::of(alike, vec![compensated]);
    }
    Gathered::by(vec![compensated, sample, mains], || {
        let (sample, mains) = (reads(view.range(sample)?)?, reads(view.range(mains)?)?);
        let ratio = Range::new(sample.low / mains.high, sample.high / mains.low);
        Ok(if corrects.is_none() {
            ratio.hull(alike)
        } else {
            ratio
        })
    })
}

/// What a meter that does not correct reads of water of a temperature in kelvin, for each part at 25 °C.
pub(super) fn reads(temperature: Range) -> Result<Range, Refused> {
    let (least, _) = reads_at(celsius(temperature.low))?;
    let (_, most) = reads_at(celsius(temperature.high))?;
    Ok(Range::new(least, most))
}

/// How far a rinse may read from the mains, by the share of them and the least difference.
pub(super) fn band(mains: f64, share: f64, least: f64) -> f64 {
    (share * mains).max(least)
}
