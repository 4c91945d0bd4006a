//! `wetside verify`: a report held against the same surveys judged again.

use super::exit::Exit;
use super::files::{self, Refusal};
use super::packs::{self, shown};
use clap::Args;
use serde_json::Value;
use wetside_base::finding::Stage;
use wetside_engine::check::{Ask, Packs, check_bytes};
use wetside_report::json;
use wetside_report::pen::{Ink, Pen};
use wetside_units::Date;

/// Judge again what a report speaks of, and say whether the report holds
///
/// The report is one of `check --format json`. The surveys are read again from where it names them, and judged
/// for the same stage and day. It holds where surveys, packs and program are the same to the letter and
/// everything comes out as it is written. Name the packs as they were named for the report.
#[derive(Args, Debug)]
pub(super) struct Arguments {
    /// The report, as `check --format json` wrote it
    report: String,
    #[command(flatten)]
    setting: packs::Setting,
}

pub(super) fn run(arguments: &Arguments) -> Result<Exit, Refusal> {
    let no_report = || {
        let says = format!("`{}` is no report that can be held", arguments.report);
        Refusal::new(says, "name a file that `wetside check --format json` wrote")
    };
    let text = files::text(&arguments.report, "name the report")?.text;
    let report: Value = serde_json::from_str(&text).map_err(|_| no_report())?;
    let surveys = report["surveys"].as_array().ok_or_else(no_report)?;
    if surveys.is_empty() || surveys.iter().any(|one| !one["judged_by"].is_object()) {
        return Err(no_report());
    }
    let packs = arguments.setting.packs()?;
    let mut pen = Pen::new(arguments.setting.look.on_screen());
    let mut holds = true;
    for written in surveys {
        let differs = differences(written, &again(written, &packs)?);
        holds &= differs.is_empty();
        let name = written["survey"].as_str().unwrap_or_default();
        if differs.is_empty() {
            let verdict = written["verdict_says"].as_str().unwrap_or_default();
            pen.entry(0, name, &format!("the report holds: {verdict}"));
        } else {
            pen.entry(0, name, "the report does not hold");
            for line in differs {
                pen.hanging(0, "- ", &line, Ink::Usual);
            }
        }
    }
    shown(&pen.finish())?;
    Ok(if holds {
        Exit::Clear
    } else {
        Exit::DoesNotHold
    })
}

/// What the report would say of a survey today.
fn again(written: &Value, packs: &Packs) -> Result<Value, Refusal> {
    let said = |key: &str| written["judged_by"][key].as_str();
    let ask = Ask {
        stage: said("asked_stage").and_then(Stage::named),
        as_of: said("asked_as_of").and_then(|day| Date::parse(day).ok()),
    };
    let name = written["survey"].as_str().unwrap_or_default();
    let help = "start from the folder where the report was made, with the survey in its place";
    let (shown, bytes) = files::survey(name, help)?;
    let beside = files::departures(name)?;
    let judged = [check_bytes(shown, bytes, packs, &ask, beside.as_ref())];
    let today: Value = serde_json::from_str(&json::document(&judged, &[])).unwrap_or_default();
    Ok(today["surveys"][0].clone())
}

/// Why a report does not hold, causes before consequences.
fn differences(written: &Value, today: &Value) -> Vec<String> {
    let (then, now) = (&written["judged_by"], &today["judged_by"]);
    let mut told = Vec::new();
    if then["survey_digest"] != now["survey_digest"] {
        told.push("the survey has changed since".to_string());
    }
    if then["packs"] != now["packs"] || then["left_out"] != now["left_out"] {
        let (then, now) = (cited(&then["packs"]), cited(&now["packs"]));
        told.push(format!("it was judged by {then}; now it is {now}"));
    }
    if then["engine"] != now["engine"] {
        let name = |by: &Value| {
            by["engine"]
                .as_str()
                .unwrap_or("another program")
                .to_string()
        };
        told.push(format!("it was {}; this is {}", name(then), name(now)));
    }
    let keys = today.as_object().into_iter().flatten();
    let keys = keys.filter(|(key, value)| *key != "judged_by" && written.get(key) != Some(value));
    let other: Vec<String> = keys.map(|(key, _)| format!("`{key}`")).collect();
    let verdicts = [&written["verdict_says"], &today["verdict_says"]].map(Value::as_str);
    if let [Some(then), Some(now)] = verdicts
        && then != now
    {
        told.push(format!("the verdict was `{then}`; now it is `{now}`"));
    }
    if !other.is_empty() {
        told.push(format!("not as written: {}", other.join(", ")));
    } else if !told.is_empty() {
        told.push("everything else comes out as it is written".to_string());
    } else if written != today {
        told.push("it holds keys that no such report has".to_string());
    }
    told
}

fn cited(packs: &Value) -> String {
    let one = |pack: &Value| {
        let said = |key: &str| pack[key].as_str().unwrap_or_default();
        let digest = wetside_engine::digest::short(said("digest"));
        format!("{} {} (content {digest})", said("pack"), said("edition"))
    };
    let all: Vec<String> = packs.as_array().into_iter().flatten().map(one).collect();
    all.join(", ")
}
