//! Requests answered: the library's own functions, in the order in which a page needs them.
//!
//! Contract: first what is to be written is written or refused; everything else is told of the text that there is
//! then, so that no reply is older than the survey that it comes with. Nothing is decided here.

use crate::talk::{Act, Pack, Refusal, Reply, Request, Want};
use serde_json::{Value, json};
use std::borrow::Cow;
use wetside_base::facts::{Content, Fact, FactId, Facts, fact_name};
use wetside_base::finding::Stage;
use wetside_base::source::Source;
use wetside_base::vocabulary::Vocabulary;
use wetside_engine::cases::whole;
use wetside_engine::check::{Ask, Packs, check_bytes, registers};
use wetside_engine::interview::{
    Asks, Question, Session, again, at_once, effects, interview, understood, written,
};
use wetside_engine::layers::in_order;
use wetside_engine::pack::PackFiles;
use wetside_engine::read;
use wetside_record::Beside;
use wetside_record::undo::History;
use wetside_report::figures::{self, CURVES};
use wetside_report::{asking, json as report, starter, steps};
use wetside_units::{Date, DateTime};

/// What is kept from one request to the next.
#[derive(Default)]
pub(crate) struct Shop {
    packs: Option<Packs>,
    /// The report on packs of which one is faulty: then nothing is judged, since the rule that is missing may be the
    /// one that would have stopped the work.
    faulty: Option<String>,
}

impl Shop {
    /// The reply to a request, both as JSON.
    pub(crate) fn answer(&mut self, request: &[u8]) -> String {
        let reply = match serde_json::from_slice(request) {
            Ok(request) => self.reply(request),
            Err(error) => Reply {
                refused: Some(Refusal::new(
                    format!("the page asked for what the engine does not know: {error}"),
                    "load the page again",
                )),
                ..Reply::default()
            },
        };
        serde_json::to_string(&reply).expect("every key is a word")
    }

    fn reply(&mut self, mut request: Request) -> Reply {
        let mut reply = Reply::default();
        if let Some(packs) = request.packs.take() {
            let (packs, faulty) = loaded(packs);
            (self.packs, self.faulty) = (Some(packs), faulty);
        }
        if self.faulty.is_some() {
            let says = "a company pack is faulty, so nothing is judged or written";
            reply.refused = Some(Refusal::new(says, "leave it out, or load it mended"));
            reply.faulty_packs = self.faulty.clone();
            return reply;
        }
        let packs = self.packs.get_or_insert_with(wetside_rules::without_texts);
        match ask(&request) {
            Ok(ask) => told(&mut request, packs, ask, &mut reply),
            Err(refusal) => reply.refused = Some(refusal),
        }
        reply
    }
}

/// The built-in pack with these; where one is faulty the report on what is wrong.
fn loaded(packs: Vec<Pack>) -> (Packs, Option<String>) {
    let mut all = wetside_rules::packs();
    let mut wrong = Vec::new();
    let files = |pack: Pack| PackFiles {
        name: pack.name,
        files: (pack.files.into_iter())
            .map(|(path, text)| (path, Cow::Owned(text)))
            .collect(),
    };
    for files in in_order(packs.into_iter().map(files).collect()) {
        let found = all.add(&files);
        if let Some(added) = all.packs.last().filter(|_| found.is_empty()) {
            wrong.extend(whole::all(added, &files, &all.vocabulary).problems);
        }
        wrong.extend(found);
    }
    let pairs: Vec<_> = wrong
        .iter()
        .map(|one| (one.source.as_ref(), &one.problem))
        .collect();
    let faulty = (!pairs.is_empty()).then(|| report::document(&[], &pairs));
    (all, faulty)
}

fn ask(request: &Request) -> Result<Ask, Refusal> {
    let no_stage = |stage: &String| Refusal::new(format!("there is no stage `{stage}`"), "");
    let stage = request.stage.as_ref();
    let stage = stage.map(|stage| Stage::named(stage).ok_or_else(|| no_stage(stage)));
    let as_of = request.as_of.as_ref().map(|date| Date::parse(date));
    Ok(Ask {
        stage: stage.transpose()?,
        as_of: as_of
            .transpose()
            .map_err(|fault| Refusal::new(fault.says, fault.help))?,
    })
}

/// One survey, and what is to be told of it.
struct Desk<'p> {
    packs: &'p Packs,
    ask: Ask,
    source: Source,
    facts: Facts,
    session: Session,
    walking: bool,
}

