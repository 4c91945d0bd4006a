//! Every unit, once.
//!
//! A row gives a unit's symbol, the spellings that are read as it, the kinds of quantity that may
//! be written in it, and how a number of it becomes a number of the kind's base unit: times the
//! factor, plus the offset. A unit that means two things (a metre of length, a metre of water) has
//! two rows; one spelling may therefore lead to several rows, but to one only for any one kind.
//!
//! Contract: factors are exact ratios. Where the factor is fixed by the definition of the unit the
//! row says `by definition`; the definitions are those of the SI Brochure (9th edition, 2019) and,
//! for the others, of the international yard and pound of 1959, the imperial gallon of 4.54609 L
//! and the International Table Btu. All were written from memory, as were the rest, and each row
//! of the table is tested against a value worked out apart.
//!
//! The month and the year are the mean ones of the Gregorian calendar: 365.2425 days to a year,
//! a twelfth of that to a month. Dates do not use them; see [`super::date`].

use super::exact::Exact;
use super::interval::Interval;
use super::kind::Kind::{self, *};
use std::sync::LazyLock;

/// One unit.
#[derive(Debug)]
pub struct Unit {
    /// How the unit is printed.
    pub symbol: &'static str,
    /// Other spellings that are read as this unit.
    pub spellings: &'static [&'static str],
    /// The kinds of quantity that may be written in it.
    pub kinds: &'static [Kind],
    /// What one of it is in base units, as a ratio.
    pub factor: (i128, i128),
    /// What zero of it is in base units, as a ratio: not zero only for points of temperature.
    pub offset: (i128, i128),
    /// Where the factor is from.
    pub source: &'static str,
}

/// A unit, as its row of [`UNITS`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct UnitId(u8);

impl UnitId {
    /// The first row: no unit, for the kinds that are written as a bare number.
    pub const BARE: UnitId = UnitId(0);

    /// Every unit, in the order of the table.
    #[expect(
        clippy::cast_possible_truncation,
        reason = "a test holds the table below 256 rows"
    )]
    pub fn all() -> impl Iterator<Item = UnitId> {
        (0..UNITS.len()).map(|row| UnitId(row as u8))
    }

    pub fn row(self) -> &'static Unit {
        &UNITS[usize::from(self.0)]
    }

    /// How the unit is printed; empty for a bare number.
    pub fn symbol(self) -> &'static str {
        self.row().symbol
    }

    pub fn serves(self, kind: Kind) -> bool {
        self.row().kinds.contains(&kind)
    }

    /// What one of this unit is in base units.
    pub fn factor(self) -> Exact {
        // The table is tested to hold no zero below a line.
        Exact::ratio(self.row().factor.0, self.row().factor.1).unwrap_or(Exact::ONE)
    }

    /// What zero of this unit is in base units.
    pub fn offset(self) -> Exact {
        Exact::ratio(self.row().offset.0, self.row().offset.1).unwrap_or(Exact::ZERO)
    }

    /// A number of this unit as a number of base units; `None` if it does not fit.
    pub fn to_base(self, value: Exact) -> Option<Exact> {
        self.to_base_by(self.factor(), value)
    }

    /// The same where one of what was written is so many base units.
    pub(crate) fn to_base_by(self, factor: Exact, value: Exact) -> Option<Exact> {
        let scaled = value.times(factor)?;
        if self.row().offset.0 == 0 {
            Some(scaled)
        } else {
            scaled.plus(self.offset())
        }
    }

    /// A range in base units as a range in this unit; `None` if it does not fit.
    pub fn range_from_base(self, range: &Interval) -> Option<Interval> {
        let factor = Exact::ONE.over(self.factor())?;
        range.rescaled(factor, self.offset().negated().times(factor)?)
    }

    /// The unit of this kind that is spelt so, spaces single; `None` if there is none.
    pub fn spelt(spelling: &str, kind: Kind) -> Option<UnitId> {
        // A kind has few spellings, and every quantity of every survey is looked for here.
        static BY_KIND: LazyLock<Vec<Vec<(&str, UnitId)>>> = LazyLock::new(|| {
            let mut by_kind = vec![Vec::new(); Kind::all().count()];
            for (spelling, unit) in spellings() {
                for kind in unit.row().kinds {
                    by_kind[*kind as usize].push((spelling, unit));
                }
            }
            by_kind
        });
        let mut known = BY_KIND[kind as usize].iter();
        let found = known.find(|known| known.0 == spelling)?;
        Some(found.1)
    }

    /// The unit in which computed figures of the kind are shown.
    pub fn usual(kind: Kind) -> UnitId {
        static USUAL: LazyLock<Vec<UnitId>> = LazyLock::new(|| {
            let usual = |kind: Kind| {
                let symbol = kind.row().likely.last().map_or("", |likely| likely.1);
                UnitId::spelt(symbol, kind).unwrap_or(UnitId::BARE)
            };
            Kind::all().map(usual).collect()
        });
        if kind.is_bare() {
            UnitId::BARE
        } else {
            USUAL[kind as usize]
        }
    }

    /// The unit that a bare number of the kind most likely lacks, by its size.
    pub fn likely(kind: Kind, number: Exact) -> UnitId {
        let above = |limit: u32| Exact::from(i64::from(limit)) > number.magnitude();
        let row = kind.row().likely.iter().find(|likely| above(likely.0));
        row.and_then(|likely| UnitId::spelt(likely.1, kind))
            .unwrap_or(UnitId::usual(kind))
    }
}

