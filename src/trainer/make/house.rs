//! Houses: a clear survey varied into that of another house, as clear.
//!
//! Contract: what may vary, and what varies together, is data (`houses.yaml`). A house is clear, silent, without
//! contradiction and likely, by the judgement of the packs: what would leave it otherwise is dropped, half of a
//! draw at a time until the bad row is found, and a bad row is not drawn again. A house has no remarks, since
//! those of the survey were written for another. This module must not know rules.

use super::harmless::{self, Leaf};
use super::varies::{Open, Table, Way, in_a_range, table, up_or_down};
use crate::draw::Draw;
use crate::fault::Answer;
use crate::survey::look::{Look, is_silent};
use crate::survey::number::days_later;
use std::collections::{BTreeMap, BTreeSet};
use wetside_base::finding::Judgement;
use wetside_base::source::Span;
use wetside_base::vocabulary::{FieldId, Shape, Type};
use wetside_edit::splice::{self, Splice, fits};
use wetside_edit::yaml::in_yaml;
use wetside_engine::check::{Ask, check};

/// The days that all dates of a house lie earlier or later at most: its weather and water stay those of their season.
const DAYS: u32 = 45;
/// How often a house is judged, at most, until what is left of its draw is dropped.
const MOST_JUDGED: usize = 160;

/// A clear survey, and what is known of its varying.
pub(crate) struct Street<'a> {
    base: Look<'a>,
    table: &'static Table,
    leaves: Vec<Leaf>,
    /// Rules of later stages that the survey breaks already.
    ahead: BTreeSet<String>,
    /// What was found to leave the house unclear.
    bad: BTreeSet<Vec<Splice>>,
}

impl<'a> Street<'a> {
    pub(crate) fn new(base: Look<'a>) -> Street<'a> {
        Street {
            leaves: harmless::leaves(&base),
            ahead: ahead(&base.judgement),
            base,
            table: table(),
            bad: BTreeSet::new(),
        }
    }

    /// Another house.
    pub(crate) fn house(&mut self, draw: &mut Draw) -> Look<'a> {
        let (odd, usual) = (self.odd(draw), self.usual(draw));
        let mut taken: Vec<Splice> = Vec::new();
        let (mut kept, mut left) = (Vec::new(), MOST_JUDGED);
        // What is seldom so takes its lines first.
        let odd = self.beside(odd, &mut taken, draw);
        let usual = self.beside(usual, &mut taken, draw);
        self.settle(&usual, &mut kept, &mut left);
        // Of what is odd some is dropped: all together would take as long as one by one.
        for few in odd.chunks(4) {
            self.settle(few, &mut kept, &mut left);
        }
        let open = self.left_open(draw);
        for few in self.beside(open, &mut taken, draw).chunks(4) {
            self.settle(few, &mut kept, &mut left);
        }
        Look::at(self.base.changed(&kept), self.base.packs)
    }

    /// In an order that is drawn, the rows that are not known to be bad and touch nothing that was taken.
    fn beside(
        &self,
        mut rows: Vec<Vec<Splice>>,
        taken: &mut Vec<Splice>,
        draw: &mut Draw,
    ) -> Vec<Vec<Splice>> {
        draw.shuffle(&mut rows);
        rows.retain(|row| {
            let good = !row.is_empty() && !self.bad.contains(row);
            let free = good && !splice::collide(row) && fits(row, taken);
            if free {
                taken.extend(row.iter().cloned());
            }
            free
        });
        rows
    }

    /// Keeps what can be kept of some rows.
    fn settle(&mut self, rows: &[Vec<Splice>], kept: &mut Vec<Splice>, left: &mut usize) {
        if rows.is_empty() || *left == 0 {
            return;
        }
        *left -= 1;
        let all: Vec<Splice> = kept.iter().chain(rows.iter().flatten()).cloned().collect();
        if self.is_house(&all) {
            *kept = all;
        } else if let [row] = rows {
            self.bad.insert(row.clone());
        } else {
            let (one, other) = rows.split_at(rows.len() / 2);
            self.settle(one, kept, left);
            self.settle(other, kept, left);
        }
    }

    fn is_house(&self, splices: &[Splice]) -> bool {
        let judged = check(
            &self.base.changed(splices),
            self.base.packs,
            &Ask::default(),
        );
        is_silent(&judged) && judged.unlikely.is_empty() && ahead(&judged).is_subset(&self.ahead)
    }

    /// What varies in every house.
    fn usual(&self, draw: &mut Draw) -> Vec<Vec<Splice>> {
        let mut usual = Vec::new();
        for way in &self.table.ways {
            let row = self.row(way, draw);
            match way.together {
                Answer::Yes => usual.push(row),
                Answer::No => usual.extend(row.into_iter().map(|splice| vec![splice])),
            }
        }
        usual.push(self.dates(draw));
        usual.push(self.job(draw));
        usual.push(self.names(draw));
        usual.push(self.radiators(draw).unwrap_or_default());
        usual
    }

    /// Words that are seldom so, each on one line.
    fn odd(&self, draw: &mut Draw) -> Vec<Vec<Splice>> {
        let mut lines: BTreeMap<(FieldId, &str), Vec<Span>> = BTreeMap::new();
        for way in &self.table.odd.rows {
            let words = way.among.as_deref().unwrap_or_default();
            for leaf in self.of(way) {
                let old = self.base.source.slice(leaf.span()).trim_matches('"');
                let others = words.iter().filter(|word| *word != old);
                for word in others.filter(|_| words.iter().any(|word| word == old)) {
                    lines
                        .entry((leaf.field, word))
                        .or_default()
                        .push(leaf.span());
                }
            }
        }
        let mut pairs: Vec<_> = lines.into_iter().collect();
        draw.shuffle(&mut pairs);
        let drawn = pairs.into_iter().take(self.table.odd.words);
        let odd = drawn.map(|((_, word), lines)| {
            let line = lines[draw.below(lines.len())];
            vec![Splice::value(line, in_yaml(word, true))]
        });
        odd.collect()
    }

