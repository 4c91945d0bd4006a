//! The fields that packs of companies add to those of the schema.
//!
//! Contract: they come last, so that every field keeps its number, and they are facts alone.

use super::{FieldId, Plan, PlanShape, Shape, Type, Vocabulary, WordId};

impl Vocabulary {
    /// The group of the fields of companies, if this vocabulary has it.
    pub fn company(&self) -> Option<FieldId> {
        self.child(Vocabulary::ROOT, Vocabulary::COMPANY)
    }

    /// Adds facts to that group. What the vocabulary had keeps its place, so whatever was checked by it holds.
    pub fn add_to_company(&mut self, plans: Vec<Plan>) {
        let group = self.company().filter(|_| !plans.is_empty());
        let Some(group) = group else { return };
        let Shape::Group { first, count } = self.field(group).shape else {
            return;
        };
        let first = if count == 0 { self.next_id() } else { first };
        let end = FieldId(first.0 + u32::from(count));
        assert_eq!(end, self.next_id(), "the fields of a group stand together");
        let more = self.lay_out_in(group, count, plans);
        let count = count + more;
        self.fields[group.0 as usize].shape = Shape::Group { first, count };
        self.name_all();
    }

    /// Whether a fact is what a plan makes of it.
    pub fn is_as_planned(&self, id: FieldId, plan: &Plan) -> bool {
        let field = self.field(id);
        let words = |ids: &[WordId]| -> Vec<&str> { ids.iter().map(|id| self.word(*id)).collect() };
        let alike = match (&field.shape, &plan.shape) {
            (Shape::Fact(Type::Choice(ids)), PlanShape::Choice(planned)) => words(ids) == *planned,
            (Shape::Fact(what), PlanShape::Fact(planned)) => what == planned,
            _ => false,
        };
        alike && (field.tier, &field.says) == (plan.tier, &plan.says)
    }
}
