//! One survey judged by packs: the whole road from text to judgement.
//!
//! text → document with spans → shape check → facts → figures → rules → findings → judgement
//!
//! Contract: pure, and it cannot fail. A survey that is half broken gives problems and findings; a
//! malformed value is an open fact, so the rules that need it are undecided and nothing cascades.
//! The same text, packs and question give the same judgement on every machine.

mod packs;

pub use packs::Packs;

use crate::agreements::{self, Contradiction, Unusual};
use crate::departures;
use crate::figures::{self, Wanted};
use crate::gaps::gaps;
use crate::moved::{self, Register};
use crate::pack::{Pack, Rule};
use crate::read;
use crate::run::{self, Doubt, Doubts, Judged, Run};
use std::collections::BTreeMap;
use wetside_base::facts::{Content, FactId, Facts, Value, Why};
use wetside_base::finding::{
    Basis, Beside, Class, Counts, Judgement, Outcome, Question, Stage, Unlikely, Verdict,
};
use wetside_base::problem::Problem;
use wetside_base::source::Source;
use wetside_base::vocabulary::Vocabulary;
use wetside_document::Reading;
use wetside_lang::eval::Scene;
use wetside_units::{Date, datetime};

/// How many unlikely answers are told.
const MOST_UNLIKELY: usize = 100;

/// What is asked of a survey beside its own words.
#[derive(Clone, Copy, Debug, Default)]
pub struct Ask {
    /// The stage to judge for; by default the survey's own.
    pub stage: Option<Stage>,
    /// The date of judgement; by default the survey's `work_date`.
    pub as_of: Option<Date>,
}

/// Judges a survey from its bytes. Of bytes that are no text nothing is known, which is never clear.
///
/// `beside` is the file of departures that lies beside it, if there is one.
pub fn check_bytes(
    name: &str,
    bytes: Vec<u8>,
    packs: &Packs,
    ask: &Ask,
    beside: Option<&Source>,
) -> (Source, Judgement) {
    let problem = match wetside_document::decode(name, bytes) {
        Ok(survey) => {
            let judgement = check_with(&survey, packs, ask, beside);
            return (survey, judgement);
        }
        Err(problem) => problem,
    };
    let judgement = Judgement {
        verdict: Verdict::FindOut,
        stage: ask.stage.unwrap_or(Stage::Survey),
        as_of: None,
        packs: basis(packs, ask).cited(),
        basis: basis(packs, ask),
        problems: vec![problem],
        beside: None,
        findings: Vec::new(),
        gaps: Vec::new(),
        more_gaps: 0,
        questions: Vec::new(),
        more_questions: 0,
        read_as: Vec::new(),
        unlikely: Vec::new(),
        more_unlikely: 0,
        ahead: Vec::new(),
        counts: Counts::default(),
    };
    (Source::new(name, ""), judgement)
}

fn basis(packs: &Packs, ask: &Ask) -> Basis {
    Basis {
        packs: packs.packs.iter().flat_map(Pack::identities).collect(),
        left_out: packs.left_out.clone(),
        stage: ask.stage,
        as_of: ask.as_of.map(|day| day.to_string()),
    }
}

/// Judges a survey that departs from nothing.
pub fn check(survey: &Source, packs: &Packs, ask: &Ask) -> Judgement {
    check_with(survey, packs, ask, None)
}

