//! The answer sheet: what the trainee fills in.
//!
//! Contract: a sheet that is not filled in, that belongs to another exercise, or that says something
//! nobody could mark, is a problem at its line and never a wrong answer. Whether a claim is true is not
//! asked here.

use super::key::Key;
use super::yaml::{inline, value};
use wetside_base::finding::Class;
use wetside_base::problem::Problem;
use wetside_base::source::{Source, Span};
use wetside_base::suggest;
use wetside_document::{Entry, Node, Value};
use wetside_engine::schema;
use wetside_schemas::Which;

/// A sheet as it was handed in.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Sheet {
    pub trainee: String,
    pub verdict: Verdict,
    /// In the order of the sheet.
    pub claims: Vec<Claim>,
}

/// What a trainee says of the whole job.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Verdict {
    Clear,
    NotYet,
    DoNotStart,
}

impl Verdict {
    pub const ALL: [Verdict; 3] = [Verdict::Clear, Verdict::NotYet, Verdict::DoNotStart];

    pub fn words(self) -> &'static str {
        match self {
            Verdict::Clear => "clear",
            Verdict::NotYet => "not yet",
            Verdict::DoNotStart => "do not start",
        }
    }
}

/// One thing that a trainee claims.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Claim {
    /// Where it stands in the sheet.
    pub span: Span,
    pub what: What,
}

#[derive(Clone, Debug, PartialEq, Eq)]
pub enum What {
    /// Something is wrong on a line of the survey.
    Wrong {
        line: usize,
        class: Class,
        /// The title of a rule.
        reason: String,
    },
    /// Something cannot be decided, because this is missing.
    Missing { field: String, line: Option<usize> },
}

/// What stands where the trainee has to write.
const TO_FILL: &str = "to be filled in";

/// More than anyone could find.
const MOST_CLAIMS: usize = 60;

/// An empty sheet for one exercise.
pub fn blank(key: &Key) -> String {
    filled(key, TO_FILL, TO_FILL, &[])
}

/// The sheet of one exercise with these answers.
pub(super) fn filled(key: &Key, trainee: &str, verdict: &str, claims: &[What]) -> String {
    let reasons: Vec<String> = key
        .reasons
        .iter()
        .map(|reason| format!("#   {reason}\n"))
        .collect();
    let claims: Vec<String> = claims.iter().map(claim_line).collect();
    let claims = if claims.is_empty() {
        " []\n".to_string()
    } else {
        format!("\n{}", claims.concat())
    };
    format!(
        "# Answer sheet. Write under `claims` everything you found, one claim a finding.
#
# Something is wrong: the line of the survey, how much it weighs, and one of the reasons below.
#   - {{line: 31, class: hazard, reason: …}}
# Something cannot be decided, because a line is missing or unknown: the field as the survey names it.
#   - {{missing: circuit.hold_test.length}}
# In a list, give a line of the thing as well; of a list that is not whole, name the list.
#   - {{line: 120, missing: condition}}
#   - {{missing: emitters}}
# If all is well, leave `claims: []`. What you claim and is not so costs marks.

answers: 1
exercise: {}
trainee: {}
verdict: {verdict}   # clear, not yet, or do not start
claims:{claims}
# Reasons to choose from. Some are true of this survey, most are not; there may be none.
{}",
        value(&key.exercise),
        value(trainee),
        reasons.concat()
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
    schema["$defs"]["claim"]["properties"]["reason"]["enum"] = reasons.into();
    schema["properties"]["exercise"]["const"] = key.exercise.as_str().into();
    let mut text = serde_json::to_string_pretty(&schema).unwrap_or_default();
    text.push('\n');
    text
}

/// A sheet that was handed in for an exercise; `titles` are all reasons that exist.
///
/// # Errors
/// With everything that keeps it from being marked.
pub fn read(
    source: &Source,
    key: &Key,
    titles: &[String],
    lines: usize,
) -> Result<Sheet, Vec<Problem>> {
    let reading = wetside_document::read(source);
    if ["answers", "claims"]
        .iter()
        .all(|key| reading.root.get(key).is_none())
    {
        return Err(vec![not_a_sheet(source)]);
    }
    let mut problems = reading.problems.clone();
    problems.extend(schema::check::beside(
        Which::Answers,
        source,
        &reading,
        &problems,
    ));
    // That it is not filled in is said below, and better.
    problems.retain(|problem| source.slice(problem.span) != TO_FILL);
    let mut reader = Reader {
        key,
        titles,
        lines,
        problems,
    };
    let sheet = reader.sheet(&reading.root);
    let mut problems = reader.problems;
    // A reason that is none is said once, and of its shape no more.
    let reasons: Vec<Span> = problems
        .iter()
        .filter(|problem| problem.kind == "unknown-reason")
        .map(|problem| problem.span)
        .collect();
    problems.retain(|problem| problem.kind == "unknown-reason" || !reasons.contains(&problem.span));
    problems.sort_by_key(|problem| (problem.span, problem.kind));
    match (sheet, problems.is_empty()) {
        (Some(sheet), true) => Ok(sheet),
        (None, true) => Err(vec![not_a_sheet(source)]),
        (_, false) => Err(problems),
    }
}

fn not_a_sheet(source: &Source) -> Problem {
    let help = "begin from the sheet that came with the exercise";
    let says = "this is no answer sheet";
    Problem::new("not-a-sheet", source.line_span(1), says, help)
}

/// The trainee that a sheet names, and the exercise, however faulty the rest may be.
pub fn belongs_to(source: &Source) -> (Option<String>, Option<String>) {
    let root = wetside_document::read(source).root;
    let text = |key: &str| root.get(key)?.value.as_text().map(str::to_string);
    (text("trainee"), text("exercise"))
}

struct Reader<'a> {
    key: &'a Key,
    titles: &'a [String],
    lines: usize,
    problems: Vec<Problem>,
}