fn told(request: &mut Request, packs: &Packs, ask: Ask, reply: &mut Reply) {
    let text = std::mem::take(&mut request.survey);
    let mut desk = Desk::at(Source::new(&*request.name, text), packs, ask, request);
    if let Some(act) = request.act.take() {
        match desk.done(act, request, reply) {
            Ok(source) => {
                reply.survey = Some(source.text.clone());
                desk = Desk::at(source, packs, ask, request);
            }
            Err(refusal) => reply.refused = Some(refusal),
        }
    }
    desk.tell(request, reply);
}

impl<'p> Desk<'p> {
    fn at(source: Source, packs: &'p Packs, ask: Ask, request: &Request) -> Desk<'p> {
        let reading = wetside_document::read(&source);
        let facts = read::survey(&source, &reading, &packs.vocabulary).0;
        let after = again(&facts, packs, &request.after);
        let session = Session {
            asked: request.skipped.clone(),
            after: after.map(|question| question.walk),
        };
        Desk {
            packs,
            ask,
            source,
            facts,
            session,
            walking: request.walking,
        }
    }

    /// The questions that are due, the next one first.
    fn due(&self, session: &Session) -> Vec<Question<'p>> {
        let mut due = interview(&self.facts, self.packs, &self.ask, session);
        if self.walking {
            due.sort_by_key(|question| question.walk);
        }
        due
    }

    /// The survey after an act.
    fn done(&self, act: Act, request: &Request, reply: &mut Reply) -> Result<Source, Refusal> {
        let mut changes: History = serde_json::from_str(&request.changes).unwrap_or_default();
        let source = self.written(act, &mut changes, reply)?;
        reply.changes = serde_json::to_string(&changes).ok();
        Ok(source)
    }

    fn written(
        &self,
        act: Act,
        changes: &mut History,
        reply: &mut Reply,
    ) -> Result<Source, Refusal> {
        let (label, source) = match act {
            Act::Begin => {
                let text = starter::survey(&self.packs.vocabulary, &at_once(self.packs));
                return Ok(Source::new(&*self.source.name, text));
            }
            Act::Undo => {
                let Some((text, said)) = changes.pop(&self.source.text) else {
                    let says = "there is no change to take back";
                    let help = "what came from a file, or was written long ago, is changed by answering anew";
                    return Err(Refusal::new(says, help));
                };
                reply.says = vec![format!("Taken back: {said}")];
                return Ok(Source::new(&*self.source.name, text));
            }
            Act::Remark(words) => {
                let words = words.replace(char::is_control, " ");
                let text = &self.source.text;
                let gap = if text.is_empty() || text.ends_with('\n') {
                    ""
                } else {
                    "\n"
                };
                let text = format!("{text}{gap}# {words}\n");
                (words, Source::new(&*self.source.name, text))
            }
            Act::Answer { names, typed } => (names.join(", "), self.answered(&names, &typed)?),
            Act::Note { line, clock, by } => {
                let beside = Beside {
                    at: None,
                    clock: clock.and_then(|clock| DateTime::parse(&clock).ok()),
                    by: by.as_deref(),
                };
                let noted = wetside_record::note(&self.source, self.packs, &line, &beside)?;
                reply.says = noted.says;
                (line, noted.source)
            }
        };
        changes.push(&label, &self.source.text, &source.text);
        Ok(source)
    }

    fn answered(&self, names: &[String], typed: &[String]) -> Result<Source, Refusal> {
        let (facts, vocabulary) = (&self.facts, &self.packs.vocabulary);
        // Of a list only what is due says whether it is to be counted or its things named.
        let known = again(facts, self.packs, names).filter(|known| known.asks == Asks::Value);
        let mut before = self.session.clone();
        before.asked.retain(|name| !names.contains(name));
        let Some(question) = known.or_else(|| self.question(&self.due(&before), names)) else {
            let says = "the survey has no such question any more";
            return Err(Refusal::new(says, "go on with the next one"));
        };
        let each = match typed {
            [_] => vec![question],
            _ => question.apart(facts, vocabulary),
        };
        let mut lines = Vec::new();
        for (question, typed) in each.iter().zip(typed) {
            if !typed.trim().is_empty() {
                lines.extend(understood(facts, vocabulary, question, typed.trim())?);
            }
        }
        if lines.is_empty() {
            return Err(Refusal::new(
                "no answer was given",
                "give one, or put the question off",
            ));
        }
        Ok(written(&self.source, vocabulary, &lines)?)
    }

