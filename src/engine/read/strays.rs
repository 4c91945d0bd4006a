//! Keys in a group that does not have them: whose they are, and what to say.
//!
//! Contract: keys that follow each other and belong together are one mistake, told at the first of them,
//! with the heading that knows them all. What is wrong among them follows from it. What they may have
//! been meant for counts as malformed, here and where they belong.

use super::homes::{OF_A_LIST, homes};
use super::{Reader, Written};
use wetside_base::facts::{Content, FactId, Told, Why};
use wetside_base::problem::Problem;
use wetside_base::shown::quoted;
use wetside_base::source::{Source, Span};
use wetside_base::suggest;
use wetside_base::vocabulary::{Field, FieldId, Shape, Vocabulary};
use wetside_document::{Entry, Key, Node};

/// How many keys of nobody may stand among those of one group.
const MISSPELT: usize = 2;
/// How many headings are named to which keys may belong.
const FEW: usize = 3;

/// Keys that follow each other, none of which belongs where it stands.
struct Run<'a> {
    entries: &'a [Entry],
    homes: Vec<FieldId>,
    /// The key above them, where it is left without a value and they belong under it.
    under: Option<Span>,
}

impl<'a> Reader<'a> {
    /// Tells of the keys from `at` on that the group does not have; how many they are.
    pub(super) fn strays(
        &mut self,
        group: FieldId,
        entries: &'a [Entry],
        at: usize,
        written: &mut [Written<'a>],
    ) -> usize {
        let key = &entries[at].key;
        if self.gives_up(key.span) {
            return 1;
        }
        if self.vocabulary.company() == Some(group) && self.names(group).next().is_none() {
            let says = "no pack that judges here declares what stands under `company`";
            let help = "name the folder of the pack that does by `--pack`, or take these lines out";
            self.problems
                .push(Problem::new("unknown-key", key.span, says, help));
            return entries.len() - at;
        }
        let run = self.run(group, entries, at);
        if run.under.is_some() || run.entries.len() > 1 {
            let problem = self.misplaced(group, &run, self.start_of(entries, at, &run.homes));
            self.problems.push(problem);
            for entry in run.entries {
                let own = self.vocabulary.child(group, &entry.key.text);
                self.not_read(own, entry.key.span, written);
                self.astray(&run.homes, &entry.key.text);
            }
            return run.entries.len();
        }
        let meant = suggest::nearest(&key.text, self.names(group));
        let own = meant.and_then(|name| self.vocabulary.child(group, name));
        self.not_read(own, key.span, written);
        if meant.is_none() {
            self.astray(&run.homes, &key.text);
        }
        let problem = self.unknown_key(group, key, meant, &run.homes);
        self.problems.push(problem);
        1
    }

    fn not_read(&self, own: Option<FieldId>, span: Span, written: &mut [Written<'a>]) {
        let slot = own.map(|own| usize::from(self.vocabulary.field(own).slot));
        if let Some(written @ Written::Not) = slot.map(|slot| &mut written[slot]) {
            *written = Written::Misspelt(span);
        }
    }

    /// The keys from `at` on that one other group has all of.
    fn run(&self, group: FieldId, entries: &'a [Entry], at: usize) -> Run<'a> {
        let known = |key: &str| self.names(group).any(|name| name == key);
        let mut homes = self.homes_of(&entries[at].key.text);
        homes.retain(|home| *home != group);
        let mut end = at + 1;
        for (next, Entry { key, .. }) in entries.iter().enumerate().skip(end) {
            let narrowed = self.that_have(&homes, &key.text);
            let known = known(&key.text);
            if narrowed.is_empty() && (known || next - end >= MISSPELT) {
                break;
            }
            // A heading of the survey is no part of what slipped out above it.
            let heading = group == Vocabulary::ROOT && known;
            if !narrowed.is_empty() && !heading {
                (homes, end) = (narrowed, next + 1);
            }
        }
        let under = self.headed(group, entries, at, &mut homes);
        if under.is_none() {
            self.prefer_near(group, &mut homes);
        }
        Run {
            entries: &entries[at..end],
            homes,
            under,
        }
    }

    /// The key above, if nothing is written under it and it is the one that they belong to.
    fn headed(
        &self,
        group: FieldId,
        entries: &[Entry],
        at: usize,
        homes: &mut Vec<FieldId>,
    ) -> Option<Span> {
        let above = &entries[at.checked_sub(1)?];
        let field = self.vocabulary.child(group, &above.key.text)?;
        let home = homes.iter().copied().find(|home| *home == field)?;
        if !above.value.is_faulty() {
            return None;
        }
        *homes = vec![home];
        Some(above.key.span)
    }

    /// Where a heading was lost, the group is one beside this one or in it.
    fn prefer_near(&self, group: FieldId, homes: &mut Vec<FieldId>) {
        let parent = |id: FieldId| self.vocabulary.field(id).parent;
        let near = |home: &FieldId| parent(*home) == Some(group) || parent(*home) == parent(group);
        if homes.iter().any(near) {
            homes.retain(near);
        }
    }

    /// Where the keys begin: at one of theirs that was refused right before, as written twice.
    fn start_of(&self, entries: &[Entry], at: usize, homes: &[FieldId]) -> Span {
        let own = entries[at].key.span;
        let before = at
            .checked_sub(1)
            .map_or(0, |above| entries[above].value.span.end);
        let problems = &self.reading.problems;
        let first = problems.partition_point(|one| one.span.start < before);
        let between = problems[first..]
            .iter()
            .take_while(|one| one.span.start < own.start);
        let mut repeated = between.filter(|one| one.kind == "duplicate-key");
        let theirs = |span: Span| !self.that_have(homes, self.source.slice(span)).is_empty();
        repeated
            .find(|one| theirs(one.span))
            .map_or(own, |one| one.span)
    }

    fn homes_of(&self, key: &str) -> Vec<FieldId> {
        let homes = self.homes.get_or_init(|| homes(self.vocabulary));
        homes.get(key).cloned().unwrap_or_default()
    }

    fn that_have(&self, homes: &[FieldId], key: &str) -> Vec<FieldId> {
        let has = |home: &&FieldId| {
            self.is_list(**home) && OF_A_LIST.contains(&key)
                || self.vocabulary.child(**home, key).is_some()
        };
        homes.iter().filter(has).copied().collect()
    }

    /// Notes that a key may have been meant for these groups.
    fn astray(&mut self, homes: &[FieldId], key: &str) {
        for home in homes {
            let parent = self.vocabulary.field(*home).parent;
            let list = [Some(*home), parent]
                .into_iter()
                .flatten()
                .find(|id| self.is_list(*id));
            let meant = list.or_else(|| self.vocabulary.child(*home, key));
            self.astray.extend(meant);
        }
    }

    /// Makes malformed what seems to be missing and may have been written elsewhere.
    pub(super) fn mark_astray(&mut self) {
        if self.astray.is_empty() {
            return;
        }
        let within = |mut id: FieldId| loop {
            if self.astray.contains(&id) {
                return true;
            }
            match self.vocabulary.field(id).parent {
                Some(parent) => id = parent,
                None => return false,
            }
        };
        let fields = self.vocabulary.fields().map(|(id, _)| within(id));
        let astray: Vec<bool> = fields.collect();
        let facts: Vec<FactId> = self.facts.all().map(|(id, _)| id).collect();
        for id in facts {
            let mut fact = self.facts.fact(id).clone();
            if !astray[fact.field.0 as usize] {
                continue;
            }
            match &mut fact.content {
                Content::Open(why @ Why::NotRecorded) => *why = Why::Malformed,
                Content::List { extent, .. } => {
                    extent.most = None;
                    extent.told = Told::Malformed;
                }
                _ => continue,
            }
            self.facts.set(id, fact);
        }
    }

    fn misplaced(&self, group: FieldId, run: &Run<'_>, start: Span) -> Problem {
        let first = quoted(self.source.slice(start));
        let many = match run.entries.len() {
            1 => format!("{first} does"),
            2 => format!("{first} and the key after it do"),
            more => format!("{first} and the {} keys after it do", more - 1),
        };
        let (belong, them) = match run.entries {
            [_] => ("it belongs", "it"),
            _ => ("they belong", "them"),
        };
        let says = format!("{many} not belong to {}", self.place(group));
        let homes = self.paths(&run.homes);
        let help = match run.under {
            Some(_) => {
                format!("{belong} under {homes}, the key above: let {them} stand further in")
            }
            None => format!(
                "{belong} under {homes}: write that heading above {them}, or mend how far the lines are set in"
            ),
        };
        let last = run
            .entries
            .last()
            .map_or(start, |entry| entry.key.span.to(entry.value.span));
        let reach = run.under.unwrap_or(start).to(last);
        Problem::new("unknown-key", start, says, help).reaching(reach)
    }

    fn is_list(&self, id: FieldId) -> bool {
        matches!(self.vocabulary.field(id).shape, Shape::List { .. })
    }

    fn place(&self, group: FieldId) -> String {
        match self.vocabulary.field(group).path.as_str() {
            "" => "a survey".to_string(),
            path if self.is_list(group) => format!("the list `{path}`"),
            path => format!("`{path}`"),
        }
    }

    fn paths(&self, homes: &[FieldId]) -> String {
        let path = |home: &FieldId| self.vocabulary.field(*home).path.as_str();
        suggest::either(homes.iter().take(FEW).map(path))
    }

    /// A key that the group does not have; `meant` is the one that it was probably meant for.
    fn unknown_key(
        &self,
        group: FieldId,
        key: &Key,
        meant: Option<&str>,
        homes: &[FieldId],
    ) -> Problem {
        let says = format!("{} has no {}", self.place(group), quoted(&key.text));
        let elsewhere = homes
            .first()
            .map(|home| self.vocabulary.child(*home, &key.text));
        let help = match (meant, elsewhere) {
            (Some(word), _) => format!("did you mean `{word}`?"),
            (None, Some(Some(field))) => {
                let field: &Field = self.vocabulary.field(field);
                format!(
                    "there is a `{}`; check how far this line is set in",
                    field.path
                )
            }
            (None, Some(None)) => {
                "it belongs to a list; check how far this line is set in".to_string()
            }
            (None, None) if self.vocabulary.company() == Some(group) => format!(
                "the packs that judge here declare {}; another pack is named by `--pack`",
                self.keys(group)
            ),
            (None, None) if self.is_list(group) => {
                "a list has a `count` and its `items`, each item with a dash".to_string()
            }
            (None, None) => format!(
                "it has {}; put other remarks under `note`",
                self.keys(group)
            ),
        };
        Problem::new("unknown-key", key.span, says, help)
    }

    /// Adds to a problem of lines that do not line up the headings that know their keys.
    pub(super) fn name_home(&self, problem: &mut Problem) {
        let lost = self.reading.first_lost_from(problem.span.start);
        let at_lost = |lost: &Span| problem.kind == "indentation" && lost.start <= problem.span.end;
        if let Some(lost) = lost.filter(at_lost) {
            let line = self.source.line_span(self.source.line_of(lost.start));
            let lines = Source::new("", self.source.slice(line.to(lost)));
            let homes = self.homes_of_all(&wetside_document::read(&lines).root);
            if (1..=FEW).contains(&homes.len()) {
                problem.help += &format!("; these lines belong under {}", self.paths(&homes));
            }
        }
    }

    /// The groups that have all keys of a map, or of the first thing of a list.
    fn homes_of_all(&self, node: &Node) -> Vec<FieldId> {
        let node = node.items().first().unwrap_or(node);
        let mut keys = node.entries().iter().map(|entry| entry.key.text.as_str());
        let homes = keys.next().map(|key| self.homes_of(key));
        let mut homes = keys.fold(homes.unwrap_or_default(), |homes, key| {
            self.that_have(&homes, key)
        });
        if let Some(items) = node.get("items") {
            let things = self.homes_of_all(&items.value);
            let parent = |thing: &FieldId| self.vocabulary.field(*thing).parent;
            homes.retain(|list| things.iter().any(|thing| parent(thing) == Some(*list)));
        }
        homes
    }
}
