//! An interview in plain lines, through a reader and a writer.
//!
//! Contract: lines are only added, never drawn over, so the same words come through a pipe, on paper and to a
//! listener. Every answer is saved before the next question; so whatever ends the talk loses nothing. The end of
//! the input is a stop. This module must not know rules; it asks what the library says is next.

use super::super::exit::Exit;
use super::super::files::{Refusal, cannot_show, facts};
use super::super::packs::in_shell;
use std::io::{self, BufRead, ErrorKind, Write};
use wetside_base::facts::{Content, Facts};
use wetside_base::finding::{Judgement, Verdict};
use wetside_base::source::Source;
use wetside_engine::check::{Ask, Packs, check_with, contradicted};
use wetside_engine::interview::{
    Asks, Line, Question, Session, Walk, again, effects, interview, taken, understood, written,
};
use wetside_report::{Style, asking};

const LEFT_OUT: &str = "Some questions are left out: their answers have no place in the file until what is wrong \
                        in it is mended.";

/// What became of a question.
enum Heard {
    Answered(Source),
    Skipped,
    Back,
    Stop,
    /// It is to be asked of each thing by itself.
    Apart,
}

pub(super) struct Talk<'p> {
    source: Source,
    /// The file of departures beside the survey. What is departed from is asked all the same.
    beside: Option<Source>,
    packs: &'p Packs,
    ask: Ask,
    style: Style,
    /// The survey and the options of a command that goes on.
    again: String,
    session: Session,
    /// The names of the facts of each question that was put, for going back.
    put: Vec<Vec<String>>,
    /// How many answers were saved.
    saved: usize,
    /// What is to be asked before all else: a question gone back to, or one of each thing by itself.
    before: Vec<Question<'p>>,
    /// Where the last question stood.
    last: Option<Walk>,
    /// What was said last of where things stand, and the verdict in it.
    stands: (String, Option<Verdict>),
}

