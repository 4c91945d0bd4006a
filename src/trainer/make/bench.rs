//! What is known of one clean survey while exercises are made from it.
//!
//! Contract: remembers what was tried, so that it need not be tried again; what is remembered never
//! changes an answer.

use super::harmless::{self, Leaf};
use super::options::Words;
use crate::draw::Draw;
use crate::fault::Catalogue;
use crate::proof::plant::{Planting, plantings};
use crate::proof::prove;
use crate::survey::look::{Look, is_silent};
use std::collections::BTreeMap;
use wetside_edit::splice::{Splice, fits};
use wetside_engine::check::{Ask, check};

pub(crate) struct Bench<'a> {
    pub base: Look<'a>,
    pub catalogue: &'a Catalogue,
    leaves: Vec<Leaf>,
    /// The ways to plant each fault, and which of them were found sound or not.
    ways: BTreeMap<usize, Vec<(Planting<'a>, Option<bool>)>>,
    /// Changes that were found harmless or not.
    silent: BTreeMap<Vec<Splice>, bool>,
}

/// How many changes are tried until one is harmless.
const MOST_TRIED: usize = 200;

impl<'a> Bench<'a> {
    pub(crate) fn new(base: Look<'a>, catalogue: &'a Catalogue) -> Bench<'a> {
        Bench {
            leaves: harmless::leaves(&base),
            base,
            catalogue,
            ways: BTreeMap::new(),
            silent: BTreeMap::new(),
        }
    }

    /// One sound way to plant a fault beside what is there already, with no other `words` where these are given.
    pub(crate) fn planting(
        &mut self,
        fault: usize,
        taken: &[Splice],
        words: Option<&Words>,
        draw: &mut Draw,
    ) -> Option<Planting<'a>> {
        let (base, catalogue) = (&self.base, self.catalogue);
        let ways = self.ways.entry(fault).or_insert_with(|| {
            let ways = plantings(&catalogue.faults[fault], base);
            ways.into_iter().map(|way| (way, None)).collect()
        });
        let mut order: Vec<usize> = (0..ways.len()).collect();
        draw.shuffle(&mut order);
        for at in order {
            let (way, sound) = &mut ways[at];
            if words.is_some_and(|words| !words.hide(way, &self.leaves)) {
                continue;
            }
            let holds = *sound.get_or_insert_with(|| prove::alone(way, base).is_ok());
            if holds && fits(&way.splices, taken) {
                return Some(way.clone());
            }
        }
        None
    }

    /// The harmless change that looks most like this one.
    pub(crate) fn harmless_like(
        &mut self,
        other: &Splice,
        taken: &[Splice],
        draw: &mut Draw,
    ) -> Option<Vec<Splice>> {
        let base = &self.base;
        let wanted = std::slice::from_ref(other);
        let mut all: Vec<(usize, u64, Vec<Splice>)> = Vec::new();
        for leaf in &self.leaves {
            for splices in harmless::like(other, leaf, base, draw) {
                let unlike = harmless::unlikeness(&splices, wanted, base);
                all.push((unlike, draw.word(), splices));
            }
        }
        all.sort();
        let free = all.into_iter().map(|(.., splices)| splices);
        let mut free = free.filter(|splices| fits(splices, taken)).take(MOST_TRIED);
        free.find(|splices| self.is_silent(splices))
    }

    /// A number that is changed a little.
    pub(crate) fn small_change(
        &mut self,
        taken: &[Splice],
        draw: &mut Draw,
    ) -> Option<Vec<Splice>> {
        let mut order: Vec<usize> = (0..self.leaves.len()).collect();
        draw.shuffle(&mut order);
        let base = &self.base;
        let changes = order
            .into_iter()
            .filter_map(|at| harmless::small(&self.leaves[at], base, draw));
        let free: Vec<Vec<Splice>> = changes
            .filter(|splices| fits(splices, taken))
            .take(MOST_TRIED)
            .collect();
        free.into_iter().find(|splices| self.is_silent(splices))
    }

    fn is_silent(&mut self, splices: &[Splice]) -> bool {
        if let Some(known) = self.silent.get(splices) {
            return *known;
        }
        let source = self.base.changed(splices);
        let judged = check(&source, self.base.packs, &Ask::default());
        let silent =
            is_silent(&judged) && judged.unlikely.len() <= self.base.judgement.unlikely.len();
        self.silent.insert(splices.to_vec(), silent);
        silent
    }
}
