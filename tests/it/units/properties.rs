//! What holds for any number and any text.

use proptest::prelude::*;
use wetside_units::table::{self, UNITS};
use wetside_units::{Date, DateTime, Exact, Kind, Quantity, Rounding, UnitId};

fn any_exact() -> impl Strategy<Value = Exact> {
    let large = (any::<i128>(), any::<i128>());
    let small = (-1000_i128..1000, 1_i128..1000);
    prop_oneof![large, small]
        .prop_filter_map("a ratio", |(above, below)| Exact::ratio(above, below))
}

fn decimal_text() -> impl Strategy<Value = String> {
    (any::<bool>(), 0_u64..1_000_000_000, 0_usize..7).prop_map(|(negative, digits, decimals)| {
        let digits = format!("{digits:0>width$}", width = decimals + 1);
        let (whole, part) = digits.split_at(digits.len() - decimals);
        let point = if part.is_empty() { "" } else { "." };
        format!("{}{whole}{point}{part}", if negative { "-" } else { "" })
    })
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(2000) })]

    #[test]
    fn decimals_become_the_nearest_double(text in decimal_text()) {
        let read = Exact::parse(&text).unwrap();
        prop_assert_eq!(read.to_f64(), text.parse::<f64>().unwrap());
        let places = text.split_once('.').map_or(0, |parts| parts.1.len());
        let zero = if read.is_zero() { text.trim_start_matches('-') } else { &text };
        let canonical = match zero.trim_start_matches('-').trim_start_matches('0') {
            rest if rest.is_empty() || rest.starts_with('.') => format!("0{rest}"),
            rest => rest.to_owned(),
        };
        let sign = if zero.starts_with('-') { "-" } else { "" };
        prop_assert_eq!(read.to_decimal(u32::try_from(places).unwrap()), format!("{sign}{canonical}"));
    }

    #[test]
    fn exact_arithmetic_keeps_its_laws(a in any_exact(), b in any_exact(), digits in 1_u32..31) {
        prop_assert_eq!(a.plus(b), b.plus(a));
        prop_assert_eq!(a.times(b), b.times(a));
        if let Some(sum) = a.plus(b) {
            prop_assert!(sum.minus(b).is_none_or(|back| back == a));
            prop_assert_eq!(sum > a, !b.is_negative() && !b.is_zero());
        }
        if let Some(quotient) = a.over(b) {
            prop_assert!(quotient.times(b).is_none_or(|back| back == a));
        }
        prop_assert_eq!(a.cmp(&b), b.cmp(&a).reverse());
        prop_assert!(a.floor() <= a && a <= a.ceil());
        prop_assert!(a.rounded(digits, Rounding::Down) <= a || a.rounded(digits, Rounding::Down) == a);
        prop_assert!(a.rounded(digits, Rounding::Up) >= a);
        prop_assert!(a.to_f64().is_finite());
        let shown = (a.to_string(), format!("{a:?}"));
        prop_assert!(!shown.0.is_empty() && !shown.1.is_empty());
    }

    #[test]
    fn what_is_printed_is_read_back(
        first in decimal_text(),
        second in decimal_text(),
        form in 0..7,
        row in 0..UNITS.len(),
        of in any::<prop::sample::Index>(),
    ) {
        let unit = UnitId::all().nth(row).unwrap();
        let kind = *of.get(unit.row().kinds);
        let unit = unit.symbol();
        let text = match form {
            0 => format!("{first} {unit}"),
            1 => format!("{first} to {second} {unit}"),
            2 => format!("{first} ± {second} {unit}"),
            3 => format!("about {first} {unit}"),
            4 => format!("at least {first} {unit}"),
            5 => format!("less than {first} {unit}"),
            _ => format!("{first} {unit} ± 5 %"),
        };
        if let Ok(read) = Quantity::parse(&text, kind) {
            let printed = read.to_string();
            let again = Quantity::parse(&printed, kind)
                .map_err(|fault| TestCaseError::fail(format!("{text} {printed} {fault:?}")))?;
            prop_assert_eq!(again.range, read.range, "{} {}", text, printed);
            prop_assert_eq!((again.unit, again.form), (read.unit, read.form), "{}", printed);
            prop_assert_eq!(again.to_string(), printed);
        }
    }

    #[test]
    fn no_text_causes_a_panic(
        text in "(about |at least |pH |once )?[0-9.,/±+ \u{a0}'_eE−–-]{0,9}( ?(mm|m|bar|L per|%|to|µS/cm|x|é|°|/)){0,3}[0-9.±\\PC]{0,5}",
        of in any::<prop::sample::Index>(),
    ) {
        let kinds: Vec<_> = Kind::all().collect();
        let kind = *of.get(&kinds);
        match Quantity::parse(&text, kind) {
            Ok(read) => prop_assert!(!read.to_string().is_empty()),
            Err(fault) => {
                prop_assert!(text.get(fault.at.clone()).is_some(), "{:?}", fault);
                prop_assert!(!fault.says.is_empty() && !fault.help.is_empty());
            }
        }
        let _ = table::unit_at_start(&text);
        for fault in [Date::parse(&text).err(), DateTime::parse(&text).err()] {
            prop_assert!(fault.is_none_or(|fault| text.get(fault.at).is_some()));
        }
    }
}
