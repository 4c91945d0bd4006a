//! What the properties of the whole are tried on: the built-in pack, the examples, and made-up
//! edits, packs and surveys.
//!
//! Everything here is worked out from fixed seeds, so a failure names the case that shows it again.

pub(crate) mod edits;
pub(crate) mod rules;
pub(crate) mod surveys;
pub(crate) mod trees;

use std::fs;
use std::path::Path;
use std::sync::OnceLock;
use std::thread;
use wetside_base::facts::Facts;
use wetside_base::finding::{Judgement, Stage};
use wetside_base::source::Source;
use wetside_base::vocabulary::Vocabulary;
use wetside_engine::check::{Ask, Packs, check};
use wetside_engine::figures::{self, Wanted};
use wetside_engine::read;
use wetside_engine::run;
use wetside_lang::eval::Scene;
use wetside_units::Date;

/// The built-in pack, loaded once for all tests.
pub(crate) fn packs() -> &'static Packs {
    static PACKS: OnceLock<Packs> = OnceLock::new();
    PACKS.get_or_init(wetside_rules::packs)
}

/// An example survey.
pub(crate) struct Example {
    pub name: String,
    pub text: String,
}

/// The example surveys in the order of their names.
pub(crate) fn examples() -> &'static [Example] {
    static EXAMPLES: OnceLock<Vec<Example>> = OnceLock::new();
    EXAMPLES.get_or_init(|| {
        let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples");
        let entries = fs::read_dir(folder).expect("there is a folder of examples");
        let paths = entries.map(|entry| entry.expect("the folder can be listed").path());
        let surveys = paths.filter(|path| path.extension().is_some_and(|end| end == "yaml"));
        let read = |path: std::path::PathBuf| Example {
            name: path
                .file_stem()
                .unwrap_or_default()
                .to_string_lossy()
                .into_owned(),
            text: fs::read_to_string(&path).expect("an example can be read"),
        };
        let mut examples: Vec<Example> = surveys.map(read).collect();
        examples.sort_by(|a, b| a.name.cmp(&b.name));
        examples
    })
}

/// The judgement of a text at its own stage.
pub(crate) fn judged(text: &str) -> Judgement {
    check(&Source::new("survey.yaml", text), packs(), &Ask::default())
}

/// The judgement of a text at another stage.
pub(crate) fn judged_at(text: &str, stage: Stage) -> Judgement {
    let ask = Ask {
        stage: Some(stage),
        as_of: None,
    };
    check(&Source::new("survey.yaml", text), packs(), &ask)
}

/// A text as facts.
pub(crate) struct Read {
    pub source: Source,
    pub facts: Facts,
    /// How many problems were met on the way.
    pub problems: usize,
}

impl Read {
    pub(crate) fn survey(text: &str) -> Read {
        Read::by(text, &packs().vocabulary).with_figures()
    }

    /// The same with what rules read of all that follows.
    pub(crate) fn for_rules(text: &str) -> Read {
        static WANTED: OnceLock<Wanted> = OnceLock::new();
        let vocabulary = &packs().vocabulary;
        let wanted = WANTED.get_or_init(|| {
            let rules = packs().packs.iter().flat_map(|pack| &pack.rules);
            let fields = rules.flat_map(|rule| rule.reads().fields);
            let paths: Vec<&str> = fields
                .map(|field| vocabulary.field(field).path.as_str())
                .collect();
            Wanted::by(paths)
        });
        let mut read = Read::by(text, vocabulary);
        figures::derive_wanted(&mut read.facts, vocabulary, wanted);
        read
    }

    /// The same with all that follows from the facts worked out.
    pub(crate) fn with_figures(mut self) -> Read {
        figures::derive(&mut self.facts, &packs().vocabulary);
        self
    }

    pub(crate) fn by(text: &str, vocabulary: &Vocabulary) -> Read {
        let source = Source::new("survey.yaml", text);
        let reading = wetside_document::read(&source);
        let (facts, problems) = read::read(&source, &reading, vocabulary);
        Read {
            source,
            facts,
            problems: reading.problems.len() + problems.len(),
        }
    }

    pub(crate) fn scene<'a>(
        &'a self,
        vocabulary: &'a Vocabulary,
        as_of: Option<Date>,
    ) -> Scene<'a> {
        run::scene(vocabulary, &self.facts, as_of)
    }
}

/// Which of how many parts of a long run is asked for, as `WETSIDE_FULL=2/6`, the first being nought; all of it is one.
pub(crate) fn part() -> Option<(usize, usize)> {
    let asked = std::env::var("WETSIDE_FULL").ok()?;
    let number = |text: &str| text.parse::<usize>().expect("a part is written `2/6`");
    Some(match asked.split_once('/') {
        None => (0, 1),
        Some((part, parts)) => (number(part) - 1, number(parts)),
    })
}

/// Whether the long run is asked for, with `WETSIDE_FULL=1`.
pub(crate) fn full() -> bool {
    std::env::var_os("WETSIDE_FULL").is_some_and(|value| value == "1")
}

/// Maps the items on two threads; the results keep the order of the items.
pub(crate) fn in_two<T: Sync, R: Send>(items: &[T], map: impl Fn(&T) -> R + Sync) -> Vec<R> {
    let half = |odd: usize| {
        items
            .iter()
            .skip(odd)
            .step_by(2)
            .map(&map)
            .collect::<Vec<R>>()
    };
    let (even, odd) = thread::scope(|scope| {
        let other = scope.spawn(|| half(1));
        let even = half(0);
        (even, other.join().expect("the other half does not panic"))
    });
    let mut odd = odd.into_iter();
    even.into_iter()
        .flat_map(|one| [Some(one), odd.next()])
        .flatten()
        .collect()
}

/// Numbers that look random and are the same in every run.
///
/// Source: the mixing function splitmix64 of Steele, Lea and Flood, *Fast Splittable Pseudorandom
/// Number Generators*, 2014 (from memory).
pub(crate) struct Chance(u64);

impl Chance {
    pub(crate) fn new(seed: u64) -> Chance {
        Chance(seed)
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        mixed ^ (mixed >> 31)
    }

    /// A number below `limit`.
    pub(crate) fn below(&mut self, limit: usize) -> usize {
        let limit = u64::try_from(limit.max(1)).expect("a small number");
        usize::try_from(self.next() % limit).expect("a small number")
    }

    /// Yes once in `times`.
    pub(crate) fn once_in(&mut self, times: usize) -> bool {
        self.below(times) == 0
    }

    pub(crate) fn one_of<'a, T: ?Sized>(&mut self, among: &[&'a T]) -> &'a T {
        among[self.below(among.len())]
    }

    pub(crate) fn shuffle<T>(&mut self, items: &mut [T]) {
        for last in (1..items.len()).rev() {
            items.swap(last, self.below(last + 1));
        }
    }
}
