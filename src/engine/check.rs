//! One survey judged by packs: the whole road from text to judgement.
//!
//! text → document with spans → shape check → facts → figures → rules → findings → judgement
//!
//! Contract: pure, and it cannot fail. A survey that is half broken gives problems and findings; a
//! malformed value is an open fact, so the rules that need it are undecided and nothing cascades.
//! The same text, packs and question give the same judgement on every machine.

use crate::figures::{self, Wanted};
use crate::gaps::{Gates, gaps};
use crate::pack::{PACK_FILE, Pack, PackFiles, PackProblem, idle, load, load_trusted};
use crate::read;
use crate::run::{self, Run};
use crate::schema;
use std::borrow::Cow;
use std::sync::Arc;
use wetside_base::facts::{Content, Facts, Value, Why};
use wetside_base::finding::{Class, Counts, Judgement, Outcome, Question, Stage, Verdict};
use wetside_base::problem::Problem;
use wetside_base::source::Source;
use wetside_base::vocabulary::Vocabulary;
use wetside_document::Reading;
use wetside_lang::eval::Scene;
use wetside_units::Date;

/// The vocabulary and the packs to judge by, made once for any number of surveys.
#[derive(Debug)]
pub struct Packs {
    pub vocabulary: Vocabulary,
    pub packs: Vec<Pack>,
    gates: Gates,
    /// The figures that the gates and the first `read_of` packs may read.
    figures: Wanted,
    read_of: usize,
}

/// What is asked of a survey beside its own words.
#[derive(Clone, Copy, Debug, Default)]
pub struct Ask {
    /// The stage to judge for; by default the survey's own.
    pub stage: Option<Stage>,
    /// The date of judgement; by default the survey's `work_date`.
    pub as_of: Option<Date>,
}

impl Packs {
    /// The vocabulary without any pack.
    pub fn none() -> Packs {
        let mut fields = schema::fields();
        fields.extend(figures::fields());
        let vocabulary = Vocabulary::new(fields);
        let gates = vocabulary
            .fields()
            .filter_map(|(_, field)| field.asked_when.as_deref());
        let figures = gates.map(Wanted::by).fold(Wanted::nothing(), Wanted::and);
        Packs {
            gates: Gates::new(&vocabulary),
            packs: Vec::new(),
            vocabulary,
            figures,
            read_of: 0,
        }
    }

    /// The pack that the program carries.
    pub fn built_in() -> Packs {
        let mut packs = Packs::none();
        let pack = load_trusted(&crate::pack::built_in(), &packs.vocabulary);
        packs.push(pack);
        packs
    }

    /// Adds a pack; its problems are returned, and a pack with problems judges nothing.
    pub fn add(&mut self, files: &PackFiles) -> Vec<PackProblem> {
        let (pack, mut problems) = load(files, &self.vocabulary);
        if self.packs.iter().any(|other| other.name == pack.name) {
            problems.extend(pack_twice(files, &pack.name));
        }
        if problems.is_empty() {
            problems = idle(&pack, files);
        }
        if problems.is_empty() {
            self.push(pack);
        }
        problems
    }

    fn push(&mut self, pack: Pack) {
        let wanted = pack.rules.iter().map(|rule| Wanted::by(rule.text()));
        self.figures = wanted.fold(std::mem::take(&mut self.figures), Wanted::and);
        self.packs.push(pack);
        self.read_of += 1;
    }

    /// The figures that a judgement may read: all, where packs came in another way.
    fn wanted(&self) -> Cow<'_, Wanted> {
        match self.read_of == self.packs.len() {
            true => Cow::Borrowed(&self.figures),
            false => Cow::Owned(Wanted::everything()),
        }
    }
}

/// Every rule of two packs of one name would count twice, and nobody could tell which is meant.
fn pack_twice(files: &PackFiles, name: &str) -> Option<PackProblem> {
    let (_, text) = files.files.iter().find(|(path, _)| path == PACK_FILE)?;
    let source = Arc::new(Source::new(
        format!("{}/{PACK_FILE}", files.name),
        text.as_ref(),
    ));
    let root = wetside_document::read(&source).root;
    let says = format!("there is a pack `{name}` among the packs to judge by already");
    let help = "leave one of the two out, or give this one a name of its own; to judge by a changed copy of the pack that the program carries, leave that one out";
    let span = root.get("pack")?.value.span;
    let problem = Problem::new("pack-twice", span, says, help);
    Some(PackProblem { source, problem })
}

