//! An answer sheet that was handed in.
//!
//! Contract: a sheet that is not filled in, that belongs to another exercise, or that says something
//! nobody could mark, is a problem at its line and never a wrong answer. Whether a claim is true is not
//! asked here.

use super::answers::{Claim, Sheet, Verdict, What, person};
use super::blank::TO_FILL;
use super::commas::whole;
use crate::key::Key;
use serde::Deserialize;
use wetside_base::finding::Class;
use wetside_base::problem::Problem;
use wetside_base::source::{Source, Span};
use wetside_base::suggest;
use wetside_document::{Node, Placed, typed};
use wetside_engine::schema;
use wetside_schemas::Which;

/// The shape of a sheet on disk. Whatever is left out or misspelt was told by the schema.
#[derive(Deserialize)]
pub(crate) struct WrittenSheet<'d> {
    #[serde(borrow)]
    exercise: Option<Placed<&'d str>>,
    trainee: Option<Placed<&'d str>>,
    verdict: Option<Placed<&'d str>>,
    #[serde(default)]
    claims: Vec<Placed<WrittenClaim<'d>>>,
    first: Option<Placed<&'d str>>,
}

#[derive(Clone, Deserialize)]
pub(crate) struct WrittenClaim<'d> {
    #[serde(borrow)]
    line: Option<Placed<&'d str>>,
    class: Option<Placed<&'d str>>,
    reason: Option<Placed<&'d str>>,
    says: Option<Placed<&'d str>>,
    with: Option<Vec<Placed<&'d str>>>,
    #[serde(rename = "do")]
    step: Option<Placed<&'d str>>,
    missing: Option<Placed<&'d str>>,
}

/// More than anyone could find.
const MOST_CLAIMS: usize = 60;

/// A sheet that was handed in for an exercise; `titles` are all reasons that exist.
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
    if problems.is_empty() {
        return sheet.ok_or_else(|| vec![not_a_sheet(source)]);
    }
    Err(problems)
}

fn not_a_sheet(source: &Source) -> Problem {
    let help = "begin from the sheet that came with the exercise";
    let says = "this is no answer sheet";
    Problem::new("not-a-sheet", source.line_span(1), says, help)
}