    /// A question by the names of its facts, or by its own: one that is due, or one that was answered.
    fn question(&self, due: &[Question<'p>], names: &[String]) -> Option<Question<'p>> {
        let due = named(due, names, &self.facts, &self.packs.vocabulary);
        due.or_else(|| again(&self.facts, self.packs, &with_counts(names)))
    }

    /// The question about what stands at a place, or else on its line: of several, the innermost.
    fn at_place(&self, due: &[Question<'p>], at: (usize, usize)) -> Option<Question<'p>> {
        let (line, column) = at;
        let on_line = |(_, fact): &(FactId, &Fact)| {
            let is_group = matches!(fact.content, Content::Group { .. });
            !is_group && self.source.line_of(fact.span.start) == line
        };
        let mut facts = self.facts.all().filter(on_line).peekable();
        facts.peek()?;
        let span = self.source.line_span(line);
        let before = self.source.slice(span).chars().take(column.max(1) - 1);
        let place = span.start as usize + before.map(char::len_utf8).sum::<usize>();
        let fact =
            facts.min_by_key(|(_, fact)| (fact.span.start as usize != place, fact.span.len()));
        let name = fact_name(&self.facts, &self.packs.vocabulary, fact?.0);
        self.question(due, &[name])
    }

    fn tell(&self, request: &Request, reply: &mut Reply) {
        let (facts, vocabulary) = (&self.facts, &self.packs.vocabulary);
        let wants = |want| request.want.contains(&want);
        let mut due = Vec::new();
        if wants(Want::Questions) || wants(Want::Asked) {
            due = self.due(&self.session);
        }
        reply.left = due.len();
        for want in &request.want {
            match want {
                Want::Check => {
                    let bytes = self.source.text.clone().into_bytes();
                    let name = &self.source.name;
                    let beside = request.departures.as_ref().map(|text| {
                        let stem = name.strip_suffix(".yaml").unwrap_or(name);
                        Source::new(format!("{stem}.departures.yaml"), text.as_str())
                    });
                    let judged = check_bytes(name, bytes, self.packs, &self.ask, beside.as_ref());
                    reply.check = Some(report::document(&[judged], &[]));
                }
                Want::Questions => {
                    reply.questions = Some(asking::document(facts, vocabulary, &due));
                }
                Want::Asked => reply.asked = self.asked(&due, request),
                // With the question, and once for both.
                Want::Why | Want::Figures | Want::Curves => {}
                Want::Steps => {
                    let (registers, problems) = registers(&self.source, self.packs);
                    let known = registers.iter().find(|register| !register.steps.is_empty());
                    reply.steps = known
                        .map(|register| steps::document(&self.source, register, problems.len()));
                }
                Want::Read => {
                    let read = wetside_record::read(&self.source, self.packs);
                    let last = read.into_iter().flat_map(|read| read.last);
                    let last =
                        last.map(|one| json!({"of": one.of, "at": one.at, "clean": one.is_clean}));
                    reply.read = last.collect();
                }
                Want::Papers => {
                    let made = wetside_sheet::papers(&self.source, self.packs, &self.ask, None);
                    let papers = made.papers.into_iter();
                    let papers = papers.map(|one| json!({"name": one.name, "text": one.text}));
                    reply.papers = papers.collect();
                }
            }
        }
        self.work_out(request, reply);
    }

    /// The figures and the pictures of them, worked out once.
    fn work_out(&self, request: &Request, reply: &mut Reply) {
        let wants = |want| request.want.contains(&want);
        if !wants(Want::Figures) && !wants(Want::Curves) {
            return;
        }
        let survey = figures::Survey::new(self.source.clone(), &Packs::none().vocabulary);
        if wants(Want::Curves) {
            let curve = |name: &&'static str| {
                let drawn = figures::curve(&survey.told, name).map(|drawing| drawing.svg);
                json!({"name": name, "svg": drawn.as_ref().ok(), "why_not": drawn.as_ref().err()})
            };
            reply.curves = CURVES.iter().map(curve).collect();
        }
        if wants(Want::Figures) {
            reply.figures = Some(figures::document(std::slice::from_ref(&survey)));
        }
    }

    /// The question to show: the one that is wanted, or the next one. With the names of its facts, by which it is
    /// answered and found again, and what is written of each of its things.
    fn asked(&self, due: &[Question<'p>], request: &Request) -> Option<Value> {
        let (facts, vocabulary) = (&self.facts, &self.packs.vocabulary);
        let question = match (request.ask_place, request.ask.as_slice()) {
            (Some(place), _) => self.at_place(due, place)?,
            (None, []) => due.first()?.clone(),
            (None, names) => self.question(due, names)?,
        };
        let now = |fact: &FactId| {
            let held = facts.fact(*fact);
            let known = matches!(held.content, Content::Known(_));
            known.then(|| self.source.slice(held.span))
        };
        Some(json!({
            "document": asking::document(facts, vocabulary, std::slice::from_ref(&question)),
            "names": question.names(facts, vocabulary),
            "now": match question.asks {
                Asks::Value => question.facts.iter().map(now).collect(),
                Asks::Count | Asks::Names(_) => Vec::new(),
            },
            "why": request.want.contains(&Want::Why).then(|| self.why(&question)),
        }))
    }

    /// The rules that wait for an answer, hazards first, and what each answer would do: of a measure, at most.
    fn why(&self, question: &Question<'p>) -> Value {
        let rules = question.rules.iter().map(
            |one| json!({"class": one.class.word(), "title": one.words.title, "because": one.words.because}),
        );
        let effects = effects(&self.facts, self.packs, &self.ask, question);
        let effects = effects.into_iter().map(|one| {
            let (settles, breaks, opens) = (one.settles, one.breaks, one.opens);
            json!({"answers": one.answers, "settles": settles, "breaks": breaks, "opens": opens})
        });
        json!({"rules": rules.collect::<Vec<_>>(), "effects": effects.collect::<Vec<_>>()})
    }
}

/// The names, and those under which a list is counted.
fn with_counts(names: &[String]) -> Vec<String> {
    let counts = names.iter().map(|name| format!("{name}: count"));
    names.iter().cloned().chain(counts).collect()
}

fn named<'p>(
    due: &[Question<'p>],
    names: &[String],
    facts: &Facts,
    vocabulary: &Vocabulary,
) -> Option<Question<'p>> {
    let is_it = |question: &&Question<'_>| {
        question.names(facts, vocabulary) == names
            || matches!(names, [name] if question.name == *name)
    };
    due.iter().find(is_it).cloned()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn told(request: &Value) -> Value {
        let reply = Shop::default().answer(request.to_string().as_bytes());
        serde_json::from_str(&reply).expect("a reply is JSON")
    }

    #[test]
    fn what_is_no_request_is_refused_in_words() {
        let reply = Shop::default().answer(b"\xff{");
        assert!(reply.contains("load the page again"), "{reply}");
        let reply = told(&json!({"stage": "noon"}));
        assert_eq!(reply["refused"]["says"], "there is no stage `noon`");
    }

    #[test]
    fn an_answer_is_written_judged_and_taken_back() {
        let begun = told(&json!({"name": "new", "act": "begin"}));
        let answer = json!({"answer": {"names": ["circuit.kind"], "typed": ["sealed"]}});
        let mut request =
            json!({"survey": begun["survey"], "act": answer, "want": ["check", "asked"]});
        let after = told(&request);
        let survey = after["survey"].as_str().expect("it is written");
        assert!(survey.contains("  kind: sealed"), "{survey}");
        assert!(after["check"].is_string() && after["asked"]["names"][0].is_string());
        request["survey"] = after["survey"].clone();
        request["changes"] = after["changes"].clone();
        request["act"] = json!("undo");
        assert_eq!(told(&request)["survey"], begun["survey"]);
    }
    #[test]
    fn a_list_is_counted_and_then_its_things_are_named() {
        let begun = told(&json!({"name": "new", "act": "begin"}));
        let mut request = json!({"survey": begun["survey"]});
        for (name, typed) in [
            ("heat_sources: count", "1"),
            ("heat_sources: names", "corner boiler"),
        ] {
            request["act"] = json!({"answer": {"names": [name], "typed": [typed]}});
            request["skipped"] = json!([name]);
            let reply = told(&request);
            assert_eq!(reply["refused"], Value::Null);
            request["survey"] = reply["survey"].clone();
        }
        let survey = request["survey"].as_str().expect("it is written");
        assert!(survey.contains("- id: corner boiler"), "{survey}");
    }
}
