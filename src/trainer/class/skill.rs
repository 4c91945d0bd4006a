//! What marks say of a trainee, and of two markers: sensitivity, bias and agreement.
//!
//! Contract: plain numbers in, plain numbers out. Where there are too few cases for a number to mean
//! anything, there is none. This module must not know exercises.

/// Fewer things to find, or to leave alone, than this make no figure.
pub(crate) const FEWEST: usize = 10;

/// What signal detection makes of hits and false alarms.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Skill {
    /// d′: how well true faults are told from sound lines; 0 is guessing, 1 fair, 2 and more good.
    pub sensitivity: f64,
    /// c: above 0 for somebody who claims too little, below 0 for somebody who claims too much.
    pub bias: f64,
}

/// Sensitivity and bias from `hits` of `targets` things to find and `alarms` of `sound` things to leave
/// alone; nothing where either is fewer than [`FEWEST`].
///
/// `H = (hits + ½) ÷ (targets + 1)`, `F = (alarms + ½) ÷ (sound + 1)`, `d′ = z(H) − z(F)`,
/// `c = −(z(H) + z(F)) ÷ 2`, where `z` is the inverse of the normal distribution. The half and the one
/// keep rates of none and all finite (log-linear rule; M. J. Hautus, *Corrections for extreme
/// proportions and their biasing effects on estimated values of d′*, 1995; formulas as in N. A.
/// Macmillan and C. D. Creelman, *Detection Theory*; both from memory).
///
/// Example: 17 hits of 20 and 5 alarms of 20 give `H = 0.8333`, `F = 0.2619`, `d′ = 1.605`, `c = -0.165`.
pub fn skill(hits: usize, targets: usize, alarms: usize, sound: usize) -> Option<Skill> {
    if targets < FEWEST || sound < FEWEST {
        return None;
    }
    let rate = |some: usize, all: usize| (some.min(all) as f64 + 0.5) / (all as f64 + 1.0);
    let (hit, alarm) = (quantile(rate(hits, targets)), quantile(rate(alarms, sound)));
    Some(Skill {
        sensitivity: hit - alarm,
        bias: -(hit + alarm) / 2.0,
    })
}

/// The number below which a share of the standard normal distribution lies, for shares between 0 and 1.
///
/// Found by halving: the distribution function needs no constants from memory, and the answer is good to
/// more digits than are ever shown.
pub(crate) fn quantile(share: f64) -> f64 {
    let (mut low, mut high) = (-9.0_f64, 9.0_f64);
    for _ in 0..80 {
        let middle = f64::midpoint(low, high);
        if below(middle) < share {
            low = middle;
        } else {
            high = middle;
        }
    }
    f64::midpoint(low, high)
}

/// The share of the standard normal distribution below `x`.
///
/// `½ + φ(x) · (x + x³/3 + x⁵/(3·5) + x⁷/(3·5·7) + …)`, a series whose terms are all of one sign
/// (M. Abramowitz and I. A. Stegun, *Handbook of Mathematical Functions*, 26.2.11; from memory).
fn below(x: f64) -> f64 {
    let mut term = x;
    let mut sum = x;
    for odd in 1..400 {
        term *= x * x / f64::from(2 * odd + 1);
        sum += term;
    }
    let density = (-x * x / 2.0).exp() / (2.0 * std::f64::consts::PI).sqrt();
    0.5 + density * sum
}

/// How far two markers agree on a row of yes-or-no questions.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Agreement {
    /// Both yes; only the first yes; only the second yes; both no.
    pub table: [usize; 4],
    /// The share of questions answered alike.
    pub alike: f64,
    /// Cohen's kappa: agreement beyond what chance would give with these shares of yes. Nothing where
    /// both always say the same one thing.
    pub kappa: Option<f64>,
    /// The same corrected for prevalence: as if yes and no were equally frequent.
    pub adjusted: f64,
}

/// The agreement of two markers; nothing for no question.
///
/// `κ = (pₒ − pₑ) ÷ (1 − pₑ)` (J. Cohen, *A coefficient of agreement for nominal scales*, 1960);
/// adjusted for prevalence and bias `2 pₒ − 1` (T. Byrt, J. Bishop and J. B. Carlin, *Bias, prevalence
/// and kappa*, 1993); both from memory.
///
/// Example: 20 both yes, 5 and 10 split, 15 both no give `pₒ = 0.70`, `κ = 0.40`, adjusted `0.40`.
pub fn agreement(answers: impl IntoIterator<Item = (bool, bool)>) -> Option<Agreement> {
    let mut table = [0_usize; 4];
    for (first, second) in answers {
        table[usize::from(!first) * 2 + usize::from(!second)] += 1;
    }
    let all = table.iter().sum::<usize>() as f64;
    if all == 0.0 {
        return None;
    }
    let [both, first, second, neither] = table.map(|count| count as f64 / all);
    let alike = both + neither;
    let chance = (both + first) * (both + second) + (second + neither) * (first + neither);
    let certain = table[1] + table[2] == 0 && (table[0] == 0 || table[3] == 0);
    Some(Agreement {
        table,
        alike,
        kappa: (!certain).then(|| (alike - chance) / (1.0 - chance)),
        adjusted: 2.0 * alike - 1.0,
    })
}
