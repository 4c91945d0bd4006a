//! Exact numbers and the world that rounds: doubles and decimals.
//!
//! Contract: every rounding here is told its direction and is correct to the last digit; nothing
//! is rounded twice.

use super::exact::Exact;
use std::cmp::Ordering;
use std::fmt;

/// Which way a number goes that has more digits than are wanted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Rounding {
    /// To the nearest; a tie goes to the even digit.
    Nearest,
    /// Never above the number.
    Down,
    /// Never below the number.
    Up,
}

/// The most decimals that rounding keeps; what is smaller than a unit of the last is rounded too.
const MOST_DECIMALS: u32 = 36;
/// How many digits are shown of a number without a finite decimal.
const SHOWN_DIGITS: u32 = 12;

impl Exact {
    /// The double nearest to this number; a tie goes to the even one.
    pub fn to_f64(self) -> f64 {
        // Whole numbers up to 2^53 are doubles, and a division of doubles is rounded once.
        const WHOLE: u64 = 1 << 53;
        if let (Ok(above), Ok(below)) = (i64::try_from(self.above()), u64::try_from(self.below()))
            && above.unsigned_abs() <= WHOLE
            && below <= WHOLE
        {
            #[expect(clippy::cast_precision_loss, reason = "both fit, so nothing is lost")]
            return above as f64 / below as f64;
        }
        let below = self.below().unsigned_abs();
        let mut bits = self.above().unsigned_abs() / below;
        let mut rest = self.above().unsigned_abs() % below;
        // Append binary places until there are two more than a double holds. What remains is
        // folded into the last place, where it can only break a tie.
        let mut places = 0;
        while bits < 1 << 55 && rest != 0 {
            rest <<= 1;
            bits <<= 1;
            places += 1;
            if rest >= below {
                rest -= below;
                bits |= 1;
            }
        }
        if rest != 0 {
            bits |= 1;
        }
        #[expect(
            clippy::cast_precision_loss,
            reason = "this cast does the one rounding"
        )]
        let size = bits as f64 * 0.5_f64.powi(places);
        if self.is_negative() { -size } else { size }
    }

    /// This number to so many significant digits, at most 30, and at most 36 decimals.
    #[must_use]
    pub fn rounded(self, significant: u32, rounding: Rounding) -> Exact {
        let below = self.below().unsigned_abs();
        let mut digits = self.above().unsigned_abs() / below;
        let mut rest = self.above().unsigned_abs() % below;
        let limit = 10_u128.pow(significant.clamp(1, 30));
        let (mut decimals, mut dropped) = (0, 1);
        while digits < limit / 10 && rest != 0 && decimals < MOST_DECIMALS {
            let (more, left, taken) = next_digits(rest, below, MOST_DECIMALS - decimals);
            digits = digits * 10_u128.pow(taken) + more;
            rest = left;
            decimals += taken;
        }
        while digits / dropped >= limit {
            dropped *= 10;
        }
        let left_over = digits % dropped;
        let kept = digits / dropped;
        let beyond = (left_over * 2).cmp(&dropped);
        let half = match (dropped, beyond) {
            (1, _) => (rest * 2).cmp(&below),
            (_, Ordering::Equal) if rest != 0 => Ordering::Greater,
            _ => beyond,
        };
        let inexact = left_over != 0 || rest != 0;
        let away = inexact
            && match rounding {
                Rounding::Nearest => half.is_gt() || half.is_eq() && kept % 2 == 1,
                Rounding::Down => self.is_negative(),
                Rounding::Up => !self.is_negative(),
            };
        let size = (kept + u128::from(away)).checked_mul(dropped);
        let Some(size) = size.and_then(|size| i128::try_from(size).ok()) else {
            return self;
        };
        let signed = if self.is_negative() { -size } else { size };
        Exact::decimal(signed, decimals).unwrap_or(self)
    }

    /// How many decimals write this number exactly; `None` if no number of them does, or more than
    /// 36 are needed.
    pub fn decimals(self) -> Option<u32> {
        let (mut below, mut twos, mut fives) = (self.below(), 0, 0);
        while below % 2 == 0 {
            below /= 2;
            twos += 1;
        }
        while below % 5 == 0 {
            below /= 5;
            fives += 1;
        }
        let needed = twos.max(fives);
        (below == 1 && needed <= MOST_DECIMALS).then_some(needed)
    }

    /// The exact decimal with at least so many decimals; a number that has no finite decimal is
    /// rounded to 12 significant digits.
    pub fn to_decimal(self, least_decimals: u32) -> String {
        let (shown, needed) = if let Some(needed) = self.decimals() {
            (self, needed)
        } else {
            let near = self.rounded(SHOWN_DIGITS, Rounding::Nearest);
            (near, near.decimals().unwrap_or(0))
        };
        let below = shown.below().unsigned_abs();
        let mut text = String::new();
        if shown.is_negative() {
            text.push('-');
        }
        text.push_str(&(shown.above().unsigned_abs() / below).to_string());
        let places = needed.max(least_decimals.min(MOST_DECIMALS));
        if places > 0 {
            text.push('.');
        }
        let mut rest = shown.above().unsigned_abs() % below;
        for _ in 0..places {
            let (digit, left) = next_digit(rest, below);
            text.push(char::from(b"0123456789"[digit as usize % 10]));
            rest = left;
        }
        text
    }
}

/// The next few decimal digits of `rest ÷ below`, at most so many, what is left of it, and how many
/// they are. Nine at a time are had for little more than one.
fn next_digits(rest: u128, below: u128, most: u32) -> (u128, u128, u32) {
    let taken = most.min(9);
    if let Some(scaled) = rest.checked_mul(10_u128.pow(taken)) {
        (scaled / below, scaled % below, taken)
    } else {
        let (digit, left) = next_digit(rest, below);
        (digit, left, 1)
    }
}

/// The next decimal digit of `rest ÷ below`, and what is left of it. Works by doubling, since ten
/// times `rest` may not fit.
fn next_digit(rest: u128, below: u128) -> (u128, u128) {
    let (mut digit, mut left) = (0, 0);
    for step in [rest, 0, rest, 0] {
        // 10 = ((1 × 2) × 2 + 1) × 2, taken from the front.
        digit *= 2;
        left *= 2;
        if left >= below {
            left -= below;
            digit += 1;
        }
        left += step;
        if left >= below {
            left -= below;
            digit += 1;
        }
    }
    (digit, left)
}

impl fmt::Display for Exact {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.to_decimal(0))
    }
}

impl fmt::Debug for Exact {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.decimals().is_some() {
            write!(f, "{self}")
        } else {
            write!(f, "{}/{}", self.above(), self.below())
        }
    }
}
