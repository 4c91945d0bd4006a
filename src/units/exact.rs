//! A number without rounding: a ratio of two 128-bit whole numbers in lowest terms.
//!
//! Contract: an operation gives the exact result, or `None` when it does not fit; it never rounds
//! and never panics. What rounds is in
//! [`super::rounding`].
//!
//! Why not floating point: a length of 0.7 mm times a thousandth is not the double nearest to
//! 0.0007, and rules are about just those limits.

use serde::{Deserialize, Serialize};
use std::cmp::Ordering;

/// An exact number, in lowest terms, so that equal numbers are equal part by part.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub struct Exact {
    /// Carries the sign.
    above: i128,
    /// Never less than one.
    below: i128,
}

impl Exact {
    pub const ZERO: Exact = Exact::whole(0);
    pub const ONE: Exact = Exact::whole(1);

    /// A whole number.
    pub const fn whole(number: i64) -> Exact {
        Exact::raw(number as i128, 1)
    }

    /// What is in lowest terms already.
    const fn raw(above: i128, below: i128) -> Exact {
        Exact { above, below }
    }

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
            return Some(Exact::raw(above, 1));
        }
        let shared = common_divisor(above.unsigned_abs(), below.unsigned_abs());
        let (above, below) = (shared_out(above, shared), shared_out(below, shared));
        Some(Exact::raw(above, below))
    }

    /// The number `digits ÷ 10^decimals`, as a decimal is written.
    pub fn decimal(digits: i128, decimals: u32) -> Option<Exact> {
        Exact::ratio(digits, 10_i128.checked_pow(decimals)?)
    }

    /// The same, with less than no decimals where zeros follow the digits.
    pub fn with_decimals(digits: i64, decimals: i32) -> Option<Exact> {
        let ten = 10_i128.checked_pow(decimals.unsigned_abs())?;
        if decimals > 0 {
            Exact::ratio(i128::from(digits), ten)
        } else {
            Some(Exact::whole(digits).times(Exact::raw(ten, 1))?)
        }
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
        self.above
    }

    /// The number below the line, in lowest terms; never less than one.
    pub fn below(self) -> i128 {
        self.below
    }

    pub fn is_zero(self) -> bool {
        self.above == 0
    }

    pub fn is_negative(self) -> bool {
        self.above < 0
    }

    pub(crate) fn is_whole(self) -> bool {
        self.below == 1
    }

    /// The same number on the other side of zero.
    #[must_use]
    pub fn negated(self) -> Exact {
        Exact::raw(-self.above, self.below)
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
        Exact::raw(self.above.div_euclid(self.below), 1)
    }

    /// The least whole number that is not below this one.
    #[must_use]
    pub fn ceil(self) -> Exact {
        self.negated().floor().negated()
    }

    pub fn plus(self, other: Exact) -> Option<Exact> {
        if other.is_zero() {
            return Some(self);
        }
        if self.below == other.below {
            return Exact::ratio(self.above.checked_add(other.above)?, self.below);
        }
        let shared = common_divisor(self.below.unsigned_abs(), other.below.unsigned_abs());
        let mine = shared_out(self.below, shared);
        let theirs = shared_out(other.below, shared);
        let left = self.above.checked_mul(theirs)?;
        let right = other.above.checked_mul(mine)?;
        Exact::ratio(left.checked_add(right)?, self.below.checked_mul(theirs)?)
    }

    pub fn minus(self, other: Exact) -> Option<Exact> {
        self.plus(other.negated())
    }

    pub fn times(self, other: Exact) -> Option<Exact> {
        if let (Some((above, below)), Some((more, beneath))) = (self.small(), other.small()) {
            let one = divisor_of_small(above.unsigned_abs(), beneath.unsigned_abs()).cast_signed();
            let two = divisor_of_small(more.unsigned_abs(), below.unsigned_abs()).cast_signed();
            let product = |a: i64, b: i64| i128::from(a) * i128::from(b);
            return Some(Exact::raw(
                product(above / one, more / two),
                product(below / two, beneath / one),
            ));
        }
        let one = common_divisor(self.above.unsigned_abs(), other.below.unsigned_abs());
        let two = common_divisor(other.above.unsigned_abs(), self.below.unsigned_abs());
        let above = product(shared_out(self.above, one), shared_out(other.above, two))?;
        let below = product(shared_out(self.below, two), shared_out(other.below, one))?;
        (above != i128::MIN).then_some(Exact::raw(above, below))
    }

    /// Both parts where they fit 64 bits, as most do: division is many times faster there, and a product of
    /// two fits for sure.
    fn small(self) -> Option<(i64, i64)> {
        let least = self.above != i128::from(i64::MIN);
        let parts = (
            i64::try_from(self.above).ok()?,
            i64::try_from(self.below).ok()?,
        );
        least.then_some(parts)
    }

    /// `None` also when the divisor is zero.
    pub fn over(self, other: Exact) -> Option<Exact> {
        self.times(Exact::ratio(other.below, other.above)?)
    }
}

/// The product of two whole numbers. Most fit 64 bits, and then it fits.
fn product(one: i128, other: i128) -> Option<i128> {
    match (i64::try_from(one), i64::try_from(other)) {
        (Ok(one), Ok(other)) => Some(i128::from(one) * i128::from(other)),
        _ => one.checked_mul(other),
    }
}

fn common_divisor(a: u128, b: u128) -> u128 {
    if a == 1 || b == 1 {
        return 1;
    }
    let (mut a, mut b) = (a, b);
    while b != 0 {
        // Most numbers of a survey fit 64 bits, where division is many times faster.
        if let (Ok(small), Ok(other)) = (u64::try_from(a), u64::try_from(b)) {
            return u128::from(divisor_of_small(small, other));
        }
        (a, b) = (b, a % b);
    }
    a.max(1)
}

fn divisor_of_small(mut a: u64, mut b: u64) -> u64 {
    while b != 0 {
        (a, b) = (b, a % b);
    }
    a.max(1)
}

/// A number divided by one of its divisors. Most are 1, and most numbers fit 64 bits, where division
/// is many times faster.
fn shared_out(number: i128, divisor: u128) -> i128 {
    match (i64::try_from(number), i64::try_from(divisor)) {
        (_, Ok(1)) => number,
        (Ok(number), Ok(divisor)) => i128::from(number / divisor),
        _ => number / divisor.cast_signed(),
    }
}

impl PartialOrd for Exact {
    fn partial_cmp(&self, other: &Exact) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Exact {
    #[inline]
    fn cmp(&self, other: &Exact) -> Ordering {
        if self.below == other.below {
            return self.above.cmp(&other.above);
        }
        unlike(self, other)
    }
}

/// Which of two ratios with other parts below the line is the greater.
fn unlike(one: &Exact, other: &Exact) -> Ordering {
    let left = product(one.above, other.below);
    let right = product(other.above, one.below);
    if let (Some(left), Some(right)) = (left, right) {
        return left.cmp(&right);
    }
    // The whole parts decide, or what is left of them turned over, which is ever smaller.
    let rest = |of: &Exact| of.above.rem_euclid(of.below);
    let whole = one.floor().above.cmp(&other.floor().above);
    whole.then_with(|| match (rest(one), rest(other)) {
        (0, right) => 0.cmp(&right),
        (_, 0) => Ordering::Greater,
        (left, right) => Exact::raw(other.below, right).cmp(&Exact::raw(one.below, left)),
    })
}

impl From<i64> for Exact {
    fn from(whole: i64) -> Exact {
        Exact::whole(whole)
    }
}
