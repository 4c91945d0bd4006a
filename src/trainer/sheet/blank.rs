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
    let claims: Vec<String> = claims.iter().map(claim_line).collect();
    let claims = if claims.is_empty() {
        " []\n".to_string()
    } else {
        format!("\n{}", claims.concat())
    };
    let marking: Vec<String> = MARKING.lines().map(|line| format!("# {line}")).collect();
    let marking = marking.join("\n").replace("# \n", "#\n");
    let how = if key.in_own_words() {
        IN_OWN_WORDS
    } else {
        BY_CHOICE
    };
    format!(
        "# Answer sheet. Write under `claims` everything you found, one claim a finding.
#
{how}#
# How you know, as far as you can say: with what is wrong the other lines that it rests on, and with any claim what
# to do about it. Below the claims, which of them is to be seen to first, counted from 1.
#   - {{line: 31, ..., with: [29, 88], do: ...}}
#   first: 2
# If all is well, leave `claims: []`. What you claim and is not so costs marks.
#
# How your answers are marked:
#
{marking}

answers: 1
exercise: {}
trainee: {}
verdict: {verdict}   # clear, not yet, or do not start
claims:{claims}{}",
        value(&key.exercise),
        value(trainee),
        lists(key)
    )
}

const BY_CHOICE: &str = "\
# Something is wrong: the line of the survey, how much it weighs, and one of the reasons below, by its number or in its
# words; or, where none says it, `says` and words of your own. `do` is one of the steps below.
#   - {line: 31, class: hazard, reason: 4, do: 7}
#   - {line: 31, class: hazard, says: the hose is too short}
# Something cannot be decided, because a line is missing or unknown: the field as the survey names
# it. Below stand some to choose from, by their numbers too; any other may be missing as well.
#   - {missing: circuit.hold_test.length, do: 5}
#   - {missing: 3}
# In a list, give a line of the thing as well; of a list that is not whole, name the list.
#   - {line: 120, missing: condition}
#   - {missing: emitters}
";

const IN_OWN_WORDS: &str = "\
# Something is wrong: the line of the survey, how much it weighs, and what it is, in words of your own.
#   - {line: 31, class: hazard, says: the hose is too short, do: take a longer one}
# Something cannot be decided, because a line is missing or unknown: the field as the survey names its like. In a list,
# give a line of the thing as well.
#   - {missing: circuit.hold_test.length, do: ask for the log of the test}
#   - {line: 120, missing: condition}
";

/// What there is to choose from.
fn lists(key: &Key) -> String {
    let numbered = |head: &str, all: &[String]| {
        let lines = (1..)
            .zip(all)
            .map(|(number, one)| format!("# {number:>3}  {one}\n"));
        let lines: String = lines.collect();
        if lines.is_empty() {
            lines
        } else {
            format!("# {head}\n{lines}")
        }
    };
    let fields = key.fields.iter();
    let fields: Vec<String> = fields
        .map(|field| format!("{}: {}", field.field, field.is))
        .collect();
    numbered(
        "Reasons to choose from. Some are true of this survey, most are not; there may be none.",
        &key.reasons,
    ) + &numbered(
        "Fields that may be missing, with what they are. Some are missing and decide something, most are not.",
        &fields,
    ) + &numbered(
        "Steps to choose from. Some are to be taken here, most are not.",
        &key.steps,
    )
}

fn claim_line(claim: &What) -> String {
    let claim = match claim {
        What::Wrong {
            line,
            class,
            reason,
        } => format!("line: {line}, class: {class}, reason: {}", inline(reason)),
        What::InOwnWords { line, class, words } => {
            format!("line: {line}, class: {class}, says: {}", inline(words))
        }
        What::Missing { field, line: None } => format!("missing: {}", inline(field)),
        What::Missing {
            field,
            line: Some(line),
        } => format!("line: {line}, missing: {}", inline(field)),
    };
    format!("  - {{{claim}}}\n")
}

/// The schema of the sheet of one exercise: an editor that knows it completes the reasons.
pub fn schema_for(key: &Key) -> String {
    let mut schema = Which::Answers.schema().clone();
    let claim = &mut schema["$defs"]["claim"]["properties"];
    for (property, offered) in [("reason", &key.reasons), ("do", &key.steps)] {
        if !offered.is_empty() {
            let number =
                serde_json::json!({"type": "integer", "minimum": 1, "maximum": offered.len()});
            claim[property]["anyOf"] = serde_json::json!([{"enum": offered}, number]);
        }
    }
    schema["properties"]["exercise"]["const"] = key.exercise.as_str().into();
    let mut text = serde_json::to_string_pretty(&schema).unwrap_or_default();
    text.push('\n');
    text
}
