//! What exercises are drawn from: surveys that are clear, the faults asked for, and the words that these may have.
//!
//! Contract: a survey that is not clear is refused.

use super::options::{Options, Refused, pool, refused};
use super::varies::table;
use super::words::Words;
use crate::fault::{Answer, Catalogue};
use crate::proof::prove;
use crate::survey::look::Look;
use crate::survey::text;
use wetside_base::source::Source;
use wetside_engine::check::Packs;

/// What exercises are drawn from.
pub(super) struct Ground {
    /// Faults of the catalogue.
    pub(super) pool: Vec<usize>,
    pub(super) looks: Vec<Look>,
    /// The words that faults may have, if not all.
    pub(super) words: Option<Words>,
}

pub(super) fn ground(
    surveys: &[Source],
    packs: &Packs,
    catalogue: &Catalogue,
    options: &Options,
) -> Result<Ground, Refused> {
    let pool = pool(catalogue, options)?;
    let looks = surveys.iter().map(|survey| {
        // A remark was written for the value that stood there, and would tell that another does.
        let clean = text::without_comments(survey);
        let clean = clean.trim_start().to_string();
        let look = Look::at(Source::new(survey.name.clone(), clean), packs);
        prove::base(&look).map_err(|defect| {
            refused(
                format!("{}: {}", survey.name, defect.says),
                "name surveys that come to `clear` with nothing to tell",
            )
        })?;
        Ok(look)
    });
    let looks = looks.collect::<Result<Vec<Look>, Refused>>()?;
    let few = options.common_words == Answer::Yes;
    let words = few.then(|| Words::of(&looks, table(), &packs.vocabulary));
    Ok(Ground { pool, looks, words })
}
