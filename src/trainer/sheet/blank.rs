//! The answer sheet that goes with an exercise, and the schema by which an editor completes it.

use super::answers::What;
use crate::key::Key;
use wetside_edit::yaml::{inline, value};
use wetside_schemas::Which;

/// What stands where the trainee has to write.
pub(super) const TO_FILL: &str = "to be filled in";

/// How answers are marked, for trainees: tables of cells between bars, and a sentence.
pub const MARKING: &str = include_str!("marking.md");

/// An empty sheet for one exercise, and for one trainee if the name is known.
pub fn blank(key: &Key, trainee: Option<&str>) -> String {
    filled(key, trainee.unwrap_or(TO_FILL), TO_FILL, &[])
}

/// The sheet of one exercise with these answers.
pub(crate) fn filled(key: &Key, trainee: &str, verdict: &str, claims: &[What]) -> String {
    let reasons: Vec<String> = key
        .reasons
        .iter()
        .enumerate()
        .map(|(at, reason)| format!("# {:>3}  {reason}\n", at + 1))
        .collect();
    let fields: Vec<String> = key
        .fields
        .iter()
        .map(|field| format!("#   {}: {}\n", field.field, field.is))
        .collect();
    let claims: Vec<String> = claims.iter().map(claim_line).collect();
    let claims = if claims.is_empty() {
        " []\n".to_string()
    } else {
        format!("\n{}", claims.concat())
    };
    let marking: Vec<String> = MARKING.lines().map(|line| format!("# {line}")).collect();
    let marking = marking.join("\n").replace("# \n", "#\n");
    format!(
        "# Answer sheet. Write under `claims` everything you found, one claim a finding.
#
# Something is wrong: the line of the survey, how much it weighs, and one of the reasons below,
# by its number or in its words.
#   - {{line: 31, class: hazard, reason: 4}}
# Something cannot be decided, because a line is missing or unknown: the field as the survey names
# it. Below stand some to choose from; any other may be missing too.
#   - {{missing: circuit.hold_test.length}}
# In a list, give a line of the thing as well; of a list that is not whole, name the list.
#   - {{line: 120, missing: condition}}
#   - {{missing: emitters}}
# If all is well, leave `claims: []`. What you claim and is not so costs marks.
#
# How your answers are marked:
#
{marking}

answers: 1
exercise: {}
trainee: {}
verdict: {verdict}   # clear, not yet, or do not start
claims:{claims}
# Reasons to choose from. Some are true of this survey, most are not; there may be none.
{}
# Fields that may be missing, with what they are. Some are missing and decide something, most are not.
{}",
        value(&key.exercise),
        value(trainee),
        reasons.concat(),
        fields.concat()
    )
}

fn claim_line(claim: &What) -> String {
    match claim {
        What::Wrong {
            line,
            class,
            reason,
        } => format!(
            "  - {{line: {line}, class: {class}, reason: {}}}\n",
            inline(reason)
        ),
        What::Missing { field, line: None } => format!("  - {{missing: {}}}\n", inline(field)),
        What::Missing {
            field,
            line: Some(line),
        } => format!("  - {{line: {line}, missing: {}}}\n", inline(field)),
    }
}

/// The schema of the sheet of one exercise: an editor that knows it completes the reasons.
pub fn schema_for(key: &Key) -> String {
    let mut schema = Which::Answers.schema().clone();
    let reasons: Vec<serde_json::Value> = key
        .reasons
        .iter()
        .map(|reason| reason.as_str().into())
        .collect();
    let most = reasons.len();
    let reason = &mut schema["$defs"]["claim"]["properties"]["reason"];
    reason["anyOf"] =
        serde_json::json!([{"enum": reasons}, {"type": "integer", "minimum": 1, "maximum": most}]);
    schema["properties"]["exercise"]["const"] = key.exercise.as_str().into();
    let mut text = serde_json::to_string_pretty(&schema).unwrap_or_default();
    text.push('\n');
    text
}