/// Every unit that is spelt so, whatever its kinds; none if the spelling is unknown.
pub fn meanings(spelling: &str) -> impl Iterator<Item = UnitId> {
    spellings().filter_map(move |(own, unit)| (own == spelling).then_some(unit))
}

/// Every spelling of every unit; a spelling is repeated for each of its meanings.
pub fn spellings() -> impl Iterator<Item = (&'static str, UnitId)> {
    UnitId::all().flat_map(|unit| {
        let row = unit.row();
        let others = row.spellings.iter().copied();
        std::iter::once(row.symbol)
            .chain(others)
            .map(move |spelling| (spelling, unit))
    })
}

/// How many bytes the longest unit takes that the text starts with and that ends at a boundary:
/// not within a word, and not before a power. `None` if the text starts with no unit.
pub fn unit_at_start(text: &str) -> Option<usize> {
    let fits = |spelling: &str| {
        let Some(rest) = text.strip_prefix(spelling) else {
            return false;
        };
        let inside = |c: char| c.is_alphanumeric() || "²³^%°/".contains(c);
        !spelling.is_empty() && !rest.chars().next().is_some_and(inside)
    };
    let lengths = spellings().filter_map(|(own, _)| fits(own).then_some(own.len()));
    lengths.max()
}

const fn unit(
    symbol: &'static str,
    spellings: &'static [&'static str],
    kinds: &'static [Kind],
    factor: (i128, i128),
    source: &'static str,
) -> Unit {
    Unit {
        symbol,
        spellings,
        kinds,
        factor,
        offset: (0, 1),
        source,
    }
}

const fn offset(unit: Unit, offset: (i128, i128)) -> Unit {
    Unit { offset, ..unit }
}

const PRESSURES: &[Kind] = &[GaugePressure, AbsolutePressure, PressureDifference];
const DISSOLVED: &[Kind] = &[DissolvedSolids, Concentration, Hardness];

/// Exact because the unit is defined so.
const D: &str = "by definition";
/// A convention of this program, or of the trade, that the table's documentation explains.
const C: &str = "by convention: a litre of the water meant weighs a kilogram";
/// Ten milligrams of calcium oxide to the litre, carried over by molar masses.
const M: &str = "molar masses CaCO3 100.0869 and CaO 56.0774 g/mol, from memory";
const G: &str = "mean Gregorian calendar: 365.2425 days to a year, by definition";
const W: &str = "conventional metre of water, 9806.65 Pa (NIST SP 811, from memory)";

