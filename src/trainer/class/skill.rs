//! What marks say of a trainee, of markers and of a test: sensitivity, bias, agreement and reliability.
//!
//! Contract: plain numbers in, plain numbers out. Where there are too few cases for a number to mean
//! anything, there is none. This module must not know exercises.

use crate::mark::Offered;

/// Fewer questions or people than this make no figure of markers or of a test.
pub(crate) const FEWEST: usize = 10;

/// What signal detection makes of the reasons offered. Nineteen of twenty intervals hold the true figure; an end without
/// bound is infinite.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Skill {
    /// d′: how well what is so is told from what is not; 0 is guessing, 1 fair, 2 and more good.
    pub sensitivity: f64,
    pub interval: (f64, f64),
    /// c: above 0 for somebody who claims too little, below 0 for somebody who claims too much.
    pub bias: f64,
    pub bias_interval: (f64, f64),
}

/// Half the width of an interval that holds the truth nineteen times of twenty, in standard errors.
const NINETEEN_OF_TWENTY: f64 = 1.959_963_985;
/// How seldom the truth lies beyond one end of such an interval.
const BEYOND: f64 = 0.025;

/// Sensitivity and bias; nothing where no reason was so, or none was not.
///
/// `k = 1 ÷ (so + not so)`, `H = (claimed ÷ so + k) ÷ (1 + 2k)`, `F = (in vain ÷ not so + k) ÷ (1 + 2k)`,
/// `d′ = z(H) − z(F)`, `c = −(z(H) + z(F)) ÷ 2`, where `z` is the inverse of the normal distribution
/// (N. A. Macmillan and C. D. Creelman, *Detection Theory*; from memory). `k` keeps rates of none and all
/// finite, as the log-linear rule does (M. J. Hautus, *Corrections for extreme proportions and their biasing
/// effects on estimated values of d′*, 1995; from memory), and moves both rates alike, which that rule does
/// not: a blank sheet, and one that claims everything, come to exactly 0. *That share is our own choice.*
///
/// The intervals hold for any numbers, the smallest among them: each rate has its exact limits (C. J. Clopper and
/// E. S. Pearson, *The use of confidence or fiducial limits illustrated in the case of the binomial*, 1934; from
/// memory), and what lies between a rate and its limit, in `z`, is put together by the root of the squares (G. Y. Zou
/// and A. Donner, *Construction of confidence limits about effect measures*, 2008; from memory). Where nothing was
/// claimed in vain nobody knows how low that rate is: then d′ has no upper bound.
///
/// Example: 6 of 8 and 2 of 60 give `d′ = 2.33`, from 1.19 to 3.87, and `c = 0.51`, from −0.13 to 1.22.
pub fn skill(offered: Offered) -> Option<Skill> {
    let (so, not_so) = (offered.so, offered.not_so);
    if so == 0 || not_so == 0 {
        return None;
    }
    let share = 1.0 / (so + not_so) as f64;
    let (hit, hit_less, hit_more) = rate(offered.claimed, so, share);
    let (alarm, alarm_less, alarm_more) = rate(offered.in_vain, not_so, share);
    let (sensitivity, bias) = (hit - alarm, -(hit + alarm) / 2.0);
    Some(Skill {
        sensitivity,
        interval: (
            sensitivity - hit_less.hypot(alarm_more),
            sensitivity + hit_more.hypot(alarm_less),
        ),
        bias,
        bias_interval: (
            bias - hit_more.hypot(alarm_more) / 2.0,
            bias + hit_less.hypot(alarm_less) / 2.0,
        ),
    })
}

/// A rate in `z`, and how far below and above it its limits lie.
fn rate(some: usize, all: usize, share: f64) -> (f64, f64, f64) {
    let rate = quantile((some as f64 / all as f64 + share) / (1.0 + 2.0 * share));
    let least = quantile(1.0 - highest(all - some, all));
    (rate, rate - least, quantile(highest(some, all)) - rate)
}

/// The highest rate at which so few of all come up more seldom than [`BEYOND`] lets them.
fn highest(some: usize, all: usize) -> f64 {
    if some == all {
        return 1.0;
    }
    halved(0.0, 1.0, |rate| at_most(some, all, rate) > BEYOND)
}

/// How likely at most so many of all come up at a rate between 0 and 1.
fn at_most(some: usize, all: usize, rate: f64) -> f64 {
    let mut log = all as f64 * (-rate).ln_1p();
    let mut sum = log.exp();
    for count in 1..=some {
        log += ((all - count + 1) as f64 / count as f64 * rate / (1.0 - rate)).ln();
        sum += log.exp();
    }
    sum
}

/// Where something stops being so, between two numbers, by halving.
fn halved(mut low: f64, mut high: f64, is_so: impl Fn(f64) -> bool) -> f64 {
    for _ in 0..80 {
        let middle = f64::midpoint(low, high);
        if is_so(middle) {
            low = middle;
        } else {
            high = middle;
        }
    }
    f64::midpoint(low, high)
}

/// The number below which a share of the standard normal distribution lies; of nothing and of all it has no bound.
///
/// Found by halving: the distribution function needs no constants from memory, and the answer is good to
/// more digits than are ever shown.
fn quantile(share: f64) -> f64 {
    if share <= 0.0 {
        f64::NEG_INFINITY
    } else if share >= 1.0 {
        f64::INFINITY
    } else {
        halved(-9.0, 9.0, |x| below(x) < share)
    }
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
    0.5 + density(x) * sum
}

