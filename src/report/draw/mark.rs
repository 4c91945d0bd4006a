//! A place of a file to mark, and the words for it.

use wetside_base::source::Span;

/// A place to mark, with the words to put beside it; without words it is only underlined.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Mark {
    pub span: Span,
    pub words: String,
}