/// The exercise that a sheet names, however faulty the rest may be.
pub fn exercise_of(source: &Source) -> Option<String> {
    let root = wetside_document::read(source).root;
    root.get("exercise")?.value.as_text().map(str::to_string)
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
        // What does not fit the shape was told by the schema.
        let written: WrittenSheet<'_> = typed(root).ok()?;
        if let Some(exercise) = &written.exercise
            && exercise.value != self.key.exercise
        {
            let says = format!("this sheet belongs to the exercise `{}`", exercise.value);
            let help = format!(
                "mark it with the key of that exercise; this key belongs to `{}`",
                self.key.exercise
            );
            self.report("other-exercise", exercise.span, says, help);
        }
        let help = "write your name, or the number you were given";
        let trainee = self.filled("trainee", written.trainee, help);
        if let (Some(of), Some(name)) = (&self.key.trainee, trainee)
            && name != TO_FILL
            && person(of) != person(name)
        {
            let says =
                format!("this exercise was made for `{of}`, and `{name}` stands on the sheet");
            let help =
                "write the name that stands on the paper; nobody can sit the test of another";
            self.report(
                "other-trainee",
                written.trainee.map_or(root.span, |at| at.span),
                says,
                help,
            );
        }
        let help = "write `clear`, `not yet` or `do not start`; `no answer` of a paper that came back empty";
        let verdict = self.filled("verdict", written.verdict, help);
        if let Some(beyond) = written.claims.get(MOST_CLAIMS) {
            let says = format!("there are more than {MOST_CLAIMS} claims");
            let help = "claim what you found, not everything that could be";
            self.report("too-many-claims", beyond.span, says, help);
        }
        let items = root
            .get("claims")
            .map_or(&[][..], |entry| entry.value.items());
        let claims = written.claims.iter().zip(items);
        let claims: Vec<Option<Claim>> = claims
            .map(|(claim, item)| self.claim(claim, item))
            .collect();
        let first = written.first.map(|first| self.first(first, claims.len()));
        Some(Sheet {
            first: first.flatten(),
            trainee: trainee?.to_string(),
            verdict: Verdict::named(verdict?)?,
            claims: claims.into_iter().collect::<Option<_>>()?,
        })
    }

    fn first(&mut self, written: Placed<&str>, claims: usize) -> Option<usize> {
        let number = written.value.parse::<usize>().ok();
        let at = number
            .and_then(|number| number.checked_sub(1))
            .filter(|at| *at < claims);
        if at.is_none() {
            let says = format!("there is no claim {} on this sheet", written.value);
            let help = "count your claims from 1, and write which is to be seen to first";
            self.report("no-such-claim", written.span, says, help);
        }
        at
    }

    fn filled<'d>(
        &mut self,
        key: &str,
        text: Option<Placed<&'d str>>,
        help: &str,
    ) -> Option<&'d str> {
        let text = text?;
        if text.value == TO_FILL {
            let says = format!("`{key}` is not filled in");
            self.report("not-filled-in", text.span, says, help);
        }
        Some(text.value)
    }

    /// One claim; the `item` is what was written, keys that are none included.
    fn claim(&mut self, claim: &Placed<WrittenClaim<'_>>, item: &Node) -> Option<Claim> {
        let what = self.what(claim, item);
        let with = claim.value.with.iter().flatten();
        let with: Vec<Option<usize>> = with.map(|line| self.line(*line)).collect();
        let step = claim.value.step.map(|step| self.step(item, step));
        Some(Claim {
            span: claim.span,
            what: what?,
            with: with.into_iter().collect::<Option<_>>()?,
            step: step.map_or(Some(None), |step| step.map(Some))?,
        })
    }

    fn what(&mut self, claim: &Placed<WrittenClaim<'_>>, item: &Node) -> Option<What> {
        let WrittenClaim {
            line,
            class,
            reason,
            says,
            missing,
            ..
        } = claim.value;
        let titles = self.titles;
        let reason = reason.map(|reason| {
            (
                reason,
                whole(item, "reason", &mut self.problems, |whole| {
                    titles.contains(whole)
                }),
            )
        });
        let says = says.map(|says| {
            whole(item, "says", &mut self.problems, |_| true)
                .unwrap_or_else(|| says.value.trim().to_string())
        });
        let at_line = line.and_then(|line| self.line(line));
        match (missing, reason, says, class) {
            (Some(missing), None, None, None) if line.is_some() == at_line.is_some() => {
                let field = self.field(missing)?;
                Some(What::Missing {
                    field,
                    line: at_line,
                })
            }
            (Some(_), None, None, None) => None,
            (None, Some((reason, whole)), None, Some(class)) if line.is_some() => {
                let reason = whole.or_else(|| self.title(reason))?;
                let (line, class) = (at_line?, Class::named(class.value)?);
                Some(What::Wrong {
                    line,
                    class,
                    reason,
                })
            }
            (None, None, Some(words), Some(class)) if line.is_some() => {
                let (line, class) = (at_line?, Class::named(class.value)?);
                Some(What::InOwnWords { line, class, words })
            }
            (Some(_), ..) | (_, Some(_), Some(_), _) => {
                let says = "this claims two things at once";
                let help = "either something is wrong, then write `line`, `class` and either `reason` or `says`; or something is missing, then write `missing` alone or with `line`";
                self.report("two-claims", claim.span, says, help);
                None
            }
            _ => {
                self.half_a_claim(claim);
                None
            }
        }
    }

    fn half_a_claim(&mut self, claim: &Placed<WrittenClaim<'_>>) {
        // A misspelt key or value was reported already.
        let within = |span: Span| claim.span.start <= span.start && span.end <= claim.span.end;
        if self.problems.iter().any(|problem| within(problem.span)) {
            return;
        }
        let keys = [
            ("line", claim.value.line),
            ("class", claim.value.class),
            ("reason", claim.value.reason.or(claim.value.says)),
        ];
        let lacking = keys.iter().filter(|(_, text)| text.is_none());
        let lacking = suggest::either(lacking.map(|(key, _)| *key)).replace(" or ", " and ");
        let says = format!("this claim lacks {lacking}");
        let help = "write where it is, how much it weighs and why; or `missing` for what cannot be decided";
        self.report("half-a-claim", claim.span, says, help);
    }

    fn line(&mut self, written: Placed<&str>) -> Option<usize> {
        let line: usize = written.value.parse().ok()?;
        if line == 0 || line > self.lines {
            let help = format!(
                "count as your editor does; the survey ends with line {}",
                self.lines
            );
            self.report(
                "no-such-line",
                written.span,
                format!("the survey has no line {line}"),
                help,
            );
            return None;
        }
        Some(line)
    }

    /// A field by its number on the sheet, or by its name.
    fn field(&mut self, missing: Placed<&str>) -> Option<String> {
        let fields = self.key.fields.iter().map(|field| field.field.clone());
        match missing.value.trim().parse() {
            Ok(number) => self.numbered(
                number,
                &fields.collect::<Vec<_>>(),
                missing.span,
                "unknown-field",
            ),
            Err(_) => Some(missing.value.to_string()),
        }
    }

    /// What is to be done: by its number or its words; where none is offered, in words of one's own.
    fn step(&mut self, item: &Node, step: Placed<&str>) -> Option<String> {
        let steps = &self.key.steps;
        let whole = whole(item, "do", &mut self.problems, |whole| {
            steps.is_empty() || steps.contains(whole)
        });
        let written = whole.unwrap_or_else(|| step.value.trim().to_string());
        if steps.is_empty() || steps.contains(&written) {
            return Some(written);
        }
        if let Ok(number) = written.parse() {
            return self.numbered(number, steps, step.span, "unknown-step");
        }
        let says = format!("`{written}` is not one of the steps");
        let help = "write the number of a step on the sheet, or copy it word for word";
        self.report("unknown-step", step.span, says, help);
        None
    }

    /// What the sheet offers under a number.
    fn numbered(
        &mut self,
        number: usize,
        offered: &[String],
        at: Span,
        kind: &'static str,
    ) -> Option<String> {
        let what = kind.trim_start_matches("unknown-");
        let numbered = number.checked_sub(1).and_then(|at| offered.get(at));
        if numbered.is_none() {
            let says = format!("the sheet offers no {what} of the number {number}");
            let help = match offered.len() {
                0 => format!("write the {what} itself"),
                all => format!("write one of 1 to {all}, or the {what} itself"),
            };
            self.report(kind, at, says, help);
        }
        numbered.cloned()
    }

    fn title(&mut self, reason: Placed<&str>) -> Option<String> {
        let written = reason.value.trim();
        if self.titles.iter().any(|title| title == written) {
            return Some(written.to_string());
        }
        let reasons = &self.key.reasons;
        if let Ok(number) = written.parse() {
            return self.numbered(number, reasons, reason.span, "unknown-reason");
        }
        let offered = reasons.iter().chain(self.titles).map(String::as_str);
        let help = suggest::help(
            written,
            offered,
            "write the number of one of the reasons at the end of the sheet, or copy it word for word",
        );
        let says = format!("`{written}` is not one of the reasons");
        self.report("unknown-reason", reason.span, says, help);
        None
    }
}