/// Judges a survey, with the departures of the file beside it.
pub fn check_with(survey: &Source, packs: &Packs, ask: &Ask, beside: Option<&Source>) -> Judgement {
    let (facts, doubted, less, mut problems) = in_doubt(survey, packs, ask.as_of);
    let scene = run::scene(&packs.vocabulary, &facts, ask.as_of);
    let stage = due_at(ask, scene, &mut problems);
    problems.extend(agreements::confirmed_in_vain(scene));
    let doubt = |at: usize| {
        let scene = run::scene(&packs.vocabulary, less[at].as_ref()?, ask.as_of);
        Some(Doubt {
            scene,
            of: doubted.each()[at]?,
        })
    };
    let doubts = Doubts {
        always: doubt(0),
        for_hazards: doubt(1),
    };
    let departures = beside.map(|file| departures::read(file, &packs.packs, scene));
    let departures = departures.unwrap_or_default();
    let holding = &departures.holding;
    let run = run::run(&packs.packs, survey, scene, doubts, stage, holding);
    let unused = departures::unused(holding, &run.departed, &packs.packs, stage);
    let beside = beside.map(|source| Beside {
        source: source.clone(),
        problems: departures.problems.into_iter().chain(unused).collect(),
    });
    let (gaps, more_gaps) = gaps(&packs.gates, scene);
    let (mut questions, more_questions) = run::questions(&run.waiting, scene);
    doubted.tell(&run, scene, survey, &mut problems, &mut questions);
    let (unlikely, more_unlikely) = doubted.unlikely(&run, scene, survey);
    let sound = beside.as_ref().is_none_or(|file| file.problems.is_empty());
    let known = run.counts.met_that_block > 0 && gaps.is_empty() && !run.is_in_doubt();
    let incomplete = !known || !problems.is_empty() || !sound;
    Judgement {
        verdict: verdict(&run.findings, incomplete),
        stage,
        as_of: scene
            .as_of
            .single()
            .map(|_| datetime::told(&scene.as_of, false)),
        packs: basis(packs, ask).cited(),
        basis: basis(packs, ask),
        problems,
        beside,
        findings: run.findings,
        gaps,
        more_gaps,
        questions,
        more_questions,
        read_as: facts.read_as.clone(),
        unlikely,
        more_unlikely,
        ahead: run.ahead,
        counts: run.counts,
    }
}

/// The stage to judge for: the one asked for, or that of the survey. Where neither says, that is a problem.
fn due_at(ask: &Ask, scene: Scene<'_>, problems: &mut Vec<Problem>) -> Stage {
    let stage = ask.stage.or_else(|| recorded_stage(scene));
    stage.unwrap_or_else(|| {
        problems.extend(stage_missing(scene));
        Stage::Survey
    })
}

/// What passes nothing of a survey, and what passes no hazard.
struct InDoubt {
    contradictions: Vec<Contradiction>,
    unusual: Vec<Unusual>,
    /// The answers in doubt, each with its place among the contradictions.
    always: BTreeMap<FactId, usize>,
    /// The same, and the numbers that are unusual, with their places behind the contradictions.
    for_hazards: BTreeMap<FactId, usize>,
}

impl InDoubt {
    fn of(packs: &Packs, scene: Scene<'_>) -> InDoubt {
        let contradictions = packs.contradictions(scene);
        let unusual = agreements::unusual(&packs.packs, scene);
        let always = agreements::doubted(&contradictions);
        let behind = contradictions.len();
        InDoubt {
            for_hazards: agreements::pass_no_hazard(&always, behind, &unusual, scene.facts),
            always,
            contradictions,
            unusual,
        }
    }

    /// Both, where they are anything, and the second where it is more than the first.
    fn each(&self) -> [Option<&BTreeMap<FactId, usize>>; 2] {
        [
            (!self.always.is_empty()).then_some(&self.always),
            (self.for_hazards.len() > self.always.len()).then_some(&self.for_hazards),
        ]
    }

    /// Each contradiction as a problem and a question, with the rules that are undecided through it; and what is
    /// unusual as a question where a hazard waits for it.
    fn tell(
        &self,
        run: &Run<'_>,
        scene: Scene<'_>,
        survey: &Source,
        problems: &mut Vec<Problem>,
        questions: &mut Vec<Question>,
    ) {
        let mut first = Vec::new();
        for (at, one) in self.contradictions.iter().enumerate() {
            let rules = run.waiting_for(at);
            problems.push(one.problem(scene, survey, rules.len()));
            first.push(one.question(scene, rules));
        }
        for (at, one) in (self.contradictions.len()..).zip(&self.unusual) {
            let hazards = run.waiting_for(at);
            if !hazards.is_empty() {
                first.push(one.question(scene, survey, hazards));
            }
        }
        questions.splice(0..0, first);
    }

