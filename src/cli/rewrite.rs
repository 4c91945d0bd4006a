//! Another text in the place of a survey.
//!
//! Contract: whole or not at all, and only over the text that was read. A link is followed, and the file keeps
//! its permissions.

use super::files::{self, Refusal};
use std::fs;
use std::path::{Path, PathBuf};

/// Puts a text in the place of another.
///
/// # Errors
/// When the file holds another text by now, or cannot be written.
pub(super) fn survey(path: &Path, before: &str, after: &str) -> Result<(), Refusal> {
    let path = whole(path);
    let shown = path.display().to_string();
    let there = fs::read(&path).unwrap_or_default();
    if there != before.as_bytes() {
        let says = format!("`{shown}` was changed while this ran, so nothing was written");
        return Err(Refusal::new(
            says,
            "close it in the editor, and do this again",
        ));
    }
    let rights = fs::metadata(&path).map(|held| held.permissions());
    files::write(&path, after, true, "")?;
    if let Ok(rights) = rights {
        // What cannot be kept does not undo what was written.
        let _ = fs::set_permissions(&path, rights);
    }
    Ok(())
}

/// The file that a link leads to.
pub(super) fn whole(path: &Path) -> PathBuf {
    fs::canonicalize(path).unwrap_or_else(|_| path.to_path_buf())
}