/// The height of the standard normal distribution at `x`.
fn density(x: f64) -> f64 {
    (-x * x / 2.0).exp() / (2.0 * std::f64::consts::PI).sqrt()
}

/// How far markers agree who answered the same questions.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Agreement {
    /// Questions that two or more answered.
    pub questions: usize,
    /// The share of pairs of answers that are alike.
    pub alike: f64,
    /// Krippendorff's alpha: agreement beyond what chance would give; 1 is full, 0 no more than chance. Nothing
    /// where all always say the same one thing.
    pub alpha: Option<f64>,
    /// Nineteen of twenty such intervals hold the true alpha; nothing below [`FEWEST`] questions.
    pub interval: Option<(f64, f64)>,
}

/// The agreement of any number of markers: for each question, how many said yes and how many no. Nothing where
/// no question has two answers.
///
/// `α = 1 − Dₒ ÷ Dₑ` with `Dₒ = Σ 2 yes·no ÷ (m − 1) ÷ n` over the questions of `m ≥ 2` answers, `n` answers in
/// all, and `Dₑ = 2 Yes·No ÷ (n(n − 1))` (K. Krippendorff, *Computing Krippendorff's Alpha-Reliability*, 2011;
/// from memory). The interval is that of the jackknife: each question left out in turn (B. Efron, *The
/// Jackknife, the Bootstrap and Other Resampling Plans*, 1982; from memory).
///
/// Example: two markers, 20 both yes, 15 split, 15 both no: alike 0.70, `α = 0.40`.
pub fn agreement(questions: &[(usize, usize)]) -> Option<Agreement> {
    let answered = questions.iter().filter(|(yes, no)| yes + no > 1);
    let questions: Vec<(usize, usize)> = answered.copied().collect();
    let all = Split::of(&questions);
    if questions.is_empty() {
        return None;
    }
    let count = questions.len() as f64;
    let alpha = all.alpha();
    let without = |question: &(usize, usize)| all.less(Split::of(&[*question])).alpha();
    let left_out: Option<Vec<f64>> = questions.iter().map(without).collect();
    let enough = left_out.filter(|_| questions.len() >= FEWEST);
    let interval = alpha.zip(enough).map(|(alpha, left_out)| {
        let mean = left_out.iter().sum::<f64>() / count;
        let spread: f64 = left_out.iter().map(|one| (one - mean).powi(2)).sum();
        let half = NINETEEN_OF_TWENTY * (spread * (count - 1.0) / count).sqrt();
        ((alpha - half).max(-1.0), (alpha + half).min(1.0))
    });
    Some(Agreement {
        questions: questions.len(),
        alike: 1.0 - all.apart / (all.yes + all.no),
        alpha,
        interval,
    })
}

/// What the answers to some questions come to.
#[derive(Clone, Copy)]
struct Split {
    yes: f64,
    no: f64,
    /// `Σ 2 yes·no ÷ (m − 1)`.
    apart: f64,
}

impl Split {
    fn of(questions: &[(usize, usize)]) -> Split {
        let sum = |one: fn(f64, f64) -> f64| {
            let each = questions
                .iter()
                .map(|(yes, no)| one(*yes as f64, *no as f64));
            each.sum::<f64>()
        };
        Split {
            yes: sum(|yes, _| yes),
            no: sum(|_, no| no),
            apart: sum(|yes, no| 2.0 * yes * no / (yes + no - 1.0)),
        }
    }

    fn less(self, other: Split) -> Split {
        Split {
            yes: self.yes - other.yes,
            no: self.no - other.no,
            apart: self.apart - other.apart,
        }
    }

    fn alpha(self) -> Option<f64> {
        let all = self.yes + self.no;
        let chance = 2.0 * self.yes * self.no / (all - 1.0);
        (chance > 0.0).then(|| 1.0 - self.apart / chance)
    }
}

/// How far the scores of the same exercises, a row a person, would come out alike in another such test.
///
/// Cronbach's alpha, `k ÷ (k − 1) · (1 − Σ variance of each exercise ÷ variance of the sums)` (L. J. Cronbach,
/// *Coefficient alpha and the internal structure of tests*, 1951; from memory). Nothing for fewer than two
/// exercises or [`FEWEST`] people, or where all have the same sum.
pub fn reliability(people: &[Vec<f64>]) -> Option<f64> {
    let exercises = people.first()?.len();
    if people.len() < FEWEST || exercises < 2 {
        return None;
    }
    let variance = |scores: Vec<f64>| {
        let count = scores.len() as f64;
        let mean = scores.iter().sum::<f64>() / count;
        scores
            .iter()
            .map(|score| (score - mean).powi(2))
            .sum::<f64>()
            / (count - 1.0)
    };
    let column = |at: usize| variance(people.iter().map(|scores| scores[at]).collect());
    let single: f64 = (0..exercises).map(column).sum();
    let sums = variance(people.iter().map(|scores| scores.iter().sum()).collect());
    let count = exercises as f64;
    (sums > 0.0).then(|| count / (count - 1.0) * (1.0 - single / sums))
}
