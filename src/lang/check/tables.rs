//! Cells of the pack's tables.

use super::{Checker, NOTHING};
use crate::ast::{Expr, Form, Name};
use crate::names::{Holds, Key, Row, Table};
use crate::node::{Node, Type};
use wetside_base::suggest;
use wetside_base::vocabulary::{self, Shape, Vocabulary, WordId};

impl Checker<'_> {
    pub(super) fn cell(&mut self, name: &Name, row: &Expr, column: &Name) -> (Node, Type) {
        let tables = self.names.tables;
        let offered: Vec<&str> = tables.iter().map(|table| table.name.as_str()).collect();
        let otherwise = "the pack's tables lie in its folder `tables`";
        let lacks = "the pack has no table";
        let Some(at) = self.named("unknown-table", lacks, name, &offered, otherwise) else {
            return NOTHING;
        };
        let table = &tables[at];
        let Some(key) = self.row_key(row, table) else {
            return NOTHING;
        };
        let offered: Vec<&str> = table
            .columns
            .iter()
            .map(|held| held.name.as_str())
            .collect();
        let all = format!("it has {}", suggest::either(offered.iter().copied()));
        let lacks = format!("the table `{}` has no column", table.name);
        let Some(held) = self.named("unknown-column", &lacks, column, &offered, &all) else {
            return NOTHING;
        };
        let yields = match table.columns[held].holds {
            Holds::Quantity(kind) => Type::Quantity(kind),
            Holds::YesOrNo => Type::Word(vec![Vocabulary::YES, Vocabulary::NO]),
            Holds::Text => Type::Text,
        };
        (Node::Cell(at, held, Box::new(key)), yields)
    }

    /// What picks a row: a word or number that has one, or a fact whose words all do.
    fn row_key(&mut self, row: &Expr, table: &Table) -> Option<Node> {
        let vocabulary = self.names.vocabulary;
        let keyed_by = vocabulary.field(table.keyed_by);
        if let Shape::Fact(vocabulary::Type::Quantity { kind, .. }) = keyed_by.shape {
            let (node, yields) = self.expr(row, Some(kind));
            let fits = self.is_like(&yields, &Type::Quantity(kind), row);
            for row in &table.rows {
                if let Key::Band(band) = row.key {
                    self.cut_range(&node, &band);
                }
            }
            return fits.then_some(node);
        }
        let rows: Vec<WordId> = table.rows.iter().filter_map(Row::word).collect();
        if let Form::Words(word) = &row.form {
            let found = vocabulary.word_id(word).filter(|id| rows.contains(id));
            if found.is_none() {
                let offered = rows.iter().map(|id| vocabulary.word(*id));
                let all = format!("it has {}", suggest::either(offered.clone()));
                let help = suggest::help(word, offered, &all);
                let says = format!("the table `{}` has no row `{word}`", table.name);
                self.fault("not-a-choice", row.span, says, &help);
            }
            return found.map(Node::Word);
        }
        let (node, yields) = self.expr(row, None);
        match yields {
            Type::Word(words) if words.iter().all(|word| rows.contains(word)) => {
                self.cut_words(&node, &words);
                Some(node)
            }
            Type::Unreadable => None,
            _ => {
                let (name, path) = (&table.name, &keyed_by.path);
                let says = format!("the rows of `{name}` are the words of `{path}`");
                let help = format!("write `{name}[{path}]`");
                self.fault("kind-mismatch", row.span, says, &help);
                None
            }
        }
    }
}
