//! What is said of a command line that cannot be understood.
//!
//! Contract: the words of the library that reads the command line are put into ours, since they speak of
//! arguments, subcommands and digits in strings. What this module does not know is left as it is.

use super::files::Refusal;
use clap::Command;
use clap::error::{ContextKind, ContextValue, Error, ErrorKind};
use std::ops::RangeInclusive;
use wetside_base::suggest;

/// The refusal in our words; nothing for help, the version, and what is not known here.
pub(super) fn told(refused: &Error, whole: &Command, given: &[String]) -> Option<Refusal> {
    let (command, path) = reached(whole, given);
    let see = format!("`{path} --help` tells what it understands");
    let option = text(refused, ContextKind::InvalidArg);
    Some(match refused.kind() {
        ErrorKind::InvalidSubcommand => {
            let written = text(refused, ContextKind::InvalidSubcommand)?;
            let known = command.get_subcommands().map(Command::get_name);
            let help = suggest::help(&written, known, &see);
            Refusal::new(format!("`{path}` has no command `{written}`"), help)
        }
        ErrorKind::UnknownArgument => unknown(command, &path, &option?, &see),
        ErrorKind::MissingRequiredArgument => {
            Refusal::new(format!("`{path}` lacks `{}`", option?), see)
        }
        ErrorKind::ArgumentConflict => {
            let (option, other) = (option?, text(refused, ContextKind::PriorArg)?);
            let says = if option == other {
                format!("`{option}` is written twice")
            } else {
                format!("`{option}` does not go with `{other}`")
            };
            Refusal::new(says, see)
        }
        _ => of_value(refused, &option?, see)?,
    })
}

/// What is wrong with the value of an option.
fn of_value(refused: &Error, option: &str, see: String) -> Option<Refusal> {
    let value = text(refused, ContextKind::InvalidValue)?;
    let (says, help) = match refused.kind() {
        ErrorKind::TooManyValues => (
            format!("`{option}` takes no value, and here is `{value}`"),
            see,
        ),
        ErrorKind::InvalidValue if value.is_empty() => (format!("`{option}` has no value"), see),
        ErrorKind::InvalidValue => {
            let ContextValue::Strings(known) = refused.get(ContextKind::ValidValue)? else {
                return None;
            };
            let known: Vec<&str> = known.iter().map(String::as_str).collect();
            let all = format!("it can be {}", suggest::either(known.iter().copied()));
            let help = suggest::help(&value, known, &all);
            (format!("`{value}` will not do for `{option}`"), help)
        }
        ErrorKind::ValueValidation => {
            let help = std::error::Error::source(refused)?.to_string();
            (format!("`{value}` will not do for `{option}`"), help)
        }
        _ => return None,
    };
    Some(Refusal::new(says, help))
}

fn unknown(command: &Command, path: &str, written: &str, see: &str) -> Refusal {
    if !written.starts_with('-') {
        return Refusal::new(format!("`{path}` has no use for `{written}`"), see);
    }
    let known = options(command);
    let help = suggest::help(written, known.iter().map(String::as_str), see);
    Refusal::new(format!("`{path}` has no option `{written}`"), help)
}

/// What the library says of the case, without the dots of its notation.
fn text(refused: &Error, kind: ContextKind) -> Option<String> {
    let plain = |text: &String| text.trim_end_matches('.').to_string();
    match refused.get(kind)? {
        ContextValue::String(text) => Some(plain(text)),
        ContextValue::Strings(texts) => {
            let texts: Vec<String> = texts.iter().map(plain).collect();
            Some(texts.join("` and `"))
        }
        _ => None,
    }
}

/// The command that the words lead to, and what it is called.
fn reached<'c>(whole: &'c Command, given: &[String]) -> (&'c Command, String) {
    let (mut command, mut path) = (whole, whole.get_name().to_string());
    for word in given.iter().skip(1) {
        let Some(below) = command.find_subcommand(word) else {
            break;
        };
        command = below;
        path = format!("{path} {word}");
    }
    (command, path)
}

fn options(command: &Command) -> Vec<String> {
    let long = command.get_arguments().filter_map(|one| one.get_long());
    let mut options: Vec<String> = long.map(|name| format!("--{name}")).collect();
    options.extend(["--help".to_string(), "--version".to_string()]);
    options
}

/// Reads a whole number within bounds, for an option.
pub(super) fn whole_number<N>(
    bounds: RangeInclusive<u64>,
) -> impl Fn(&str) -> Result<N, String> + Clone
where
    N: TryFrom<u64>,
{
    move |written: &str| {
        let (least, most) = (*bounds.start(), *bounds.end());
        let number = written
            .parse()
            .ok()
            .filter(|number| bounds.contains(number));
        let number = number.and_then(|number| N::try_from(number).ok());
        number.ok_or_else(|| match (least.to_string().len(), most) {
            (1, u64::MAX) => "write a whole number of at most 19 digits, digits only".to_string(),
            (digits, u64::MAX) => {
                format!("write a whole number of {digits} to 19 digits, digits only")
            }
            _ => format!("write a whole number from {least} to {most}"),
        })
    }
}
