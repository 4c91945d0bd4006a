//! One piece of text on its way into the tree, and what stands where nothing was written.
//!
//! Contract: as in `build`; text that does not say what it seems to is refused.

use std::borrow::Cow;
use std::ops::Range;

use compact_str::CompactString;

use super::build::{Builder, Holder, broken};
use super::core_words::{is_endless, is_null, is_truth};
use super::events::{Sort, Stop};
use super::node::{Node, Scalar, Style, Value};
use super::{lines, scan, words};
use wetside_base::source::Span;

impl<'t> Builder<'t> {
    pub(super) fn scalar(
        &mut self,
        text: Cow<'t, str>,
        style: Style,
        mut span: Span,
        long: bool,
        holder: Holder<'_>,
    ) -> Node {
        let empty = match style {
            Style::Plain => is_null(&text),
            Style::Quoted => false,
            Style::Block => text.is_empty(),
        };
        if empty {
            return self.nothing(span, holder);
        }
        if let Some(lost) = self.lost_at(span.start) {
            return broken(lost);
        }
        let refused = match style {
            Style::Plain => self.refuse_plain(&text, span, long),
            Style::Quoted => long && self.opened_too_long(span),
            Style::Block => {
                // Without the blank lines after the text.
                let written = self.text[span.range()].trim_end().len();
                span = Span::new(span.start as usize, span.start as usize + written);
                false
            }
        };
        if refused {
            return broken(span);
        }
        let text = CompactString::from(text);
        let value = Value::Scalar(Scalar { text, style });
        Node { span, value }
    }

    /// Reports plain text that does not say what it seems to; true if it should not be used.
    fn refuse_plain(&mut self, text: &str, span: Span, long: bool) -> bool {
        if long {
            let problem = if self.brackets > 0 {
                Some(words::line_break_in_brackets(self.text, span))
            } else {
                let dashed = words::dashed_line(self.text, span);
                dashed.map(|line| words::dash_in_text(self.text, span, line))
            };
            let refused = problem.is_some();
            self.problems.extend(problem);
            return refused;
        }
        match text.as_bytes() {
            [b't' | b'T' | b'f' | b'F', ..] if is_truth(text) => {
                self.problems.push(words::truth_word(text, span));
            }
            [b'.' | b'-' | b'+', ..] if is_endless(text) => {
                self.problems.push(words::endless(text, span));
            }
            _ => {}
        }
        if let [b' ', b'#', b'0'..=b'9', ..] = self.text.as_bytes()[span.end as usize..] {
            self.problems.push(words::number_sign(self.text, span));
        }
        false
    }

    /// Gives up over brackets or quotes that took in what stands under them; the parser would
    /// not notice.
    pub(super) fn opened_too_long(&mut self, span: Span) -> bool {
        let range = span.range();
        let too_long = scan::takes_in_too_much(self.text, range.clone());
        if too_long {
            let sort = if self.text[range.clone()].starts_with(['"', '\'']) {
                Sort::Unclosed
            } else {
                Sort::NotSetIn { end: range.end }
            };
            let at = range.start;
            self.give_up(Stop { sort, at });
        }
        too_long
    }

    /// A value that is empty, was blanked, or is a word for nothing.
    fn nothing(&mut self, at: Span, holder: Holder<'_>) -> Node {
        let Range { start, end } = at.range();
        let written = !self.text[at.range()].trim().is_empty();
        let after = match holder {
            _ if written => start,
            Holder::Root => start,
            Holder::Key(key) => lines::after_colon(self.text, key.span.end as usize),
            Holder::List => self.text[..start].rfind('-').map_or(start, |dash| dash + 1),
        };
        if let Some(lost) = self.lost_instead(after, holder) {
            return broken(lost);
        }
        let span = Span::new(after, if written { end } else { after });
        match holder {
            Holder::Root => {}
            Holder::Key(key) => self.problems.push(words::empty_value(self.text, key, span)),
            Holder::List => self.problems.push(words::empty_item(self.text, span)),
        }
        Node {
            span,
            value: Value::Empty,
        }
    }

    /// The blanked text that stood where the parser found nothing.
    fn lost_instead(&self, after: usize, holder: Holder<'_>) -> Option<Span> {
        let next = self
            .lost
            .partition_point(|lost| (lost.start as usize) < after);
        let lost = *self.lost.get(next)?;
        let gap = &self.text[after..lost.start as usize];
        let column = |offset: u32| lines::column(self.text, offset as usize);
        let inside = || {
            !gap.contains('\n')
                || matches!(holder, Holder::Key(key) if column(lost.start) > column(key.span.start))
        };
        (gap.trim_start().is_empty() && inside()).then_some(lost)
    }
}