    fn row(&self, way: &Way, draw: &mut Draw) -> Vec<Splice> {
        let same = draw.word();
        let mut row = Vec::new();
        for leaf in self.of(way) {
            let mut own = Draw::new(match way.together {
                Answer::Yes => same,
                Answer::No => draw.word(),
            });
            let old = self.base.source.slice(leaf.span());
            let Some(mut new) = way.other(old, &mut own) else {
                continue;
            };
            if way.range == Answer::Yes && draw.below(4) == 0 {
                new = in_a_range(&new).unwrap_or(new);
            }
            if new != old {
                row.push(Splice::value(leaf.span(), new));
            }
        }
        row
    }

    fn of<'s>(&'s self, way: &'s Way) -> impl Iterator<Item = &'s Leaf> {
        let vocabulary = &self.base.packs.vocabulary;
        let leaves = self.leaves.iter();
        leaves.filter(move |leaf| {
            let kind = || leaf.of_list.as_ref()?.1.get("kind")?.value.as_text();
            let meant = way.only.is_none() || way.only.as_deref() == kind();
            meant && way.fields.contains(&vocabulary.field(leaf.field).path)
        })
    }

    /// Values that nobody knows, or that are not there.
    fn left_open(&self, draw: &mut Draw) -> Vec<Vec<Splice>> {
        let Open { values, fields } = &self.table.open;
        let path = |leaf: &Leaf| &self.base.packs.vocabulary.field(leaf.field).path;
        let mut leaves: Vec<&Leaf> = self
            .leaves
            .iter()
            .filter(|leaf| fields.contains(path(leaf)))
            .collect();
        draw.shuffle(&mut leaves);
        let open = leaves.into_iter().take(*values).filter_map(|leaf| {
            let unknown = (draw.below(2) == 0).then(|| Splice::unknown(leaf.span()));
            unknown.or_else(|| leaf.without(&self.base))
        });
        open.map(|splice| vec![splice]).collect()
    }

    /// All dates, by as many days.
    fn dates(&self, draw: &mut Draw) -> Vec<Splice> {
        const DAY: usize = "2026-01-01".len();
        let by = up_or_down(DAYS, draw);
        let moved = |leaf: &Leaf| {
            let field = self.base.packs.vocabulary.field(leaf.field);
            if !matches!(field.shape, Shape::Fact(Type::Date | Type::DateTime)) {
                return None;
            }
            let start = leaf.span().start as usize;
            let at = Span::new(start, start + DAY);
            let day = self.base.source.text.get(at.range())?;
            Some(Splice::value(at, days_later(day, by)?))
        };
        self.leaves.iter().filter_map(moved).collect()
    }

    fn job(&self, draw: &mut Draw) -> Vec<Splice> {
        let Some(found) = self.base.root.pointer("/job/reference") else {
            return Vec::new();
        };
        let jobs = &self.table.jobs;
        let name = format!("{}-{}", jobs[draw.below(jobs.len())], 10 + draw.below(90));
        vec![Splice::value(found.node.span, name)]
    }

    /// Rooms and meters by other names, the same wherever they are named.
    fn names(&self, draw: &mut Draw) -> Vec<Splice> {
        let mut others: BTreeMap<&str, &str> = BTreeMap::new();
        for alike in &self.table.names {
            let mut drawn: Vec<&str> = alike.iter().map(String::as_str).collect();
            draw.shuffle(&mut drawn);
            others.extend(alike.iter().map(String::as_str).zip(drawn));
        }
        let mut splices = Vec::new();
        self.base.root.walk(&mut |found| {
            if found.node.as_text().is_none() {
                return;
            }
            let text = self.base.source.slice(found.node.span);
            let named = others.iter().filter_map(|(name, other)| {
                let at = text.find(name)?;
                stands_alone(text, at, name.len()).then_some((name.len(), at, other))
            });
            if let Some((len, at, other)) = named.max() {
                let at = found.node.span.start as usize + at;
                splices.push(Splice::value(Span::new(at, at + len), (*other).to_string()));
            }
        });
        splices
    }

    /// A radiator less or more, with their count.
    fn radiators(&self, draw: &mut Draw) -> Option<Vec<Splice>> {
        let list = ["emitters".to_string()];
        let count = self.base.root.pointer("/emitters/count")?.node;
        let items = self.base.list(&list)?.items();
        let number: usize = count.as_text()?.parse().ok()?;
        let item = items.get(draw.below(items.len()))?;
        let id = item.get("id")?.value.as_text()?;
        let counted = |now: usize| Splice::value(count.span, now.to_string());
        let gone = splice::removed(&self.base.source, item)?;
        if draw.below(2) == 0 {
            let named = self.base.source.text.matches(id).count();
            return (named == 1 && number > 3).then(|| vec![counted(number - 1), gone]);
        }
        let more = &self.table.more[draw.below(self.table.more.len())];
        let new = self.base.source.slice(gone.at).replacen(id, more, 1);
        let added = Splice::put_in(gone.at.end as usize, new);
        Some(vec![counted(number + 1), added])
    }
}

fn ahead(judged: &Judgement) -> BTreeSet<String> {
    let ahead = judged.ahead.iter();
    ahead.map(|finding| finding.rule.clone()).collect()
}

fn stands_alone(text: &str, at: usize, len: usize) -> bool {
    let letter = |sign: Option<char>| sign.is_some_and(char::is_alphanumeric);
    !letter(text[..at].chars().next_back()) && !letter(text[at + len..].chars().next())
}
