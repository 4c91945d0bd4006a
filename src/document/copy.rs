//! The working copy of a text: what cannot be read is blanked in it, and the rest read again.
//!
//! Contract: the copy always has the length of the original and the same line breaks, so that a
//! place in one is a place in the other.

use std::borrow::Cow;
use std::ops::Range;

use wetside_base::source::Span;

pub(crate) struct WorkingCopy<'a> {
    own: &'a str,
    text: Cow<'a, str>,
    lost: Vec<Span>,
}

impl<'a> WorkingCopy<'a> {
    pub(crate) fn new(own: &'a str) -> WorkingCopy<'a> {
        WorkingCopy {
            own,
            text: Cow::Borrowed(own),
            lost: Vec::new(),
        }
    }

    /// The text as it was written.
    pub(crate) fn own(&self) -> &'a str {
        self.own
    }

    pub(crate) fn text(&self) -> &str {
        &self.text
    }

    /// What was written and cannot be read, in order, no two touching.
    pub(crate) fn lost(&self) -> &[Span] {
        &self.lost
    }

    /// Writes spaces over a stretch, line breaks excepted. Says whether that changed anything.
    pub(crate) fn blank(&mut self, region: Range<usize>) -> bool {
        self.write(region, |_, byte| match byte {
            b'\n' | b'\r' => byte,
            _ => b' ',
        })
    }

    /// Writes one letter and spaces over a stretch: something, where nothing would be a mistake.
    pub(crate) fn stand_in(&mut self, region: Range<usize>) -> bool {
        self.write(region, |at, byte| match byte {
            _ if at == 0 => b'x',
            b'\n' | b'\r' => byte,
            _ => b' ',
        })
    }

    /// Makes a lone carriage return an ordinary line break.
    pub(crate) fn break_line(&mut self, at: usize) {
        self.write(at..at + 1, |_, _| b'\n');
    }

    fn write(&mut self, region: Range<usize>, new: fn(usize, u8) -> u8) -> bool {
        let start = self.text.floor_char(region.start);
        let end = self.text.ceil_char(region.end).max(start);
        let old = &self.text[start..end];
        let new: String = old
            .bytes()
            .enumerate()
            .map(|(at, byte)| new(at, byte) as char)
            .collect();
        if new == old {
            return false;
        }
        self.text.to_mut().replace_range(start..end, &new);
        true
    }

    /// Remembers that stretches were not read.
    pub(crate) fn lose(&mut self, regions: impl IntoIterator<Item = Range<usize>>) {
        for region in regions {
            let (start, end) = (
                self.own.floor_char(region.start),
                self.own.ceil_char(region.end),
            );
            let written = self.own[start..end.max(start)].trim();
            if !written.is_empty() {
                let start = written.as_ptr() as usize - self.own.as_ptr() as usize;
                self.lost.push(Span::new(start, start + written.len()));
            }
        }
        self.lost.sort_unstable();
        self.lost.dedup_by(|next, last| {
            let touches = next.start <= last.end;
            if touches {
                *last = last.to(*next);
            }
            touches
        });
    }
}

/// Character boundaries near an offset.
trait Boundaries {
    fn floor_char(&self, at: usize) -> usize;
    fn ceil_char(&self, at: usize) -> usize;
}

impl Boundaries for str {
    fn floor_char(&self, at: usize) -> usize {
        let at = at.min(self.len());
        (0..=at)
            .rev()
            .find(|at| self.is_char_boundary(*at))
            .unwrap_or(0)
    }

    fn ceil_char(&self, at: usize) -> usize {
        let at = at.min(self.len());
        (at..=self.len())
            .find(|at| self.is_char_boundary(*at))
            .unwrap_or(self.len())
    }
}
