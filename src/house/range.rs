//! Ranges of doubles, as formulas take and give them, and the way to exact numbers and back.
//!
//! Contract: a range goes to exact numbers outwards, so it loses no number that it held; a single
//! number goes to the nearest, so a reading of three digits gives a figure without noise in the
//! fifteenth. Both ways keep the order of numbers: a range within another stays within it.

use wetside_units::print::FOR_EVER;
use wetside_units::{End, Exact, Interval, Kind, Rounding, UnitId};

/// Everything from `low` to `high`, in base units; an end may be infinite.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Range {
    pub low: f64,
    pub high: f64,
}

/// Digits that are taken for more than the noise of floating point, in the usual unit of the kind: so a
/// recorded number that comes through a formula unchanged is that number.
const SOUND_DIGITS: i32 = 12;
/// So many of them an end of a range does without, outwards.
const DROPPED: u32 = 6;

impl Range {
    pub const fn point(value: f64) -> Range {
        Range {
            low: value,
            high: value,
        }
    }

    pub const fn new(low: f64, high: f64) -> Range {
        Range { low, high }
    }

    /// Nothing, and no telling how much more.
    pub const FROM_NOTHING: Range = Range::new(0.0, f64::INFINITY);

    pub fn is_point(&self) -> bool {
        self.low >= self.high
    }

    #[must_use]
    pub fn plus(self, other: Range) -> Range {
        Range::new(self.low + other.low, self.high + other.high)
    }

    /// The range times a number that is not negative.
    #[must_use]
    pub fn times(self, factor: f64) -> Range {
        Range::new(self.low * factor, self.high * factor)
    }

    /// The range of the product of two numbers that are not negative.
    #[must_use]
    pub fn product(self, other: Range) -> Range {
        Range::new(self.low * other.low, self.high * other.high)
    }

    /// The smallest range that holds both.
    #[must_use]
    pub fn hull(self, other: Range) -> Range {
        Range::new(self.low.min(other.low), self.high.max(other.high))
    }

    /// What both hold; nothing where they have no number in common.
    pub fn within(self, other: Range) -> Option<Range> {
        let (low, high) = (self.low.max(other.low), self.high.min(other.high));
        (low <= high).then_some(Range { low, high })
    }

    pub fn middle(&self) -> f64 {
        0.5 * (self.low + self.high)
    }

    pub fn of(interval: &Interval) -> Range {
        let end = |end: End, without: f64| end.at().map_or(without, Exact::to_f64);
        Range::new(
            end(interval.low(), f64::NEG_INFINITY),
            end(interval.high(), f64::INFINITY),
        )
    }

    /// The range in exact numbers; nothing if it holds what is no number.
    pub fn to_interval(self, kind: Kind) -> Option<Interval> {
        if self.low.is_nan() || self.high.is_nan() {
            return None;
        }
        let unit = UnitId::usual(kind);
        let (factor, offset) = (unit.factor().to_f64(), unit.offset().to_f64());
        // Digits in the usual unit, and how many of them are decimals.
        let sound = |value: f64| {
            let own = if offset == 0.0 {
                quiet(value, kind) / factor
            } else {
                without_noise(value - offset) / factor
            };
            if own == 0.0 {
                return Some((0, 0));
            }
            sound_digits(own)
        };
        let exact = |(digits, decimals)| unit.to_base(Exact::with_decimals(digits, decimals)?);
        let outward = |value: f64, rounding: Rounding| {
            let (digits, decimals) = sound(value)?;
            let beyond = 10_i64.pow(DROPPED);
            let (kept, rest) = (digits.div_euclid(beyond), digits.rem_euclid(beyond));
            let up = i64::from(rounding == Rounding::Up && rest != 0);
            exact((kept + up, decimals - DROPPED.cast_signed()))
        };
        if self.is_point() && self.low.is_finite() {
            return Some(Interval::exact(exact(sound(self.low)?)?));
        }
        let ever = Exact::whole(FOR_EVER);
        let low = match self.low {
            f64::NEG_INFINITY => End::Unbounded,
            f64::INFINITY => End::Open(ever),
            low => {
                let low = outward(low, Rounding::Down)?;
                End::Closed(if self.high.is_infinite() {
                    low.min(ever)
                } else {
                    low
                })
            }
        };
        let high = match self.high {
            f64::INFINITY => End::Unbounded,
            high => End::Closed(outward(high, Rounding::Up)?),
        };
        Interval::new(low, high)
    }
}

/// A number other than nought to its sound digits, a tie to the even one: all digits as one whole number, and
/// how many of them are decimals, less than none where zeros follow.
fn sound_digits(value: f64) -> Option<(i64, i32)> {
    let size = value.abs();
    let least = 10_f64.powi(SOUND_DIGITS - 1);
    // A whole power of ten is exact as far as it counts here, so each machine rounds alike.
    let scaled = |decimals: i32| match 10_f64.powi(decimals.abs()) {
        ten if decimals < 0 => size / ten,
        ten => size * ten,
    };
    let guess = SOUND_DIGITS - 1 - size.log10().floor() as i32;
    // Beside a power of ten the logarithm, or the rounding, may lead one place further.
    let mut near = [guess, guess - 1, guess + 1].into_iter();
    near.find_map(|decimals| {
        let digits = scaled(decimals).round_ties_even();
        let sound = least <= digits && digits < 10.0 * least;
        sound.then(|| (digits.copysign(value) as i64, decimals))
    })
}

/// A temperature in °C from kelvin, without the noise of the difference.
pub fn celsius(kelvin: f64) -> f64 {
    without_noise(kelvin - 273.15)
}

/// A difference of temperatures without the noise of floating point.
fn without_noise(kelvin: f64) -> f64 {
    (kelvin * 1e9).round() / 1e9
}

/// Nothing, where a difference of equal numbers left only the noise of floating point.
fn quiet(value: f64, kind: Kind) -> f64 {
    let grain = match kind {
        Kind::GaugePressure | Kind::AbsolutePressure | Kind::PressureDifference => 1e-6,
        Kind::Power | Kind::Energy => 1e-6,
        _ => 1e-12,
    };
    if value.abs() < grain { 0.0 } else { value }
}
