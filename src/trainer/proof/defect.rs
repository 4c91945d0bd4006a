//! What keeps an exercise from being true to its key.

/// Why an exercise would not be true to its key.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Defect {
    /// Which part of the proof failed, in words joined by hyphens.
    pub kind: &'static str,
    pub says: String,
}

impl Defect {
    pub fn new(kind: &'static str, says: impl Into<String>) -> Defect {
        Defect {
            kind,
            says: says.into(),
        }
    }
}
