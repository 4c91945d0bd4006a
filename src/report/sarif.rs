//! Findings as a log of the OASIS standard SARIF 2.1.0, for tools that review what stands in files.
//!
//! Contract: one run. A hazard that is broken is an error, a preparation a warning, an advisory a note; what is
//! undecided is a result of the kind `open`, which by the standard (3.27.9) has no level; what is departed from is
//! suppressed (3.35). Problems of the file are errors. A fingerprint is of the rule, the survey's name and the
//! thing that was judged, so that it stays where lines move.

use super::layout::written;
use super::verdict::ENGINE;
use serde_json::{Value, json};
use std::collections::BTreeMap;
use wetside_base::finding::{Class, Finding, Judgement, On, Outcome};
use wetside_base::problem::Problem;
use wetside_base::source::{Source, Span};
use wetside_engine::digest;

const SCHEMA: &str =
    "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json";

/// The log on several surveys.
pub fn log(judged: &[(Source, Judgement)]) -> String {
    let mut rules: BTreeMap<String, Value> = BTreeMap::new();
    let mut results = Vec::new();
    for (source, judgement) in judged {
        for problem in &judgement.problems {
            let id = format!("file/{}", problem.kind);
            let rule = json!({"id": id, "shortDescription": {"text": "something is wrong in the text of the survey"}});
            rules.entry(id.clone()).or_insert(rule);
            results.push(of_problem(source, problem, &id));
        }
        for finding in &judgement.findings {
            let id = format!("{}/{}", finding.pack, finding.rule);
            let rule = rules.entry(id.clone());
            rule.or_insert_with(|| of_rule(finding, &id));
            let on = finding.on.iter();
            results.extend(on.map(|on| of_outcome(source, finding, on, &id)));
        }
    }
    let driver = json!({
        "name": "wetside",
        "version": ENGINE.trim_start_matches("wetside "),
        "rules": rules.into_values().collect::<Vec<_>>(),
    });
    written(&json!({
        "$schema": SCHEMA,
        "version": "2.1.0",
        "runs": [{
            "tool": {"driver": driver},
            "columnKind": "unicodeCodePoints",
            "results": results,
        }],
    }))
}

fn level(class: Class) -> &'static str {
    match class {
        Class::Hazard => "error",
        Class::Preparation => "warning",
        Class::Advisory => "note",
    }
}

fn of_rule(finding: &Finding, id: &str) -> Value {
    json!({
        "id": id,
        "shortDescription": {"text": finding.title},
        "fullDescription": {"text": finding.because},
        "defaultConfiguration": {"level": level(finding.class)},
    })
}

fn of_problem(source: &Source, problem: &Problem, id: &str) -> Value {
    json!({
        "ruleId": id,
        "level": "error",
        "message": {"text": format!("{}; {}", problem.says, problem.help)},
        "locations": [location(source, problem.span, None)],
        "partialFingerprints": fingerprint(&[id, &source.name, source.slice(problem.span)]),
    })
}

fn of_outcome(source: &Source, finding: &Finding, on: &On, id: &str) -> Value {
    let open = finding.outcome == Outcome::Undecided;
    let element = on.element.as_deref().unwrap_or_default();
    let lines = on.lines.iter();
    let lines = lines.map(|line| location(source, line.span, Some(&line.words)));
    let mut result = json!({
        "ruleId": id,
        "kind": if open { "open" } else { "fail" },
        "level": if open { "none" } else { level(finding.class) },
        "message": {"text": format!("{}. Do: {}", on.says, on.remedy)},
        "locations": [location(source, on.place, None)],
        "relatedLocations": lines.collect::<Vec<_>>(),
        "partialFingerprints": fingerprint(&[id, &source.name, element]),
    });
    if let Some(departure) = &finding.departure {
        let justification = format!("{}; instead {}", departure.because, departure.instead);
        result["suppressions"] =
            json!([{"kind": "external", "status": "accepted", "justification": justification}]);
    }
    result
}

fn fingerprint(parts: &[&str]) -> Value {
    json!({"wetside/v1": digest::of_text(&parts.join("\n"))})
}

fn location(source: &Source, span: Span, words: Option<&str>) -> Value {
    let (start, end) = (source.place(span.start), source.place(span.end));
    let mut location = json!({
        "physicalLocation": {
            "artifactLocation": {"uri": uri(&source.name)},
            "region": {
                "startLine": start.line, "startColumn": start.column,
                "endLine": end.line, "endColumn": end.column,
            },
        },
    });
    if let Some(words) = words {
        location["message"] = json!({"text": words});
    }
    location
}

/// A name as a reference by RFC 3986: whatever is no sign of a path is written by its bytes.
fn uri(name: &str) -> String {
    let plain = |byte: u8| byte.is_ascii_alphanumeric() || b"-._~/".contains(&byte);
    let sign = |byte: u8| match byte {
        byte if plain(byte) => char::from(byte).to_string(),
        byte => format!("%{byte:02X}"),
    };
    name.bytes().map(sign).collect()
}