    /// What is unusual in words, each with the hazards that wait for it; and how much there is beside what is told.
    fn unlikely(&self, run: &Run<'_>, scene: Scene<'_>, survey: &Source) -> (Vec<Unlikely>, usize) {
        let all = (self.contradictions.len()..).zip(&self.unusual);
        let told = all.take(MOST_UNLIKELY);
        let told = told.map(|(at, one)| one.told(scene, survey, run.waiting_for(at)));
        let more = self.unusual.len().saturating_sub(MOST_UNLIKELY);
        (told.collect(), more)
    }
}

/// What a survey contradicts that it did not before, each kind of contradiction once.
pub fn contradicted(before: &Source, after: &Source, packs: &Packs) -> Vec<Problem> {
    let of = |survey: &Source| -> Vec<(String, Problem)> {
        let reading = wetside_document::read(survey);
        let (vocabulary, wanted) = (&packs.vocabulary, &packs.figures);
        let (facts, _) = facts_of(survey, &reading, vocabulary, wanted, &BTreeMap::new());
        let scene = run::scene(vocabulary, &facts, None);
        let all = packs.contradictions(scene).into_iter();
        all.map(|one| (one.reason().to_string(), one.problem(scene, survey, 0)))
            .collect()
    };
    let known = of(before);
    let is_new = |reason: &String| known.iter().all(|(other, _)| other != reason);
    let new = of(after).into_iter().filter(|(reason, _)| is_new(reason));
    new.map(|(_, problem)| problem).collect()
}

/// The facts as they are written and what of them is in doubt; those with that open, and with that too which passes
/// no hazard, where there is any; and everything wrong with the text.
fn in_doubt(
    survey: &Source,
    packs: &Packs,
    as_of: Option<Date>,
) -> (Facts, InDoubt, [Option<Facts>; 2], Vec<Problem>) {
    let reading = wetside_document::read(survey);
    let read = |doubted: &BTreeMap<FactId, usize>| {
        facts_of(survey, &reading, &packs.vocabulary, &packs.figures, doubted)
    };
    let (facts, problems) = read(&BTreeMap::new());
    let scene = run::scene(&packs.vocabulary, &facts, as_of);
    let doubted = InDoubt::of(packs, scene);
    let less = doubted.each().map(|of| of.map(|of| read(of).0));
    (facts, doubted, less, problems)
}

/// The facts as they are written, with those in doubt open, and with those too that pass no hazard; and everything
/// wrong with the text.
fn in_all_doubt(survey: &Source, packs: &Packs, as_of: Option<Date>) -> ([Facts; 3], Vec<Problem>) {
    let (facts, _, [always, for_hazards], problems) = in_doubt(survey, packs, as_of);
    let always = always.unwrap_or_else(|| facts.clone());
    let for_hazards = for_hazards.unwrap_or_else(|| always.clone());
    ([facts, always, for_hazards], problems)
}

/// What is moved for the work by each pack, from facts of which those in doubt are open; and everything wrong
/// with the text.
pub fn registers(survey: &Source, packs: &Packs) -> (Vec<Register>, Vec<Problem>) {
    let ([_, facts, _], problems) = in_all_doubt(survey, packs, None);
    let scene = run::scene(&packs.vocabulary, &facts, None);
    let of = |pack| moved::register(pack, scene, survey);
    (packs.packs.iter().map(of).collect(), problems)
}

/// What came of one rule: of the survey as a whole or of each thing of its list, by its name.
pub struct Came<'p> {
    pub rule: &'p Rule,
    pub of: Vec<(Option<String>, Outcome)>,
}

