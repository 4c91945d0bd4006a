//! The key as a file, and back.
//!
//! Contract: what is written is read back the same. The seal is a check sum over the lines below it: a
//! slip of the pen shows, and nothing more. Whoever means to read the key can, so it stays with the
//! trainer.

use super::data::Key;
use crate::draw;
use wetside_base::problem::Problem;
use wetside_base::source::Source;
use wetside_document::{Node, typed};
use wetside_engine::schema;
use wetside_schemas::Which;

/// The text of the key's file.
///
/// # Panics
/// Never: a key holds texts, whole numbers and lists of them, and all of these can be written.
pub fn write(key: &Key) -> String {
    let key = serde_yaml::to_string(key).expect("a key can be written");
    let body = format!("key: 3\n{key}");
    let seal = draw::written(draw::sum(draw::EMPTY, &body));
    format!(
        "# Answer key, for the trainer only: anyone who opens this file can read it.\nseal: \"{seal}\"\n{body}"
    )
}

/// The key in a file.
pub fn read(source: &Source) -> Result<Key, Vec<Problem>> {
    let reading = wetside_document::read(source);
    if ["key", "seal"]
        .iter()
        .all(|key| reading.root.get(key).is_none())
    {
        return Err(vec![not_a_key(source)]);
    }
    let mut problems = reading.problems.clone();
    problems.extend(schema::check::problems(Which::Key, source, &reading));
    if problems.is_empty() {
        problems.extend(broken_seal(source, &reading.root));
    }
    if !problems.is_empty() {
        return Err(problems);
    }
    typed(&reading.root).map_err(|problem| vec![problem])
}

fn not_a_key(source: &Source) -> Problem {
    let help =
        "take the key as it was made: a file that ends in `-key.yaml`, in the trainer's folder";
    let says = "this is no key that can be used";
    Problem::new("not-a-key", source.line_span(1), says, help)
}

fn broken_seal(source: &Source, root: &Node) -> Option<Problem> {
    let seal = &root.get("seal")?.value;
    let end = source.line_span(source.line_of(seal.span.start)).end as usize;
    // An editor may have changed how lines end; that is no change of the key.
    let body = source.text[end..].replace("\r\n", "\n");
    let body = body.strip_prefix('\n').unwrap_or(&body);
    let sum = draw::written(draw::sum(draw::EMPTY, body));
    let says = "the key was changed after it was made";
    let help = "take the key as it was made, or make the exercise again from its seed";
    (seal.as_text() != Some(&sum)).then(|| Problem::new("broken-seal", seal.span, says, help))
}
