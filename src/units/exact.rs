//! A number without rounding: a ratio of two 128-bit whole numbers in lowest terms.
//!
//! Contract: an operation gives the exact result, or `None` when it does not fit; it never rounds
//! and never panics. The two places that round, [`Exact::rounded`] and [`Exact::from_f64`], say so
//! and are told how.
//!
//! Why not floating point: a length of 0.7 mm times a thousandth is not the double nearest to
//! 0.0007, and rules are about just those limits.

use num_rational::Ratio;
use std::cmp::Ordering;
use std::fmt;
use std::hash::{Hash, Hasher};

/// An exact number.
#[derive(Clone, Copy)]
pub struct Exact(Ratio<i128>);

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
    pub const ZERO: Exact = Exact(Ratio::new_raw(0, 1));
    pub const ONE: Exact = Exact(Ratio::new_raw(1, 1));

    /// The number `above ÷ below`; `None` if `below` is zero or the parts do not fit.
    pub fn ratio(above: i128, below: i128) -> Option<Exact> {
        if below == 0 || above == i128::MIN || below == i128::MIN {
            return None;
        }
        let (above, below) = if below < 0 {
            (-above, -below)
        } else {
            (above, below)
        };
        if below == 1 {
            return Some(Exact(Ratio::new_raw(above, 1)));
        }
        let shared = common_divisor(above.unsigned_abs(), below.unsigned_abs()).cast_signed();
        Some(Exact(Ratio::new_raw(above / shared, below / shared)))
    }

    /// The number `digits ÷ 10^decimals`, as a decimal is written.
    pub fn decimal(digits: i128, decimals: u32) -> Option<Exact> {
        Exact::ratio(digits, 10_i128.checked_pow(decimals)?)
    }

    /// Reads `12`, `-0.5` or `7.20`: an optional sign (`-` or `−`), digits, and perhaps a point
    /// with digits on both sides. Anything else, or more than 18 significant digits, is `None`.
    pub fn parse(text: &str) -> Option<Exact> {
        let (negative, rest) = match text.strip_prefix('-').or_else(|| text.strip_prefix('−')) {
            Some(rest) => (true, rest),
            None => (false, text),
        };
        let (whole, part) = rest.split_once('.').unwrap_or((rest, "0"));
        let all_digits = |s: &str| !s.is_empty() && s.bytes().all(|b| b.is_ascii_digit());
        if !all_digits(whole) || !all_digits(part) {
            return None;
        }
        let mut digits = 0_i128;
        for byte in whole.bytes().chain(part.bytes()) {
            digits = digits * 10 + i128::from(byte - b'0');
            if digits >= 10_i128.pow(18) {
                return None;
            }
        }
        let decimals = u32::try_from(part.len()).ok()?;
        Exact::decimal(if negative { -digits } else { digits }, decimals)
    }

    /// The number above the line, in lowest terms; carries the sign.
    pub fn above(self) -> i128 {
        *self.0.numer()
    }

    /// The number below the line, in lowest terms; never less than one.
    pub fn below(self) -> i128 {
        *self.0.denom()
    }

    pub fn is_zero(self) -> bool {
        self.above() == 0
    }

    pub fn is_negative(self) -> bool {
        self.above() < 0
    }

    pub fn is_whole(self) -> bool {
        self.below() == 1
    }

    /// The same number on the other side of zero.
    #[must_use]
    pub fn negated(self) -> Exact {
        Exact(Ratio::new_raw(-self.above(), self.below()))
    }

    /// The distance from zero.
    #[must_use]
    pub fn magnitude(self) -> Exact {
        if self.is_negative() {
            self.negated()
        } else {
            self
        }
    }

    /// The greatest whole number that is not above this one.
    #[must_use]
    pub fn floor(self) -> Exact {
        Exact(Ratio::new_raw(self.above().div_euclid(self.below()), 1))
    }

    /// The least whole number that is not below this one.
    #[must_use]
    pub fn ceil(self) -> Exact {
        self.negated().floor().negated()
    }

    pub fn plus(self, other: Exact) -> Option<Exact> {
        if self.below() == other.below() {
            return Exact::ratio(self.above().checked_add(other.above())?, self.below());
        }
        let shared = common_divisor(self.below().unsigned_abs(), other.below().unsigned_abs());
        let (mine, theirs) = (
            self.below() / shared.cast_signed(),
            other.below() / shared.cast_signed(),
        );
        let left = self.above().checked_mul(theirs)?;
        let right = other.above().checked_mul(mine)?;
        Exact::ratio(left.checked_add(right)?, self.below().checked_mul(theirs)?)
    }

    pub fn minus(self, other: Exact) -> Option<Exact> {
        self.plus(other.negated())
    }

    pub fn times(self, other: Exact) -> Option<Exact> {
        let one = common_divisor(self.above().unsigned_abs(), other.below().unsigned_abs());
        let two = common_divisor(other.above().unsigned_abs(), self.below().unsigned_abs());
        let (one, two) = (one.cast_signed(), two.cast_signed());
        let above = (self.above() / one).checked_mul(other.above() / two)?;
        let below = (self.below() / two).checked_mul(other.below() / one)?;
        if above == i128::MIN {
            return None;
        }
        Some(Exact(Ratio::new_raw(above, below)))
    }

    /// `None` also when the divisor is zero.
    pub fn over(self, other: Exact) -> Option<Exact> {
        self.times(Exact::ratio(other.below(), other.above())?)
    }

    /// The double nearest to this number; a tie goes to the even one.
    pub fn to_f64(self) -> f64 {
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

    /// A double as an exact number, rounded to `significant` digits. `None` if it is infinite, not
    /// a number, or of a size beyond 2^126. A size below 10^-21 that does not fit becomes zero, or
    /// 10^-21 where the rounding leads away from zero.
    pub fn from_f64(value: f64, significant: u32, rounding: Rounding) -> Option<Exact> {
        if value == 0.0 {
            return Some(Exact::ZERO);
        }
        if !value.is_finite() || value.abs() >= 2_f64.powi(126) {
            return None;
        }
        let bits = value.to_bits();
        let raised = i32::try_from((bits >> 52) & 0x7ff).ok()?;
        let fraction = i128::from(bits & ((1 << 52) - 1));
        let (size, power) = match raised {
            0 => (fraction, -1074),
            _ => (fraction | 1 << 52, raised - 1075),
        };
        let negative = value.is_sign_negative();
        let signed = if negative { -size } else { size };
        if power >= 0 {
            return Some(Exact::ratio(signed << power, 1)?.rounded(significant, rounding));
        }
        let drop = (-power).min(size.trailing_zeros().cast_signed());
        let places = -power - drop;
        if places > 125 {
            let tiny = match rounding {
                Rounding::Up if !negative => 1,
                Rounding::Down if negative => -1,
                _ => 0,
            };
            return Exact::decimal(tiny, 21);
        }
        let whole = Exact::ratio(signed >> drop, 1 << places)?;
        Some(whole.rounded(significant, rounding))
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
            let (digit, left) = next_digit(rest, below);
            digits = digits * 10 + digit;
            rest = left;
            decimals += 1;
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
        let (shown, needed) = match self.decimals() {
            Some(needed) => (self, needed),
            None => {
                let near = self.rounded(SHOWN_DIGITS, Rounding::Nearest);
                (near, near.decimals().unwrap_or(0))
            }
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

fn common_divisor(a: u128, b: u128) -> u128 {
    let (mut a, mut b) = (a, b);
    while b != 0 {
        // Most numbers of a survey fit 64 bits, where division is many times faster.
        if let (Ok(mut small), Ok(mut other)) = (u64::try_from(a), u64::try_from(b)) {
            while other != 0 {
                (small, other) = (other, small % other);
            }
            return u128::from(small);
        }
        (a, b) = (b, a % b);
    }
    a.max(1)
}

impl PartialEq for Exact {
    /// Lowest terms make equal numbers equal part by part.
    fn eq(&self, other: &Exact) -> bool {
        self.above() == other.above() && self.below() == other.below()
    }
}

impl Eq for Exact {}

impl Hash for Exact {
    fn hash<H: Hasher>(&self, state: &mut H) {
        self.above().hash(state);
        self.below().hash(state);
    }
}

impl PartialOrd for Exact {
    fn partial_cmp(&self, other: &Exact) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Exact {
    fn cmp(&self, other: &Exact) -> Ordering {
        let left = self.above().checked_mul(other.below());
        let right = other.above().checked_mul(self.below());
        match (left, right) {
            (Some(left), Some(right)) => left.cmp(&right),
            // The ratio compares by whole parts and remainders, which cannot overflow.
            _ => self.0.cmp(&other.0),
        }
    }
}

impl From<i64> for Exact {
    fn from(whole: i64) -> Exact {
        Exact(Ratio::new_raw(i128::from(whole), 1))
    }
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
