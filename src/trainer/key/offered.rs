//! What an answer sheet offers to choose from.
//!
//! Contract: what is so cannot be told from the rest by how it is written or how much there is of it, in a survey
//! without a fault neither. The rest speaks of this house, and only where that is too little of anything else.

use super::data::KeyField;
use crate::draw::Draw;
use crate::survey::look::Look;
use crate::titles::{self, Named};
use std::collections::BTreeSet;
use wetside_base::finding::Outcome;
use wetside_base::vocabulary::{Field, FieldId, Shape, Tier, Type, Vocabulary};
use wetside_engine::run;

/// How many reasons an answer sheet offers, more only if the faults have more; and so for the others.
const MOST_REASONS: usize = 24;
const MOST_FIELDS: usize = 12;
/// Of what may be done about something wrong; beside them stand the places where something may be found out.
const MOST_STEPS: usize = 12;

/// Each in the order of the alphabet.
pub(crate) struct Offers {
    pub reasons: Vec<String>,
    pub fields: Vec<KeyField>,
    pub steps: Vec<String>,
}

/// What is offered, the reasons and steps of these rules and these fields among it.
pub(crate) fn offers(
    rules: BTreeSet<String>,
    missing: BTreeSet<FieldId>,
    look: &Look<'_>,
    draw: &mut Draw,
) -> Offers {
    let packs = look.packs;
    let named = rules
        .iter()
        .filter_map(|rule| titles::rule_named(packs, rule));
    let given: Vec<Named<'_>> = named.collect();
    let (mut fitting, mut others) = titles::due(look);
    draw.shuffle(&mut fitting);
    draw.shuffle(&mut others);
    let all = || given.iter().chain(&fitting).chain(&others).copied();
    let reasons = all().map(|(_, rule)| rule.words.title.clone());
    let fields = fields(missing, look, draw);
    let found = look.judgement.outcomes();
    let found = found.filter(|(finding, _)| finding.outcome == Outcome::Broken);
    let found = found.map(|(_, on)| on.remedy.clone());
    let steps = found.chain(all().filter_map(|(pack, rule)| {
        let (source, stage) = (&look.source, look.judgement.stage);
        run::remedy(pack, rule, look.scene_of(pack), source, stage)
    }));
    let places = packs
        .vocabulary
        .fields()
        .filter_map(|(id, _)| find_out(&packs.vocabulary, id));
    let mut steps = first(steps, given.len(), MOST_STEPS);
    steps.extend(places);
    Offers {
        reasons: first(reasons, given.len(), MOST_REASONS)
            .into_iter()
            .collect(),
        fields,
        steps: steps.into_iter().collect(),
    }
}

/// So many different ones, and as many as are given at least.
fn first(all: impl Iterator<Item = String>, given: usize, most: usize) -> BTreeSet<String> {
    let mut some = BTreeSet::new();
    for (at, one) in all.enumerate() {
        if at >= given && some.len() >= most {
            break;
        }
        some.insert(one);
    }
    some
}

/// Where a field is found out, as a step.
pub(crate) fn find_out(vocabulary: &Vocabulary, field: FieldId) -> Option<String> {
    Some(format!("find it out {}", vocabulary.place(field)?))
}

/// These fields and others of groups that this survey has, first those that it does not record either.
fn fields(given: BTreeSet<FieldId>, look: &Look<'_>, draw: &mut Draw) -> Vec<KeyField> {
    let vocabulary = &look.packs.vocabulary;
    let asked = |field: &Field| {
        let before = matches!(field.tier, Some(Tier::Minimum | Tier::Detail));
        before && matches!(&field.shape, Shape::Fact(kind) if *kind != Type::Text)
    };
    let all = vocabulary.fields();
    let mut others: Vec<FieldId> = all
        .filter(|(_, field)| asked(field))
        .map(|(id, _)| id)
        .collect();
    draw.shuffle(&mut others);
    let recorded = look.recorded();
    let group = |id: &FieldId| vocabulary.field(*id).parent;
    let groups: BTreeSet<Option<FieldId>> = recorded.iter().map(group).collect();
    let (here, elsewhere): (Vec<FieldId>, Vec<FieldId>) = others
        .into_iter()
        .partition(|id| groups.contains(&group(id)));
    let (there, open): (Vec<FieldId>, Vec<FieldId>) =
        here.into_iter().partition(|id| recorded.contains(id));
    // Of these some are recorded, so that not every one of them is missing at least.
    let mut offered = given;
    let some = open.into_iter().take(MOST_FIELDS * 2 / 3);
    for other in some.chain(there).chain(elsewhere) {
        if offered.len() >= MOST_FIELDS {
            break;
        }
        offered.insert(other);
    }
    let mut fields: Vec<KeyField> = offered
        .into_iter()
        .map(|id| vocabulary.field(id))
        .map(|field| KeyField {
            field: field.path.clone(),
            is: field.says.clone(),
        })
        .collect();
    fields.sort();
    fields
}
