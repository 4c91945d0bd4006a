//! Every fact that conditions read, as often as they do, whatever the facts may be.
//!
//! Contract: both branches of an *if* and all listed elements of a list are walked, also those that
//! today's facts rule out. So learning more never makes a fact be read less often, and what was
//! tried in cells while less was known is tried in cells still.

use super::eval::Scene;
use super::node::{Each, Node, Part, Route};
use wetside_base::facts::FactId;

/// The facts under the routes of `nodes`, in the order in which they are written.
pub fn readings<'a>(
    nodes: impl Iterator<Item = &'a Node>,
    scene: Scene<'_>,
    variables: &[FactId],
) -> Vec<FactId> {
    let mut reader = Reader {
        scene,
        variables: variables.to_vec(),
        read: Vec::new(),
    };
    nodes.for_each(|node| reader.walk(node));
    reader.read
}

struct Reader<'a> {
    scene: Scene<'a>,
    variables: Vec<FactId>,
    read: Vec<FactId>,
}

impl Reader<'_> {
    fn walk(&mut self, node: &Node) {
        match node {
            Node::Fact(route) => self.read.push(self.find(route)),
            Node::AsOf => self.read.extend(self.scene.as_of_fact),
            _ => {}
        }
        for part in node.parts() {
            match part {
                Part::Node(node) => self.walk(node),
                Part::Each(each, body) => self.walk_each(each, body),
            }
        }
    }

    fn walk_each(&mut self, each: &Each, body: Option<&Node>) {
        let list = self.find(&each.list);
        for element in each.elements(self.scene.facts, list) {
            self.variables.push(element);
            let parts = each.filter.as_deref().into_iter().chain(body);
            parts.for_each(|part| self.walk(part));
            self.variables.pop();
        }
    }

    fn find(&self, route: &Route) -> FactId {
        route.find(self.scene.facts, |at| self.variables[at])
    }
}
