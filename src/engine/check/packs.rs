//! What surveys are judged by: the vocabulary and the packs, laid over each other and checked.
//!
//! Contract: a pack with problems judges nothing. What packs of companies ask is in the vocabulary before any of
//! their conditions is read, and nothing that was checked by it before changes.

use crate::agreements::{self, Contradiction};
use crate::figures::{self, Wanted};
use crate::gaps::Gates;
use crate::layers;
use crate::pack::{
    Agreement, Pack, PackFiles, PackProblem, Rule, agreed, declared, idle, load, pack_twice,
};
use crate::run;
use crate::schema;
use serde::{Deserialize, Serialize};
use wetside_base::facts::Facts;
use wetside_base::vocabulary::{FieldId, Vocabulary};
use wetside_lang::eval::Scene;
use wetside_lang::node::Reads;

/// The vocabulary and the packs to judge by, made once for any number of surveys: plain data.
#[derive(Debug, Serialize, Deserialize)]
#[serde(bound(deserialize = "'de: 'static"))]
pub struct Packs {
    pub vocabulary: Vocabulary,
    /// Grows by [`Packs::push`] alone, which also sees which figures the rules read.
    pub packs: Box<[Pack]>,
    pub(super) gates: Gates,
    /// What the answers of every survey must agree on, whatever the packs.
    pub(super) agreed: Box<[Agreement]>,
    /// The figures that the gates, the agreements and the packs read.
    pub(super) figures: Wanted,
    /// The packs that the program carries and that do not judge, as reports cite them.
    pub left_out: Vec<String>,
}

impl Packs {
    /// Whether a field may be asked for in a survey: not where its gate, or one above it, is surely shut.
    pub fn may_ask(&self, field: FieldId, facts: &Facts) -> bool {
        self.gates
            .may_ask(field, run::scene(&self.vocabulary, facts, None))
    }

    /// The vocabulary without any pack.
    pub fn none() -> Packs {
        let mut fields = schema::fields();
        fields.extend(figures::fields());
        let vocabulary = Vocabulary::new(fields);
        let gates = Gates::new(&vocabulary);
        let agreed = agreed(&vocabulary);
        let figures = wanted(&vocabulary, gates.reads());
        let of_rows = agreed.iter().map(|row| wanted(&vocabulary, row.reads()));
        Packs {
            packs: Box::default(),
            figures: of_rows.fold(figures, Wanted::and),
            vocabulary,
            gates,
            agreed: agreed.into(),
            left_out: Vec::new(),
        }
    }

    /// Adds a pack; its problems are returned, and a pack with problems judges nothing.
    pub fn add(&mut self, files: &PackFiles) -> Vec<PackProblem> {
        let (fields, mut problems) = declared(files, &self.vocabulary);
        self.vocabulary.add_to_company(fields);
        self.gates.know_more(&self.vocabulary);
        // What rules would say of a field that is not sound follows from it.
        if problems.is_empty() {
            problems = self.add_over(files);
        }
        problems
    }

    /// Takes over the fields that companies declared for others, before any pack here declares one.
    pub fn share_fields_of(&mut self, other: &Packs) {
        self.vocabulary = other.vocabulary.clone();
        self.gates.know_more(&self.vocabulary);
    }

    fn add_over(&mut self, files: &PackFiles) -> Vec<PackProblem> {
        if let Some(base) = layers::base(files) {
            return self.add_layer(files, &base);
        }
        let (pack, mut problems) = load(files, &self.vocabulary);
        if self.packs.iter().any(|other| other.name == pack.name) {
            problems.push(pack_twice(files, &pack.name));
        }
        if problems.is_empty() {
            problems = idle(&pack, files, &self.vocabulary);
        }
        if problems.is_empty() {
            self.push(pack);
        }
        problems
    }

    /// Lays a layer over the pack that it builds on, which then judges with its changes alone.
    fn add_layer(&mut self, files: &PackFiles, base: &str) -> Vec<PackProblem> {
        let all = || self.packs.iter().flat_map(Pack::identities);
        let names: Vec<String> = all().map(|one| one.pack).collect();
        let lower = self.packs.iter().position(|pack| {
            let mut names = pack.identities().into_iter();
            names.any(|one| one.pack == base)
        });
        let Some(at) = lower else {
            let says = format!(
                "the pack `{base}`, which this layer builds on, is not among those to judge by"
            );
            let help = "name its folder by `--pack` too";
            return vec![files.problem_of_head("no-such-pack", "builds_on", says, help)];
        };
        let (pack, mut problems) = layers::lay(&self.packs[at], files, &self.vocabulary);
        if let Some(twin) = pack
            .layers
            .last()
            .filter(|layer| names.contains(&layer.pack))
        {
            problems.push(pack_twice(files, &twin.pack));
        }
        if problems.is_empty() {
            problems = idle(&pack, files, &self.vocabulary);
        }
        if problems.is_empty() {
            let packs = std::mem::take(&mut self.packs);
            let mut packs = packs.into_vec();
            packs.remove(at);
            self.packs = packs.into();
            self.push(pack);
        }
        problems
    }

    /// Adds a pack that was found sound.
    pub fn push(&mut self, pack: Pack) {
        let of_rows = pack.usual.iter().map(Agreement::reads);
        let reads = pack.rules.iter().map(Rule::reads).chain(of_rows);
        let reads = reads.map(|reads| wanted(&self.vocabulary, reads));
        let figures = std::mem::take(&mut self.figures);
        self.figures = reads.fold(figures, Wanted::and);
        let packs = std::mem::take(&mut self.packs);
        self.packs = packs.into_iter().chain([pack]).collect();
    }

    pub(crate) fn gates(&self) -> &Gates {
        &self.gates
    }

    /// The recorded facts of a survey with the figures that are read.
    pub(crate) fn with_figures(&self, recorded: &Facts) -> Facts {
        let mut facts = recorded.clone();
        figures::derive_wanted(&mut facts, &self.vocabulary, &self.figures);
        facts
    }

    /// The answers of a survey that contradict each other, whatever the packs.
    pub fn contradictions(&self, scene: Scene<'_>) -> Vec<Contradiction> {
        agreements::contradictions(&self.agreed, &self.gates, scene)
    }

    /// The same packs, each with the texts of its rules, which are not carried with the checked data.
    #[must_use]
    pub fn with_texts(mut self, texts: impl Iterator<Item = &'static str> + Clone) -> Packs {
        let packs = self.packs.into_iter();
        self.packs = packs.map(|pack| pack.with_texts(texts.clone())).collect();
        self
    }
}

/// The figures among the fields that are read.
fn wanted(vocabulary: &Vocabulary, reads: Reads) -> Wanted {
    let fields = reads.fields.iter();
    Wanted::by(fields.map(|field| vocabulary.field(*field).path.as_str()))
}