/// What came of every rule, those included that are met, that do not apply or that are due later; and
/// everything wrong with the text. Departures change nothing in it.
pub fn outcomes<'p>(
    survey: &Source,
    packs: &'p Packs,
    as_of: Option<Date>,
) -> (Vec<Came<'p>>, Vec<Problem>) {
    let (read, problems) = in_all_doubt(survey, packs, as_of);
    let came = |pack: &'p Pack, rule: &'p Rule| {
        let scene = |facts| run::scene(&packs.vocabulary, facts, as_of).with(&pack.tables);
        let [written, always, for_hazards] = read.each_ref().map(scene);
        let hazard = rule.class == Class::Hazard;
        let doubt = if hazard { for_hazards } else { always };
        let judged = run::judge_in_doubt(rule, written, doubt).into_iter();
        let named = |Judged {
                         element, outcome, ..
                     }: Judged| {
            let name = element.map(|element| run::element_name(written, element));
            (name, outcome)
        };
        Came {
            rule,
            of: judged.map(|one| named(one.judged)).collect(),
        }
    };
    let all = packs.packs.iter();
    let all = all.flat_map(|pack| pack.rules.iter().map(move |rule| (pack, rule)));
    (all.map(|(pack, rule)| came(pack, rule)).collect(), problems)
}

/// The facts of a survey with its figures, and everything wrong with its text.
pub fn facts(survey: &Source, vocabulary: &Vocabulary) -> (Facts, Vec<Problem>) {
    let reading = wetside_document::read(survey);
    let everything = Wanted::everything();
    facts_of(survey, &reading, vocabulary, &everything, &BTreeMap::new())
}

/// The facts of a survey with those in doubt open, and everything wrong with its text in the order of the
/// lines.
fn facts_of(
    survey: &Source,
    reading: &Reading,
    vocabulary: &Vocabulary,
    wanted: &Wanted,
    doubted: &BTreeMap<FactId, usize>,
) -> (Facts, Vec<Problem>) {
    let (mut facts, problems) = read::survey(survey, reading, vocabulary);
    agreements::open(&mut facts, doubted.keys().copied());
    figures::derive_wanted(&mut facts, vocabulary, wanted);
    (facts, problems)
}

pub(crate) fn recorded_stage(scene: Scene<'_>) -> Option<Stage> {
    let fact = run::fact_at(scene.vocabulary, scene.facts, run::STAGE)?;
    match &scene.facts.fact(fact).content {
        Content::Known(Value::Word(word)) => Stage::named(scene.vocabulary.word(*word)),
        _ => None,
    }
}

/// Without a stage nobody can say what is due. Of a stage that could not be understood a problem
/// speaks already.
fn stage_missing(scene: Scene<'_>) -> Option<Problem> {
    let fact = run::fact_at(scene.vocabulary, scene.facts, run::STAGE)?;
    if let Content::Open(Why::Malformed) = scene.facts.fact(fact).content {
        return None;
    }
    let stages: Vec<&str> = Stage::ALL.iter().map(|stage| stage.words()).collect();
    let help = format!(
        "write how far the job has got as `stage` under `job`: {}; until then only what is due at the first is judged",
        wetside_base::suggest::either(stages)
    );
    let says = "the stage of the job is not known, so nobody can say which rules are due";
    Some(Problem::new(
        "stage-missing",
        scene.facts.fact(fact).span,
        says,
        help,
    ))
}

fn verdict(findings: &[wetside_base::finding::Finding], incomplete: bool) -> Verdict {
    let standing = findings.iter().filter(|one| one.departure.is_none());
    let worst = standing
        .map(|one| Verdict::of(one.class, one.outcome))
        .max();
    let floor = if incomplete {
        Verdict::FindOut
    } else {
        Verdict::Clear
    };
    worst.unwrap_or(Verdict::Clear).max(floor)
}