impl<'p> Talk<'p> {
    pub(super) fn new(
        source: Source,
        beside: Option<Source>,
        packs: &'p Packs,
        ask: Ask,
        style: Style,
        again: String,
    ) -> Talk<'p> {
        Talk {
            source,
            beside,
            packs,
            ask,
            style,
            again,
            session: Session::default(),
            put: Vec::new(),
            saved: 0,
            before: Vec::new(),
            last: None,
            stands: (String::new(), None),
        }
    }

    /// Asks until nothing is left, or somebody stops. `save` puts the second text in the place of the first.
    pub(super) fn hold(
        mut self,
        mut input: impl BufRead,
        mut output: impl Write,
        save: impl Fn(&str, &str) -> Result<(), Refusal>,
    ) -> Result<Exit, Refusal> {
        let mut ends = Ends {
            input: &mut input,
            output: &mut output,
        };
        let done = self.until_done(&mut ends, &save);
        self.ended(done)
    }

    /// Takes answers that were filled in elsewhere, all of them or none.
    pub(super) fn take(
        mut self,
        filled: &Source,
        mut output: impl Write,
        save: impl Fn(&str, &str) -> Result<(), Refusal>,
    ) -> Result<Exit, Refusal> {
        let taken = taken(&self.source, filled, &self.packs.vocabulary).map_err(|problem| {
            let line = filled.line_of(problem.span.start);
            let says = format!("{}, line {line}: {}", filled.name, problem.says);
            Refusal::new(says, format!("{}; nothing was taken over", problem.help))
        })?;
        save(&self.source.text, &taken.source.text)?;
        (self.source, self.saved) = (taken.source, taken.answers);
        let mut ends = Ends {
            input: &mut io::empty(),
            output: &mut output,
        };
        self.ended(self.close(&mut ends))
    }

    /// What the program ends with.
    fn ended(&self, done: Result<(), Ended>) -> Result<Exit, Refusal> {
        match done {
            Ok(()) => {}
            // Nobody reading any more is a stop, and no fault.
            Err(Ended::Output(error)) if error.kind() == ErrorKind::BrokenPipe => {}
            Err(Ended::Output(error)) => return Err(cannot_show(&error)),
            Err(Ended::Refused(refusal)) => return Err(refusal),
        }
        Ok(Exit::of(&self.judgement()))
    }

    fn until_done(
        &mut self,
        ends: &mut Ends<'_>,
        save: &dyn Fn(&str, &str) -> Result<(), Refusal>,
    ) -> Result<(), Ended> {
        ends.say(&asking::said(asking::COMMANDS, &self.style))?;
        let is_faulty = !self.judgement().problems.is_empty();
        let mut left_out = false;
        if is_faulty {
            let name = &self.source.name;
            let faulty = format!(
                "Something is wrong in what is written, and counts as not known: wetside check {name}"
            );
            ends.say(&asking::said(&faulty, &self.style))?;
        }
        loop {
            let facts = facts(&self.source, &self.packs.vocabulary);
            let questions = interview(&facts, self.packs, &self.ask, &self.session);
            let left = questions.len();
            let next = self.before.pop().or_else(|| questions.into_iter().next());
            let Some(question) = next else { break };
            if is_faulty && !self.has_place(&facts, &question) {
                if !std::mem::replace(&mut left_out, true) {
                    ends.say(&asking::said(LEFT_OUT, &self.style))?;
                }
                let names = question.names(&facts, &self.packs.vocabulary);
                self.session.asked.extend(names);
                continue;
            }
            self.walk_to(ends, &question)?;
            let names = question.names(&facts, &self.packs.vocabulary);
            match self.put(ends, &facts, &question, left)? {
                Heard::Stop => break,
                Heard::Apart => {
                    let each = question.apart(&facts, &self.packs.vocabulary);
                    self.before.extend(each.into_iter().rev());
                }
                Heard::Back => {
                    let names = self.put.pop();
                    let back = names.as_ref();
                    let back = back.and_then(|names| again(&facts, self.packs, names));
                    if back.is_none() {
                        ends.say(match names {
                            None => "There is nothing to go back to.\n",
                            Some(_) => {
                                "Names are changed in the file. b again goes further back.\n"
                            }
                        })?;
                    }
                    self.before.extend(back);
                }
                heard => {
                    if let Heard::Answered(edited) = heard {
                        save(&self.source.text, &edited.text).map_err(Ended::Refused)?;
                        let before = std::mem::replace(&mut self.source, edited);
                        self.saved += 1;
                        self.contradicted(ends, &before)?;
                    }
                    self.session.asked.extend(names.iter().cloned());
                    self.session.after = Some(question.walk);
                    self.put.push(names);
                }
            }
        }
        self.close(ends)
    }

    /// Whether an answer has a place in a file that is faulty.
    fn has_place(&self, facts: &Facts, question: &Question<'_>) -> bool {
        let vocabulary = &self.packs.vocabulary;
        let lines = understood(facts, vocabulary, question, "u");
        lines.is_ok_and(|lines| written(&self.source, vocabulary, &lines).is_ok())
    }

    /// Tells what the last answer contradicts.
    fn contradicted(&self, ends: &mut Ends<'_>, before: &Source) -> Result<(), Ended> {
        for problem in contradicted(before, &self.source, self.packs) {
            ends.say(&asking::refused(&problem, &self.style))?;
        }
        Ok(())
    }

    /// Says where things stand before the questions of another part, if that has changed, and wherever the verdict
    /// has.
    fn walk_to(&mut self, ends: &mut Ends<'_>, question: &Question<'_>) -> Result<(), Ended> {
        let beside = self.last.is_some_and(|last| last.is_beside(&question.walk));
        self.last = Some(question.walk);
        let judgement = self.judgement();
        let so_far = asking::so_far(&judgement, &self.style);
        let (said, verdict) = &self.stands;
        if *said == so_far || beside && *verdict == Some(judgement.verdict) {
            return Ok(());
        }
        ends.say(&format!("\n{so_far}"))?;
        self.stands = (so_far, Some(judgement.verdict));
        Ok(())
    }

    /// Puts one question until it is answered, put off or left.
    fn put(
        &self,
        ends: &mut Ends<'_>,
        facts: &Facts,
        question: &Question<'p>,
        left: usize,
    ) -> Result<Heard, Ended> {
        let (vocabulary, style) = (&self.packs.vocabulary, &self.style);
        let number = self.put.len() + 1;
        let progress = match left {
            0 | 1 => format!("question {number}, the last for now"),
            _ => format!("question {number}, about {} more", left - 1),
        };
        ends.say("\n")?;
        let now = self.now(facts, question);
        ends.say(&asking::question(
            facts, vocabulary, question, &progress, now, style,
        ))?;
        loop {
            let Some(typed) = ends.typed("> ")? else {
                return Ok(Heard::Stop);
            };
            // A telephone begins every line with a capital.
            match typed.to_ascii_lowercase().as_str() {
                "" => ends.say(&asking::said(asking::COMMANDS, style))?,
                "?" => {
                    let effects = effects(facts, self.packs, &self.ask, question);
                    ends.say(&asking::why(question, &effects, style))?;
                }
                "q" => return Ok(Heard::Stop),
                "s" => return Ok(Heard::Skipped),
                "b" => return Ok(Heard::Back),
                "e" if question.facts.len() > 1 => return Ok(Heard::Apart),
                _ => {
                    if let Some(edited) = self.answer(ends, facts, question, &typed)? {
                        return Ok(Heard::Answered(edited));
                    }
                }
            }
        }
    }

    /// What is written already of the one fact that is asked.
    fn now(&self, facts: &Facts, question: &Question<'_>) -> Option<&str> {
        let [only] = question.facts.as_slice() else {
            return None;
        };
        let held = facts.fact(*only);
        let known = matches!(held.content, Content::Known(_));
        known.then(|| self.source.slice(held.span))
    }

    /// The survey with an answer; nothing where it cannot be taken, or is taken back.
    fn answer(
        &self,
        ends: &mut Ends<'_>,
        facts: &Facts,
        question: &Question<'p>,
        typed: &str,
    ) -> Result<Option<Source>, Ended> {
        let vocabulary = &self.packs.vocabulary;
        let made = understood(facts, vocabulary, question, typed)
            .and_then(|lines| Ok((written(&self.source, vocabulary, &lines)?, lines)));
        // Names are what was typed, and nothing else.
        let named = question.asks != Asks::Value;
        match made {
            Err(problem) => {
                ends.say(&asking::refused(&problem, &self.style))?;
                Ok(None)
            }
            Ok((edited, lines)) if lines.len() < 2 || named || self.agreed(ends, &lines)? => {
                Ok(Some(edited))
            }
            Ok(_) => {
                ends.say("Nothing was written. Answer again.\n")?;
                Ok(None)
            }
        }
    }

    /// Shows what is to be written for several things, and waits for a yes.
    fn agreed(&self, ends: &mut Ends<'_>, lines: &[Line]) -> Result<bool, Ended> {
        ends.say(&asking::lines(lines, &self.style))?;
        let typed = ends.typed("y to write them, n not to> ")?;
        Ok(matches!(typed.as_deref(), Some("y" | "yes")))
    }

    fn close(&self, ends: &mut Ends<'_>) -> Result<(), Ended> {
        let facts = facts(&self.source, &self.packs.vocabulary);
        let judgement = self.judgement();
        let name = &self.source.name;
        let saved = match self.saved {
            0 => format!("Nothing was written into {name}."),
            1 => format!("1 answer is saved in {name}."),
            saved => format!("{saved} answers are saved in {name}."),
        };
        ends.say("\n")?;
        ends.say(&asking::said(&saved, &self.style))?;
        ends.say(&asking::so_far(&judgement, &self.style))?;
        let left = interview(&facts, self.packs, &self.ask, &Session::default());
        let stage = judgement.stage;
        // A command stands on a line of its own and is never broken.
        let (said, next) = match left.first() {
            None => {
                let onward = asking::onward(&in_shell(name), &judgement, &self.ask);
                let onward =
                    onward.unwrap_or_else(|| format!("Next: wetside check {}", self.again));
                (
                    format!("Nothing is left to ask for the stage {stage}."),
                    onward,
                )
            }
            Some(next) => {
                let (next, count) = (asking::named(next), left.len());
                let left =
                    format!("Next to find out: {next}; {count} to ask for the stage {stage}.");
                (left, format!("Go on with: wetside ask {}", self.again))
            }
        };
        ends.say(&asking::said(&said, &self.style))?;
        ends.say(&format!("{next}\n"))
    }

    fn judgement(&self) -> Judgement {
        check_with(&self.source, self.packs, &self.ask, self.beside.as_ref())
    }
}

/// Where a talk is heard and shown.
struct Ends<'t> {
    input: &'t mut dyn BufRead,
    output: &'t mut dyn Write,
}

impl Ends<'_> {
    fn say(&mut self, words: &str) -> Result<(), Ended> {
        Ok(self.output.write_all(words.as_bytes())?)
    }

    /// What was typed behind a prompt; nothing at the end of the input.
    fn typed(&mut self, prompt: &str) -> Result<Option<String>, Ended> {
        self.say(prompt)?;
        self.output.flush()?;
        let mut line = Vec::new();
        let read = self.input.read_until(b'\n', &mut line);
        // A line that was cut off by the end of the input may not be all that was meant.
        if read.is_err() || !line.ends_with(b"\n") {
            self.say("\n")?;
            return Ok(None);
        }
        Ok(Some(String::from_utf8_lossy(&line).trim().to_string()))
    }
}

/// Why a talk ended before its end.
enum Ended {
    Output(io::Error),
    Refused(Refusal),
}

impl From<io::Error> for Ended {
    fn from(error: io::Error) -> Ended {
        Ended::Output(error)
    }
}