const YEAR: i128 = 31_556_952;
const MONTH: i128 = 2_629_746;
const DAY: i128 = 86_400;

/// The table of units.
#[rustfmt::skip]
pub static UNITS: &[Unit] = &[
    unit("", &[], &[Number, Count, Year, Acidity], (1, 1), D),
    unit("turns", &["turn"], &[Turns], (1, 1), D),
    unit("%", &["percent", "per cent"], &[Share, DoseRate], (1, 100), D),

    unit("mm", &["millimetre", "millimetres"], &[Length], (1, 1000), D),
    unit("cm", &["centimetre", "centimetres"], &[Length], (1, 100), D),
    unit("m", &["metre", "metres"], &[Length], (1, 1), D),
    unit("km", &["kilometre", "kilometres"], &[Length], (1000, 1), D),
    unit("in", &["inch", "inches", "\"", "″"], &[Length], (254, 10_000), D),
    unit("ft", &["foot", "feet", "'", "′"], &[Length], (3048, 10_000), D),

    unit("mm²", &["mm2", "mm^2", "sq mm", "square millimetres"], &[Area], (1, 1_000_000), D),
    unit("cm²", &["cm2", "cm^2", "sq cm", "square centimetres"], &[Area], (1, 10_000), D),
    unit("m²", &["m2", "m^2", "sq m", "square metre", "square metres"], &[Area], (1, 1), D),

    unit("mL", &["ml", "millilitre", "millilitres", "cm³", "cm3", "cm^3"], &[Volume], (1, 1_000_000), D),
    unit("L", &["l", "litre", "litres", "ltr", "ltrs"], &[Volume], (1, 1000), D),
    unit("m³", &["m3", "m^3", "cubic metre", "cubic metres"], &[Volume], (1, 1), D),
    unit("gal", &["gallon", "gallons", "imp gal", "imperial gallon", "imperial gallons"], &[Volume], (454_609, 100_000_000), D),

    unit("mg", &["milligram", "milligrams"], &[Mass], (1, 1_000_000), D),
    unit("g", &["gram", "grams"], &[Mass], (1, 1000), D),
    unit("kg", &["kilogram", "kilograms", "kilo", "kilos"], &[Mass], (1, 1), D),

    unit("s", &["sec", "secs", "second", "seconds"], &[Time], (1, 1), D),
    unit("min", &["mins", "minute", "minutes"], &[Time], (60, 1), D),
    unit("h", &["hr", "hrs", "hour", "hours"], &[Time], (3600, 1), D),
    unit("days", &["day", "d"], &[Time], (DAY, 1), D),
    unit("weeks", &["week"], &[Time], (7 * DAY, 1), D),
    unit("months", &["month"], &[Time], (MONTH, 1), G),
    unit("years", &["year", "yr", "yrs"], &[Time], (YEAR, 1), G),

    offset(unit("°C", &["C", "c", "ºC", "degC", "deg C", "degrees C", "degrees Celsius"], &[Temperature], (1, 1), D), (27_315, 100)),
    offset(unit("°F", &["F", "ºF", "degF", "deg F", "degrees F", "degrees Fahrenheit"], &[Temperature], (5, 9), D), (45_967, 180)),
    unit("K", &["kelvin", "kelvins"], &[Temperature, TemperatureDifference], (1, 1), D),
    unit("°C", &["C", "c", "ºC", "degC", "deg C", "degrees C", "degrees Celsius"], &[TemperatureDifference], (1, 1), D),
    unit("°F", &["F", "ºF", "degF", "deg F", "degrees F", "degrees Fahrenheit"], &[TemperatureDifference], (5, 9), D),

    unit("L/s", &["l/s", "litres/s", "L per s", "litres per second"], &[VolumeFlow], (1, 1000), D),
    unit("L/min", &["l/min", "lpm", "litres/min", "L per min", "l per min", "litres per minute", "litres a minute"], &[VolumeFlow], (1, 60_000), D),
    unit("L/h", &["l/h", "l/hr", "L/hr", "litres/h", "L per h", "litres per hour", "litres an hour"], &[VolumeFlow], (1, 3_600_000), D),
    unit("mL/min", &["ml/min", "mL per min", "ml per min"], &[VolumeFlow], (1, 60_000_000), D),
    unit("m³/s", &["m3/s"], &[VolumeFlow], (1, 1), D),
    unit("m³/h", &["m3/h", "m³/hr", "m3/hr", "m^3/h", "cubic metres per hour"], &[VolumeFlow], (1, 3600), D),
    unit("gal/min", &["gallons/min", "gal per min", "gallons per minute", "gallons a minute"], &[VolumeFlow], (454_609, 6_000_000_000), D),

    unit("m/s", &["metres per second", "m per s"], &[Velocity], (1, 1), D),
    unit("mm/s", &["mm per s"], &[Velocity], (1, 1000), D),
    unit("ft/s", &["feet per second", "ft per s"], &[Velocity], (3048, 10_000), D),
    unit("m/s²", &["m/s2", "m/s^2"], &[Acceleration], (1, 1), D),

    unit("Pa", &["pascal", "pascals"], PRESSURES, (1, 1), D),
    unit("kPa", &["kilopascals"], PRESSURES, (1000, 1), D),
    unit("MPa", &["megapascals"], PRESSURES, (1_000_000, 1), D),
    unit("mbar", &["millibar", "millibars"], PRESSURES, (100, 1), D),
    unit("bar", &["bars"], PRESSURES, (100_000, 1), D),
    unit("psi", &["lbf/in²", "lbf/in2"], PRESSURES, (44_482_216_152_605, 6_451_600_000), D),
    unit("mH2O", &["mH₂O", "mwc", "m head", "m of head", "m of water", "metres of head", "metres of water"], PRESSURES, (980_665, 100), W),
    unit("bar(g)", &["barg", "bar g", "bar (g)", "bar gauge"], &[GaugePressure], (100_000, 1), D),
    unit("bar(a)", &["bara", "bar a", "bar (a)", "bar absolute"], &[AbsolutePressure], (100_000, 1), D),
    unit("kPa(g)", &["kPag", "kPa g", "kPa (g)", "kPa gauge"], &[GaugePressure], (1000, 1), D),
    unit("kPa(a)", &["kPaa", "kPa a", "kPa (a)", "kPa absolute"], &[AbsolutePressure], (1000, 1), D),
    unit("psi(g)", &["psig", "psi g", "psi (g)", "psi gauge"], &[GaugePressure], (44_482_216_152_605, 6_451_600_000), D),
    unit("psi(a)", &["psia", "psi a", "psi (a)", "psi absolute"], &[AbsolutePressure], (44_482_216_152_605, 6_451_600_000), D),

    unit("m", &["metre", "metres", "mH2O", "mH₂O", "mwc", "m head", "m of head", "m of water", "metres of head", "metres of water"], &[Head], (1, 1), D),
    unit("mm", &["millimetre", "millimetres", "mmH2O", "mmH₂O", "mm head", "mm of water"], &[Head], (1, 1000), D),
    unit("cm", &["cm head", "cm of water"], &[Head], (1, 100), D),
    unit("ft", &["foot", "feet", "ft head", "ft of head", "feet of head", "ft of water", "feet of water"], &[Head], (3048, 10_000), D),

    unit("W", &["watt", "watts"], &[Power], (1, 1), D),
    unit("kW", &["kw", "kilowatt", "kilowatts"], &[Power], (1000, 1), D),
    unit("MW", &["megawatts"], &[Power], (1_000_000, 1), D),
    unit("Btu/h", &["BTU/h", "btu/h", "Btu/hr", "BTU/hr", "btu/hr", "BTU per hour", "Btu per hour"], &[Power], (105_505_585_262, 360_000_000_000), D),
    unit("J", &["joule", "joules"], &[Energy], (1, 1), D),
    unit("kJ", &["kilojoules"], &[Energy], (1000, 1), D),
    unit("MJ", &["megajoules"], &[Energy], (1_000_000, 1), D),
    unit("Wh", &["watt hours"], &[Energy], (3600, 1), D),
    unit("kWh", &["kwh", "kW h", "kilowatt hours"], &[Energy], (3_600_000, 1), D),

    unit("A", &["amp", "amps", "ampere", "amperes"], &[Current], (1, 1), D),
    unit("mA", &["milliamp", "milliamps"], &[Current], (1, 1000), D),
    unit("V", &["volt", "volts"], &[Voltage], (1, 1), D),
    unit("mV", &["millivolt", "millivolts"], &[Voltage], (1, 1000), D),

    unit("mg/L", &["mg/l", "mg per L", "mg per litre"], DISSOLVED, (1, 1000), D),
    unit("ppm", &["parts per million"], DISSOLVED, (1, 1000), C),
    unit("g/L", &["g/l", "g per L", "g per litre"], &[DissolvedSolids, Concentration], (1, 1), D),
    unit("mg/L as CaCO3", &["mg/l as CaCO3", "mg/L CaCO3", "mg/l CaCO3", "mg/L as CaCO₃", "mg/l as CaCO₃", "mg/L CaCO₃", "mg/l CaCO₃"], &[Hardness], (1, 1000), D),
    unit("ppm as CaCO3", &["ppm CaCO3", "ppm as CaCO₃", "ppm CaCO₃"], &[Hardness], (1, 1000), C),
    unit("°dH", &["dH", "ºdH", "German degrees", "degrees German"], &[Hardness], (1_000_869, 56_077_400), M),
    unit("°f", &["°fH", "fH", "ºf", "French degrees", "degrees French"], &[Hardness], (1, 100), D),
    unit("°Clark", &["Clark", "ºClark", "°e", "English degrees", "degrees Clark", "Clark degrees"], &[Hardness], (6_479_891, 454_609_000), D),
    unit("mmol/L", &["mmol/l", "mol/m³", "mol/m3"], &[Hardness], (1_000_869, 10_000_000), M),

    unit("S/m", &[], &[Conductivity], (1, 1), D),
    unit("mS/m", &[], &[Conductivity], (1, 1000), D),
    unit("mS/cm", &[], &[Conductivity], (1, 10), D),
    unit("µS/cm", &["uS/cm", "μS/cm", "us/cm", "µs/cm"], &[Conductivity], (1, 10_000), D),

    unit("L per 100 L", &["L/100 L", "l/100 l", "l per 100 l", "litre per 100 litres", "litres per 100 litres", "L per 100L", "L/100L"], &[DoseRate], (1, 100), D),
    unit("mL/L", &["ml/L", "ml/l", "mL per L", "ml per L", "ml per l", "ml per litre"], &[DoseRate], (1, 1000), D),
    unit("% v/v", &["%v/v", "% by volume"], &[DoseRate], (1, 100), D),

    unit("per day", &["a day", "times a day", "times per day", "/day", "times/day"], &[Frequency], (1, DAY), D),
    unit("per week", &["a week", "times a week", "times per week", "/week", "times/week"], &[Frequency], (1, 7 * DAY), D),
    unit("per month", &["a month", "times a month", "times per month", "time a month", "/month", "times/month"], &[Frequency], (1, MONTH), G),
    unit("per year", &["a year", "times a year", "times per year", "time a year", "/year", "times/year"], &[Frequency], (1, YEAR), G),
];
