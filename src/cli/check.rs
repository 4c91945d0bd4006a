//! `wetside check`: surveys in, reports and one exit code out.

use super::exit::{Exit, TABLE};
use super::files::{self, Refusal, STANDARD_INPUT};
use super::many::{self, Given};
use super::packs::{self, in_shell, shown};
use super::terminal;
use clap::Args;
use clap::builder::{PossibleValuesParser, TypedValueParser};
use std::path::{Path, PathBuf};
use wetside_base::finding::{Judgement, Stage};
use wetside_base::source::Source;
use wetside_engine::check::{Ask, Packs};
use wetside_report::pen::{Pen, number};
use wetside_report::{Format, Summary, asking, brief, json, sarif, text};
use wetside_units::Date;

/// Judge surveys, and say what stands in the way
///
/// The report begins with the verdict, and ends with it and what to do first. On a terminal it is short:
/// what stands in the way with what to do, and the facts to find out with the words to answer. Into a
/// file, a pipe or `--output` it is long: each finding with the lines it rests on, why and who says so,
/// and what later stages will ask. `--long` and `--brief` choose.
#[derive(Args, Debug)]
#[command(after_help = TABLE)]
pub(super) struct Arguments {
    /// The survey files, or folders of them; `-` is standard input
    #[arg(required_unless_present = "from", value_name = "SURVEY")]
    surveys: Vec<String>,
    /// Take the surveys from this list, `-` for standard input: on each line the name of a file, or
    /// JSON with `name` and `survey`, the text of a survey
    #[arg(long, value_name = "FILE", conflicts_with = "surveys")]
    from: Option<String>,
    #[command(flatten)]
    asked: Asked,
    /// The short report, as on a terminal
    #[arg(long)]
    brief: bool,
    /// The long report, as into a file or a pipe
    #[arg(long, conflicts_with = "brief")]
    long: bool,
    /// The format of the report
    #[arg(long, default_value = "text", value_parser = one_of(Format::ALL, Format::name))]
    format: Format,
    /// One JSON document a line for each survey, written as they are judged
    #[arg(long, conflicts_with_all = ["format", "brief", "long", "output"])]
    lines: bool,
    /// Findings as a log in SARIF 2.1.0, for tools that review code
    #[arg(long, conflicts_with_all = ["format", "brief", "long", "lines"])]
    sarif: bool,
    /// Write the report to this file, and only the verdicts to the terminal
    #[arg(long, value_name = "FILE")]
    output: Option<PathBuf>,
    /// Let `--output` take the place of a file that is there already
    #[arg(long, requires = "output")]
    replace: bool,
    #[command(flatten)]
    setting: packs::Setting,
}

/// For which stage and day a survey is judged.
#[derive(Args, Debug)]
pub(super) struct Asked {
    /// The stage to judge for, instead of the one that the survey gives
    #[arg(long, value_parser = one_of(Stage::ALL, Stage::words))]
    stage: Option<Stage>,
    /// The date to judge by, as 2026-10-13, instead of the survey's work date
    #[arg(long, value_name = "DATE", value_parser = date)]
    as_of: Option<Date>,
}

impl Asked {
    pub(super) fn ask(&self) -> Ask {
        Ask {
            stage: self.stage,
            as_of: self.as_of,
        }
    }
}

/// Reads one of these by its word, for an option.
pub(super) fn one_of<T: Copy + Send + Sync + 'static, const N: usize>(
    all: [T; N],
    word: fn(T) -> &'static str,
) -> impl TypedValueParser<Value = T> {
    PossibleValuesParser::new(all.map(word)).map(move |said| {
        let said = all.into_iter().find(|one| word(*one) == said);
        said.expect("only these words come here")
    })
}

pub(super) fn date(written: &str) -> Result<Date, String> {
    Date::parse(written).map_err(|fault| format!("{}; {}", fault.says, fault.help))
}

pub(super) fn run(arguments: &Arguments) -> Result<Exit, Refusal> {
    refuse_contradictions(arguments)?;
    let (packs, wrong) = packs::load(&arguments.setting.choice)?;
    if !wrong.is_empty() && arguments.format == Format::Json {
        deliver(arguments, &packs::refuse_in_json(&wrong))?;
        return Ok(Exit::FaultyPack);
    }
    packs::sound(&wrong, &arguments.setting.look)?;
    let ask = arguments.asked.ask();
    if arguments.lines {
        return stream(arguments, &packs, &ask);
    }
    let mut judged = Vec::new();
    let over = go_through(arguments, &packs, &ask, |_, came| {
        judged.extend(came.ok());
        Ok(())
    })?;
    if judged.is_empty() {
        return Ok(over.unwrap_or(Exit::Misuse));
    }
    refuse_own_survey(arguments, &judged)?;
    let style = match arguments.output {
        Some(_) => arguments.setting.look.on_file(),
        None => arguments.setting.look.on_screen(),
    };
    let on_terminal = arguments.output.is_none() && terminal::is_one();
    let short = arguments.brief || on_terminal && !arguments.long;
    let form = if short { brief::survey } else { text::survey };
    let report = match arguments.format {
        _ if arguments.sarif => sarif::log(&judged),
        Format::Text => text::surveys(&judged, form, &style),
        Format::Json => json::document(&judged, &[]),
    };
    deliver(arguments, &report)?;
    let short =
        short && arguments.format == Format::Text && !arguments.sarif && arguments.output.is_none();
    if let ([(source, judgement)], true) = (judged.as_slice(), short) {
        let onward = asking::onward(&in_shell(&source.name), judgement, &ask);
        shown(&onward.map_or_else(String::new, |onward| onward + "\n"))?;
    }
    if arguments.output.is_some() {
        shown(&text::verdicts(
            &judged,
            &arguments.setting.look.on_screen(),
        ))?;
    }
    let worst = judged
        .iter()
        .map(|(_, judgement)| Exit::of(judgement))
        .max();
    // The process ends here; to take the rules apart first would cost a thirtieth of a run.
    std::mem::forget(packs);
    Ok(over.or(worst).unwrap_or(Exit::Misuse))
}

