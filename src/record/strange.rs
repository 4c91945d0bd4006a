//! What is wrong with the words of a note that nothing is known of.
//!
//! Contract: a time or a measure that was meant and is none is told as such; of others their words are said, as they
//! stand together. This module must not know surveys.

use crate::answer::Refused;
use crate::time;
use crate::words::Line;
use std::collections::BTreeSet;
use wetside_base::suggest;
use wetside_units::{Kind, Quantity};

/// The words of a note that nothing is known of; `names` are those of things.
pub(crate) fn not_understood<'n>(
    line: &Line<'_>,
    names: impl IntoIterator<Item = &'n str>,
) -> Refused {
    let stretches = line.stretches();
    let known_slip = stretches
        .iter()
        .find_map(|words| no_time(words).or_else(|| no_measure(words)));
    let (says, help) = known_slip.unwrap_or_else(|| {
        let whole: Vec<String> = stretches.iter().map(|words| words.join(" ")).collect();
        let quoted: Vec<String> = whole.iter().map(|words| short(words)).collect();
        let are = if quoted.len() > 1 { "are" } else { "is" };
        let otherwise = "name a thing as the survey names it, and say a measure with its unit, a word that its \
                         field takes, or that it is back; words of your own stand behind the name of their \
                         field, such as `note`";
        let help = match whole.as_slice() {
            [only] => suggest::help(only, names, otherwise),
            _ => otherwise.to_string(),
        };
        (
            format!("{} {are} not understood", quoted.join(" and ")),
            help,
        )
    });
    Refused {
        strange: stretches.iter().map(Vec::len).sum(),
        ..Refused::new(says, help)
    }
}

/// What somebody wrote, in backticks and cut short where it runs on.
fn short(words: &str) -> String {
    const LONGEST: usize = 60;
    match words.char_indices().nth(LONGEST) {
        Some((end, _)) => format!("`{}…`", &words[..end]),
        None => format!("`{words}`"),
    }
}

fn no_time(words: &[&str]) -> Option<(String, String)> {
    let word = words.iter().find(|word| time::looks_like_one(word))?;
    Some((
        format!("{} is no time of day", short(word)),
        time::FORM.to_string(),
    ))
}

/// What is wrong with a number at the beginning of these words, in the words of whoever reads measures: as far as
/// that holds for every kind of measure.
fn no_measure(words: &[&str]) -> Option<(String, String)> {
    let starts = |word: &&&str| word.chars().take(2).any(|c| c.is_ascii_digit());
    words.first().filter(starts)?;
    let measure = words[..words.len().min(2)].join(" ");
    if Quantity::parse(&measure, Kind::Number).is_ok() {
        let time = time::without_colon(&measure);
        let time = time.map_or_else(String::new, |time| format!("; a time is written `{time}`"));
        return Some((format!("{} has no unit", short(&measure)), form() + &time));
    }
    let read = Kind::all()
        .filter(|kind| !kind.is_bare())
        .map(|kind| Quantity::parse(&measure, kind));
    let faults: Option<BTreeSet<(String, String)>> = read
        .map(|read| read.err().map(|fault| (fault.says, fault.help)))
        .collect();
    let Some(faults) = faults else {
        let says = format!("{} fits nothing that the note names", short(&measure));
        return Some((says, form()));
    };
    let says: BTreeSet<&str> = faults.iter().map(|(says, _)| says.as_str()).collect();
    let helps: BTreeSet<&str> = faults.iter().map(|(_, help)| help.as_str()).collect();
    match (says.first(), helps.first()) {
        (Some(says), Some(help)) if faults.len() == 1 => Some(((*says).into(), (*help).into())),
        (Some(says_it), _) if says.len() == 1 => Some(((*says_it).into(), form())),
        _ => None,
    }
}

fn form() -> String {
    let form = "write a measure with its unit, as in `420 ppm`; a number that has none stands with the name of its \
                field";
    form.to_string()
}
