//! Exact numbers at the edge of what fits, and their rounding.

use super::exact;
use wetside_units::{Exact, Interval, Rounding};

#[test]
fn arithmetic_that_does_not_fit_says_so() {
    let huge = Exact::ratio(i128::MAX, 1).unwrap();
    let tiny = Exact::ratio(1, i128::MAX).unwrap();
    assert_eq!(huge.plus(Exact::ONE), None);
    assert_eq!(huge.negated().minus(Exact::ONE), None);
    assert_eq!(huge.times(Exact::from(2)), None);
    assert_eq!(huge.over(tiny), None);
    assert_eq!(tiny.times(tiny), None);
    assert_eq!(Exact::ONE.over(Exact::ZERO), None);
    assert_eq!(Exact::ratio(1, 0), None);
    assert_eq!(Exact::ratio(i128::MIN, 3), None);
    assert_eq!(Exact::ratio(3, i128::MIN), None);
    assert_eq!(Exact::ratio(-6, -4), Exact::ratio(3, 2));
    assert_eq!(huge.times(tiny), Some(Exact::ONE));
    assert!(
        tiny < huge
            && huge.negated() < tiny
            && Exact::ratio(i128::MAX - 1, i128::MAX).unwrap() < Exact::ONE
    );
    let [a, b] = [(i128::MAX - 1, i128::MAX), (i128::MAX - 3, i128::MAX - 2)];
    assert!(
        Exact::ratio(a.0, a.1) > Exact::ratio(b.0, b.1),
        "the order holds where products overflow"
    );
    assert_eq!(Interval::exact(huge).plus(&Interval::exact(huge)), None);
    assert_eq!(Interval::exact(huge).times(&Interval::at_least(huge)), None);
}

#[test]
fn rounding_keeps_its_direction() {
    let round = |text: &str, digits, rounding| exact(text).rounded(digits, rounding).to_string();
    let table = [
        ("1/3", 4, "0.3333", "0.3333", "0.3334"),
        ("-1/3", 4, "-0.3333", "-0.3334", "-0.3333"),
        ("2/3", 4, "0.6667", "0.6666", "0.6667"),
        ("12345", 4, "12340", "12340", "12350"),
        ("12355", 4, "12360", "12350", "12360"),
        ("123450001/10000", 4, "12350", "12340", "12350"),
        ("0.00099995", 4, "0.001", "0.0009999", "0.001"),
        ("9999.5", 4, "10000", "9999", "10000"),
        ("0", 4, "0", "0", "0"),
        ("0.25", 1, "0.2", "0.2", "0.3"),
        ("0.35", 1, "0.4", "0.3", "0.4"),
        ("5", 9, "5", "5", "5"),
    ];
    for (text, digits, nearest, down, up) in table {
        assert_eq!(round(text, digits, Rounding::Nearest), nearest, "{text}");
        assert_eq!(round(text, digits, Rounding::Down), down, "{text}");
        assert_eq!(round(text, digits, Rounding::Up), up, "{text}");
    }
    assert_eq!(exact("1/3").to_string(), "0.333333333333");
    assert_eq!(exact("2.5").to_decimal(3), "2.500");
}
