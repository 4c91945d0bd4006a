//! One value of the survey to one fact, and the words for what cannot be one.
//!
//! Contract: the value comes out known, or unknown with its reason, or refused with one problem in
//! the writer's own words. Nothing is guessed: a number without its unit is refused with the unit it
//! probably lacks, a number beyond what is physically possible is refused as a slip.

use super::text::first_line;
use std::ops::RangeInclusive;
use wetside_base::facts::{Content, Value, Why};
use wetside_base::problem::Problem;
use wetside_base::shown::quoted;
use wetside_base::source::{Source, Span};
use wetside_base::suggest;
use wetside_base::vocabulary::{FieldId, Type, Vocabulary, WordId};
use wetside_document::{Node, Scalar, Style};
use wetside_units::{Date, DateTime, Exact, Interval, Kind, Quantity, QuantityFault};

/// Refused: with a problem, or without one where it was reported already.
type Refused = Option<Problem>;

/// The years in which a day of a survey can lie: a convention of this program, no source.
const YEARS: RangeInclusive<u16> = 1900..=2200;

/// Reads the value of one field.
pub(super) fn value(
    source: &Source,
    vocabulary: &Vocabulary,
    field: FieldId,
    what: &Type,
    node: &Node,
    key: Span,
) -> Result<Content, Refused> {
    if node.is_faulty() {
        return Err(None);
    }
    if let Some(reason) = unknown(node) {
        return match no_reason(node) {
            Some(problem) => Err(Some(problem)),
            None => Ok(Content::Open(Why::Unknown(reason))),
        };
    }
    let leaf = Leaf {
        source,
        vocabulary,
        field,
        node,
        key,
    };
    let known = match what {
        Type::Set(words) => leaf.set(words)?,
        _ => leaf.single(what)?,
    };
    Ok(Content::Known(known))
}

/// Whether a value says that it is unknown, and its reason if it gives one.
pub(super) fn unknown(node: &Node) -> Option<Option<String>> {
    match &node.value {
        wetside_document::Value::Scalar(scalar) => (scalar.text == "unknown").then_some(None),
        wetside_document::Value::Map(entries) => match entries.as_slice() {
            [only] if only.key.text == "unknown" => Some(only.value.as_text().map(str::to_string)),
            _ => None,
        },
        _ => None,
    }
}

/// A reason that is no text: nobody could show it.
pub(super) fn no_reason(node: &Node) -> Option<Problem> {
    let reason = &node.entries().first()?.value;
    if reason.as_scalar().is_some() || reason.is_faulty() {
        return None;
    }
    let says = "the reason why this is unknown is more than a text";
    let help = "write it in a few words, as in `{unknown: not traced yet}`";
    Some(Problem::new("value-expected", reason.span, says, help))
}

struct Leaf<'a> {
    source: &'a Source,
    vocabulary: &'a Vocabulary,
    field: FieldId,
    node: &'a Node,
    key: Span,
}