/// Judges a survey from its bytes. Of bytes that are no text nothing is known, which is never clear.
pub fn check_bytes(name: &str, bytes: Vec<u8>, packs: &Packs, ask: &Ask) -> (Source, Judgement) {
    let problem = match wetside_document::decode(name, bytes) {
        Ok(survey) => {
            let judgement = check(&survey, packs, ask);
            return (survey, judgement);
        }
        Err(problem) => problem,
    };
    let judgement = Judgement {
        verdict: Verdict::FindOut,
        stage: ask.stage.unwrap_or(Stage::Survey),
        as_of: None,
        packs: packs.packs.iter().map(Pack::cited).collect(),
        problems: vec![problem],
        findings: Vec::new(),
        gaps: Vec::new(),
        questions: Vec::new(),
        ahead: Vec::new(),
        counts: Counts::default(),
    };
    (Source::new(name, ""), judgement)
}

/// Judges a survey.
pub fn check(survey: &Source, packs: &Packs, ask: &Ask) -> Judgement {
    let reading = wetside_document::read(survey);
    let (facts, mut problems) = facts_of(survey, &reading, &packs.vocabulary, &packs.wanted());
    let scene = run::scene(&packs.vocabulary, &facts, ask.as_of);
    let stage = match ask.stage.or_else(|| recorded_stage(scene)) {
        Some(stage) => stage,
        None => {
            problems.extend(stage_missing(scene));
            Stage::Survey
        }
    };
    let Run {
        findings,
        ahead,
        counts,
        waiting,
    } = run::run(&packs.packs, survey, scene, stage);
    let gaps = gaps(&packs.gates, scene);
    let nothing_judged = counts.met + counts.broken + counts.undecided + counts.not_applicable == 0;
    let incomplete = nothing_judged || !problems.is_empty() || !gaps.is_empty();
    Judgement {
        verdict: verdict(&findings, incomplete),
        stage,
        as_of: scene.as_of.single().map(|_| run::date(&scene.as_of)),
        packs: packs.packs.iter().map(Pack::cited).collect(),
        problems,
        findings,
        gaps,
        questions: questions(packs, &waiting, scene),
        ahead,
        counts,
    }
}

/// The facts of a survey with its figures, and everything wrong with its text.
pub fn facts(survey: &Source, vocabulary: &Vocabulary) -> (Facts, Vec<Problem>) {
    facts_of(
        survey,
        &wetside_document::read(survey),
        vocabulary,
        &Wanted::everything(),
    )
}

/// The facts of a survey, and everything wrong with its text in the order of the lines.
fn facts_of(
    survey: &Source,
    reading: &Reading,
    vocabulary: &Vocabulary,
    wanted: &Wanted,
) -> (Facts, Vec<Problem>) {
    let (mut facts, problems) = read::survey(survey, reading, vocabulary);
    figures::derive_wanted(&mut facts, vocabulary, wanted);
    (facts, problems)
}

fn recorded_stage(scene: Scene<'_>) -> Option<Stage> {
    let fact = run::fact_at(scene.vocabulary, scene.facts, "job.stage")?;
    match &scene.facts.fact(fact).content {
        Content::Known(Value::Word(word)) => Stage::named(scene.vocabulary.word(*word)),
        _ => None,
    }
}

/// Without a stage nobody can say what is due. Of a stage that could not be understood a problem
/// speaks already.
fn stage_missing(scene: Scene<'_>) -> Option<Problem> {
    let fact = run::fact_at(scene.vocabulary, scene.facts, "job.stage")?;
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
    let worst = findings
        .iter()
        .map(|finding| Verdict::of(finding.class, finding.outcome))
        .max();
    let floor = if incomplete {
        Verdict::FindOut
    } else {
        Verdict::Clear
    };
    worst.unwrap_or(Verdict::Clear).max(floor)
}

/// The fewest facts that could settle what is undecided and blocks.
fn questions(packs: &Packs, waiting: &[run::Waiting], scene: Scene<'_>) -> Vec<Question> {
    let rule = |at: &run::Waiting| &packs.packs[at.pack].rules[at.rule];
    let blocking: Vec<run::Waiting> = waiting
        .iter()
        .filter(|at| rule(at).class != Class::Advisory && at.judged.outcome == Outcome::Undecided)
        .cloned()
        .collect();
    let asked = run::questions(&packs.packs, &blocking, scene);
    let question = |asked: run::Asked| {
        let fact = scene.facts.fact(asked.fact);
        let mut rules: Vec<String> = asked
            .settles
            .iter()
            .map(|at| rule(&blocking[*at]).id.clone())
            .collect();
        rules.sort();
        rules.dedup();
        Question {
            fact: run::fact_name(scene, asked.fact),
            asks: scene.vocabulary.field(fact.field).says.clone(),
            span: fact.span,
            rules,
        }
    };
    asked.into_iter().map(question).collect()
}