/// Refuses arguments that do not go together.
fn refuse_contradictions(arguments: &Arguments) -> Result<(), Refusal> {
    let inputs = arguments
        .surveys
        .iter()
        .filter(|name| *name == STANDARD_INPUT);
    if inputs.count() > 1 {
        return Err(Refusal::new(
            "standard input is named twice",
            "it can be read only once",
        ));
    }
    if (arguments.brief || arguments.long) && arguments.format == Format::Json {
        let form = if arguments.brief { "brief" } else { "long" };
        return Err(Refusal::new(
            format!("`--{form}` does not go with `--format json`"),
            "the document for programs always has everything; leave one of the two out",
        ));
    }
    Ok(())
}

/// A report never takes the place of a survey that it judges, however that was named.
fn refuse_own_survey(arguments: &Arguments, judged: &[(Source, Judgement)]) -> Result<(), Refusal> {
    let Some(output) = &arguments.output else {
        return Ok(());
    };
    let mut names = judged.iter().map(|(source, _)| &source.name);
    match names.find(|name| files::same(Path::new(name.as_str()), output)) {
        None => Ok(()),
        Some(survey) => Err(Refusal::new(
            format!("the report would take the place of the survey `{survey}`"),
            "name another file for `--output`",
        )),
    }
}

fn deliver(arguments: &Arguments, report: &str) -> Result<(), Refusal> {
    match &arguments.output {
        Some(path) => files::write(
            path,
            report,
            arguments.replace,
            "add `--replace`, or name another file",
        ),
        None => shown(report),
    }
}

/// The surveys to judge. A file of departures is read with its survey, as where a pattern names both; by itself
/// it is none.
fn names(arguments: &Arguments) -> Result<(Vec<String>, bool), Refusal> {
    let mut alone = false;
    let mut names = many::surveys(&arguments.surveys)?;
    let all = names.clone();
    names.retain(|name| {
        let Some(stem) = name.strip_suffix(files::DEPARTURES) else {
            return true;
        };
        if !all.contains(&format!("{stem}.yaml")) {
            let says = format!("`{name}` holds departures, and is no survey");
            terminal::complain(&says, "name the survey that it lies beside");
            alone = true;
        }
        false
    });
    Ok((names, alone))
}

/// Judges every survey that can be read and hands it on; one that cannot is told, and keeps no other from being
/// judged. What the exit code is whatever the surveys come to, if that is so.
fn go_through(
    arguments: &Arguments,
    packs: &Packs,
    ask: &Ask,
    mut take: impl FnMut(&str, Result<(Source, Judgement), Refusal>) -> Result<(), Refusal>,
) -> Result<Option<Exit>, Refusal> {
    let mut over = None;
    let work = |given: &Given| given.judged([packs], ask).map(|[judged]| judged);
    let mut each = |given: &Given, came: Result<_, Refusal>| {
        if let Err(refusal) = &came {
            terminal::complain(&refusal.says, &refusal.help);
            over = Some(Exit::Misuse);
        }
        take(given.name(), came)
    };
    let done = if let Some(list) = &arguments.from {
        many::each(many::listed(list)?, None, work, &mut each)?
    } else {
        let (names, alone) = names(arguments)?;
        let total = Some(names.len());
        let given = names.into_iter().map(Given::Named);
        let done = many::each(given, total, work, &mut each)?;
        over = over.or(alone.then_some(Exit::Misuse));
        done
    };
    if done.interrupted {
        let says = format!(
            "interrupted after {}",
            number(done.count, "survey", "surveys")
        );
        terminal::complain(&says, "what was judged until then is told");
        over = Some(Exit::Interrupted);
    }
    Ok(over)
}

/// One JSON document a line for each survey, as they are judged, so that there may be any number of them; and a
/// summary for who started it.
fn stream(arguments: &Arguments, packs: &Packs, ask: &Ask) -> Result<Exit, Refusal> {
    let mut worst = Exit::Clear;
    let mut summary = Summary::default();
    let over = go_through(arguments, packs, ask, |name, came| match came {
        Ok((source, judgement)) => {
            worst = worst.max(Exit::of(&judgement));
            summary.add(&judgement);
            shown(&json::line(&source, &judgement))
        }
        Err(refusal) => shown(&json::unread(name, &refusal.says)),
    })?;
    let mut pen = Pen::new(arguments.setting.look.on_screen());
    summary.page(&mut pen);
    terminal::tell(&pen.finish());
    Ok(over.unwrap_or(worst))
}