impl Leaf<'_> {
    fn refuse<T>(
        &self,
        kind: &'static str,
        span: Span,
        says: impl Into<String>,
        help: impl Into<String>,
    ) -> Result<T, Refused> {
        Err(Some(Problem::new(kind, span, says, help)))
    }

    fn name(&self) -> &str {
        &self.vocabulary.field(self.field).name
    }

    fn single(&self, what: &Type) -> Result<Value, Refused> {
        let Some(scalar) = self.node.as_scalar() else {
            let says = format!("`{}` holds one value, and this is several", self.name());
            let span = match self.node.value {
                wetside_document::Value::Map(_) => self.key,
                _ => first_line(self.source, self.node.span),
            };
            return self.refuse("value-expected", span, says, self.expected(what));
        };
        match what {
            Type::Choice(words) => self.word(scalar, self.node.span, words).map(Value::Word),
            Type::Quantity {
                kind,
                possible,
                usual_unit,
            } => self.quantity(scalar, *kind, possible, usual_unit),
            Type::Date => self.time(scalar, Date::parse(&scalar.text).map(DateTime::from)),
            Type::DateTime => self.time(scalar, DateTime::parse(&scalar.text)),
            Type::Text | Type::Set(_) => Ok(Value::Text(scalar.text.to_string())),
        }
    }

    /// What a field holds, as advice.
    fn expected(&self, what: &Type) -> String {
        match what {
            Type::Choice(words) | Type::Set(words) => self.can_be(words),
            Type::Quantity {
                kind, usual_unit, ..
            } => {
                format!("write {}, as in `{}`", kind.row().one, example(usual_unit))
            }
            Type::Date => "write a day, as in `2026-10-13`".to_string(),
            Type::DateTime => "write a day and a time, as in `2026-10-13T10:05`".to_string(),
            Type::Text => "write it on one line".to_string(),
        }
    }

    fn can_be(&self, words: &[WordId]) -> String {
        format!("it can be {}", self.either(words))
    }

    fn either(&self, words: &[WordId]) -> String {
        suggest::either(words.iter().map(|word| self.vocabulary.word(*word)))
    }

    fn word(&self, scalar: &Scalar, span: Span, words: &[WordId]) -> Result<WordId, Refused> {
        let mut own = words.iter();
        if let Some(word) = own.find(|word| self.vocabulary.word(**word) == scalar.text) {
            return Ok(*word);
        }
        let also = self.vocabulary.field(self.field).also.iter();
        let meant = also.filter(|(other, _)| *other == scalar.text);
        let meant: Vec<WordId> = meant.map(|(_, word)| *word).collect();
        let help = match meant[..] {
            [word] => return Ok(word),
            [] => self.nearest(scalar, words),
            _ => format!(
                "the trade means several by that: write {}",
                self.either(&meant)
            ),
        };
        let written = quoted(&scalar.text);
        let says = format!("{written} is not one of the words for `{}`", self.name());
        self.refuse("not-a-choice", span, says, help)
    }

    fn nearest(&self, scalar: &Scalar, words: &[WordId]) -> String {
        let offered = words.iter().map(|word| self.vocabulary.word(*word));
        let all = format!("it can be {}, or `unknown`", self.either(words));
        suggest::help(&scalar.text, offered.chain(["unknown"]), &all)
    }

    fn quantity(
        &self,
        scalar: &Scalar,
        kind: Kind,
        possible: &Interval,
        usual_unit: &str,
    ) -> Result<Value, Refused> {
        let read = Quantity::parse(&scalar.text, kind);
        let read = read.map_err(|fault| Some(self.misread("not-a-quantity", scalar, fault)))?;
        let within = if possible.encloses(&read.range) {
            Some(read.range)
        } else {
            // An end that the writer left open is the end of what is possible.
            let open = one_sided(&read.range).then(|| read.range.intersect(possible));
            open.flatten()
        };
        if let Some(range) = within {
            return Ok(Value::Quantity(Box::new(Quantity { range, ..read })));
        }
        let shown = wetside_units::print::range_in(possible, read.unit, 4);
        let written = quoted(&scalar.text);
        let says = format!("{written} cannot be right for `{}`", self.name());
        let help = match usual_unit {
            "" => format!("possible is {shown}; check the number"),
            unit => format!(
                "possible is {shown}; check the number and its unit (people write it in `{unit}`)"
            ),
        };
        self.refuse("beyond-possible", self.node.span, says, help)
    }

    fn time(
        &self,
        scalar: &Scalar,
        read: Result<DateTime, QuantityFault>,
    ) -> Result<Value, Refused> {
        let time = read.map_err(|fault| Some(self.misread("not-a-date", scalar, fault)))?;
        self.of_our_time(time.date())?;
        let seconds = Exact::whole(time.seconds());
        Ok(Value::Time(Box::new(Interval::exact(seconds))))
    }

    /// Refuses a day of another age: a swapped digit in the day of the work would let every date
    /// that must not be too old pass.
    fn of_our_time(&self, date: Date) -> Result<(), Refused> {
        if YEARS.contains(&date.year()) {
            return Ok(());
        }
        let says = format!("`{date}` cannot be right for `{}`", self.name());
        let help = format!(
            "possible are the years {} to {}; check the digits of the year",
            YEARS.start(),
            YEARS.end()
        );
        self.refuse("beyond-possible", self.node.span, says, help)
    }

    /// A fault of a text within the scalar; its place is exact where the text stands as written.
    fn misread(&self, kind: &'static str, scalar: &Scalar, fault: QuantityFault) -> Problem {
        let span = self.node.span;
        let as_written = scalar.style == Style::Plain && self.source.slice(span) == scalar.text;
        let span = if as_written && !fault.at.is_empty() {
            Span::new(fault.at.start, fault.at.end).moved(span.start)
        } else {
            span
        };
        Problem::new(kind, span, fault.says, fault.help)
    }

    fn set(&self, words: &[WordId]) -> Result<Value, Refused> {
        let wetside_document::Value::List(items) = &self.node.value else {
            let says = format!(
                "`{}` holds any number of words, and this is not a list",
                self.name()
            );
            let span = first_line(self.source, self.node.span);
            return self.refuse("list-expected", span, says, self.in_brackets(words));
        };
        let (first, last) = (self.node.span.start, self.node.span.end.saturating_sub(1));
        let bracketed = self.source.slice(self.node.span).starts_with('[');
        if !bracketed || self.source.line_of(first) != self.source.line_of(last) {
            let says = format!(
                "the words of `{}` are spread over several lines",
                self.name()
            );
            let help = "write them on one line in square brackets, so that a lost line can never pass for a shorter list";
            return self.refuse(
                "set-on-lines",
                first_line(self.source, self.node.span),
                says,
                help,
            );
        }
        if items.is_empty() && self.vocabulary.is_never_empty(self.field) {
            let says = format!(
                "`{}` names nothing, and there is always something",
                self.name()
            );
            let help = self.can_be(words);
            return self.refuse("set-empty", self.node.span, says, help);
        }
        self.words_of(items, words)
    }

    /// What to write in place of words without brackets: the same in brackets, where they are right.
    fn in_brackets(&self, words: &[WordId]) -> String {
        let known = |written: &&str| words.iter().any(|id| self.vocabulary.word(*id) == *written);
        let written = self.node.as_text().unwrap_or_default();
        let parts: Vec<&str> = written.split(',').map(str::trim).collect();
        if parts.len() <= words.len() && parts.iter().all(known) {
            return format!("write `[{}]`, in square brackets", parts.join(", "));
        }
        let expected = self.can_be(words);
        format!("put them in square brackets on one line; {expected}")
    }

    fn words_of(&self, items: &[Node], words: &[WordId]) -> Result<Value, Refused> {
        let mut has = 0_u64;
        for item in items {
            let Some(scalar) = item.as_scalar() else {
                let says = "each of these is one word or phrase";
                return self.refuse(
                    "value-expected",
                    first_line(self.source, item.span),
                    says,
                    self.can_be(words),
                );
            };
            if scalar.text == "unknown" {
                let says = format!("`unknown` stands among the words of `{}`", self.name());
                let help = "write `unknown` in place of the whole list: what stands in brackets counts as all that there is";
                return self.refuse("unknown-among-words", item.span, says, help);
            }
            let word = self.word(scalar, item.span, words)?;
            let at = words.iter().position(|known| *known == word).unwrap_or(0);
            if has & (1 << at) != 0 {
                let says = format!("`{}` says `{}` twice", self.name(), scalar.text);
                let help = "say each thing once; perhaps another word was meant";
                return self.refuse("said-twice", item.span, says, help);
            }
            has |= 1 << at;
        }
        Ok(Value::Set { has, may: has })
    }
}

fn one_sided(range: &Interval) -> bool {
    range.low().at().is_none() || range.high().at().is_none()
}

fn example(usual_unit: &str) -> String {
    match usual_unit {
        "" => "4".to_string(),
        unit => format!("4 {unit}"),
    }
}