impl Reader<'_> {
    fn report(
        &mut self,
        kind: &'static str,
        span: Span,
        says: impl Into<String>,
        help: impl Into<String>,
    ) {
        self.problems.push(Problem::new(kind, span, says, help));
    }

    fn sheet(&mut self, root: &Node) -> Option<Sheet> {
        if let Some(entry) = root.get("exercise")
            && entry
                .value
                .as_text()
                .is_some_and(|id| id != self.key.exercise)
        {
            let says = format!(
                "this sheet belongs to the exercise `{}`",
                entry.value.as_text().unwrap_or_default()
            );
            let help = format!(
                "mark it with the key of that exercise; this key belongs to `{}`",
                self.key.exercise
            );
            self.report("other-exercise", entry.value.span, says, help);
        }
        let trainee = self.filled(
            root,
            "trainee",
            "write your name, or the number you were given",
        );
        let verdict = self.filled(
            root,
            "verdict",
            "write `clear`, `not yet` or `do not start`",
        );
        let items = root
            .get("claims")
            .map_or(&[][..], |entry| entry.value.items());
        if let Some(beyond) = items.get(MOST_CLAIMS) {
            let says = format!("there are more than {MOST_CLAIMS} claims");
            let help = "claim what you found, not everything that could be";
            self.report("too-many-claims", beyond.span, says, help);
        }
        let claims: Vec<Option<Claim>> = items.iter().map(|item| self.claim(item)).collect();
        Some(Sheet {
            trainee: trainee?,
            verdict: Verdict::ALL
                .into_iter()
                .find(|known| Some(known.words()) == verdict.as_deref())?,
            claims: claims.into_iter().collect::<Option<_>>()?,
        })
    }

    fn filled(&mut self, root: &Node, key: &str, help: &str) -> Option<String> {
        let node = &root.get(key)?.value;
        let text = node.as_text()?;
        if text == TO_FILL {
            self.report(
                "not-filled-in",
                node.span,
                format!("`{key}` is not filled in"),
                help,
            );
        }
        Some(text.to_string())
    }

    fn claim(&mut self, item: &Node) -> Option<Claim> {
        let get = |key: &str| item.get(key).map(|entry| &entry.value);
        let whole = get("reason").and_then(|reason| self.parted_by_commas(item, reason));
        let known = self.problems.len();
        let line = get("line").and_then(|node| self.line(node));
        let what = match (get("missing"), get("reason"), get("class")) {
            (Some(_), None, None) => What::Missing {
                field: get("missing")?.as_text()?.to_string(),
                line,
            },
            (None, Some(reason), Some(class)) if get("line").is_some() => {
                let title = match whole {
                    Some(title) => title,
                    None => self.title(reason)?,
                };
                What::Wrong {
                    line: line?,
                    class: Class::named(class.as_text()?)?,
                    reason: title,
                }
            }
            (Some(_), ..) => {
                let help = "either something is wrong, then write `line`, `class` and `reason`; or something is missing, then write `missing` alone or with `line`";
                self.report(
                    "two-claims",
                    item.span,
                    "this claims two things at once",
                    help,
                );
                return None;
            }
            _ => {
                // A misspelt key or value was reported already.
                let within =
                    |span: Span| item.span.start <= span.start && span.end <= item.span.end;
                if self.problems.iter().any(|problem| within(problem.span)) {
                    return None;
                }
                let lacking = ["line", "class", "reason"]
                    .into_iter()
                    .filter(|key| get(key).is_none());
                let lacking = suggest::either(lacking).replace(" or ", " and ");
                let help = "write where it is, how much it weighs and why; or `missing` for what cannot be decided";
                self.report(
                    "half-a-claim",
                    item.span,
                    format!("this claim lacks {lacking}"),
                    help,
                );
                return None;
            }
        };
        (self.problems.len() == known).then_some(Claim {
            span: item.span,
            what,
        })
    }

    fn line(&mut self, node: &Node) -> Option<usize> {
        let line: usize = node.as_text()?.parse().ok()?;
        if line == 0 || line > self.lines {
            let help = format!(
                "count as your editor does; the survey ends with line {}",
                self.lines
            );
            self.report(
                "no-such-line",
                node.span,
                format!("the survey has no line {line}"),
                help,
            );
            return None;
        }
        Some(line)
    }

    /// A reason that has commas in it and was copied word for word, without quotes: in braces each comma
    /// parts it, and what follows looks like a key without a value. No problem of that is left.
    fn parted_by_commas(&mut self, item: &Node, reason: &Node) -> Option<String> {
        let empty = |entry: &&Entry| matches!(entry.value.value, Value::Empty);
        let rest: Vec<&Entry> = item.entries().iter().filter(empty).collect();
        let mut whole = reason.as_text()?.trim().to_string();
        for entry in &rest {
            whole.push_str(", ");
            whole.push_str(&entry.key.text);
        }
        if rest.is_empty() || !self.titles.contains(&whole) {
            return None;
        }
        let of_rest = |problem: &Problem| {
            let mut keys = rest.iter().map(|entry| entry.key.span);
            keys.any(|key| key.start <= problem.span.start && problem.span.start <= key.end)
        };
        self.problems.retain(|problem| !of_rest(problem));
        Some(whole)
    }

    fn title(&mut self, node: &Node) -> Option<String> {
        let written = node.as_text()?.trim();
        if self.titles.iter().any(|title| title == written) {
            return Some(written.to_string());
        }
        let offered = self
            .key
            .reasons
            .iter()
            .chain(self.titles)
            .map(String::as_str);
        let numbered = written.parse::<usize>().ok().and_then(|number| {
            let reason = self.key.reasons.get(number.checked_sub(1)?)?;
            Some(format!(
                "write the reason itself; number {number} on paper is `{reason}`"
            ))
        });
        let help = numbered.unwrap_or_else(|| {
            suggest::help(
                written,
                offered,
                "copy one of the reasons at the end of the sheet, word for word",
            )
        });
        self.report(
            "unknown-reason",
            node.span,
            format!("`{written}` is not one of the reasons"),
            help,
        );
        None
    }
}
