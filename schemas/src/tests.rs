//! The tests of this crate: of the schema files, and of what the check says.

mod checks;
mod files;
mod log;

use crate::Which;

/// One for each schema file.
const FILES: [Which; 14] = [
    Which::Survey,
    Which::Pack,
    Which::Rule,
    Which::Table,
    Which::Agreements,
    Which::Moved,
    Which::Report,
    Which::Fault,
    Which::Answers,
    Which::Key,
    Which::Figures,
    Which::Steps,
    Which::Departures,
    Which::Ask,
];
