//! The key as a file, and back.
//!
//! Contract: what is written is read back the same. The seal is a check sum over the lines below it: a
//! slip of the pen shows, and nothing more. Whoever means to read the key can, so it stays with the
//! trainer.

use super::draw;
use super::key::{Key, KeyDecoy, KeyFault, KeyFinding};
use super::yaml::{inline, numbers, value};
use wetside_base::problem::Problem;
use wetside_base::source::Source;
use wetside_document::Node;
use wetside_engine::schema;
use wetside_schemas::Which;

/// The text of the key's file.
pub fn write(key: &Key) -> String {
    let mut body = String::new();
    let mut line = |name: &str, text: &str| body.push_str(&format!("{name}: {text}\n"));
    line("key", "1");
    line("exercise", &value(&key.exercise));
    line("survey", &value(&key.survey));
    line("made_from", &value(&key.made_from));
    if let Some((seed, variant)) = key.recipe {
        line(
            "recipe",
            &format!("{{seed: \"{seed}\", variant: {variant}}}"),
        );
    }
    line("packs", &words(&key.packs));
    line("catalogue", &value(&key.catalogue));
    line("opportunities", &key.opportunities.to_string());
    body.push_str(&list("faults", key.faults.iter().map(fault)));
    body.push_str(&list("neutral", key.neutral.iter().map(finding)));
    body.push_str(&list("decoys", key.decoys.iter().map(decoy)));
    body.push_str(&list(
        "reasons",
        key.reasons.iter().map(|reason| value(reason)),
    ));
    let seal = draw::written(draw::sum(draw::EMPTY, &body));
    format!(
        "# Answer key, for the trainer only: anyone who opens this file can read it.\nseal: \"{seal}\"\n{body}"
    )
}

fn list(name: &str, items: impl Iterator<Item = String>) -> String {
    let items: Vec<String> = items.map(|item| format!("  - {item}\n")).collect();
    match items.is_empty() {
        true => format!("{name}: []\n"),
        false => format!("{name}:\n{}", items.concat()),
    }
}

fn words(words: &[String]) -> String {
    let words: Vec<String> = words.iter().map(|word| inline(word)).collect();
    format!("[{}]", words.join(", "))
}

fn fault(fault: &KeyFault) -> String {
    let findings: Vec<String> = fault
        .findings
        .iter()
        .map(|one| format!("      - {}\n", finding(one)))
        .collect();
    let lines = numbers(&fault.lines);
    let head = format!(
        "id: {}\n    title: {}\n",
        value(&fault.id),
        value(&fault.title)
    );
    let tail = format!(
        "    difficulty: {}\n    lines: {lines}\n    findings:\n{}",
        fault.difficulty,
        findings.concat()
    );
    format!("{head}{tail}").trim_end().to_string()
}

fn finding(finding: &KeyFinding) -> String {
    match finding {
        KeyFinding::Rule { rule, thing, line } => {
            let thing = thing
                .as_ref()
                .map_or(String::new(), |thing| format!(", thing: {}", inline(thing)));
            format!("{{rule: {}{thing}, line: {line}}}", inline(rule))
        }
        KeyFinding::Missing { fact, line } => {
            format!("{{missing: {}, line: {line}}}", inline(fact))
        }
    }
}

fn decoy(decoy: &KeyDecoy) -> String {
    let (id, title) = (value(&decoy.id), value(&decoy.title));
    let (lines, because) = (numbers(&decoy.lines), value(&decoy.because));
    format!("id: {id}\n    title: {title}\n    lines: {lines}\n    because: {because}")
}

/// The key in a file.
///
/// # Errors
/// With everything that is wrong in it.
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
    let key = from_tree(&reading.root);
    match (problems.is_empty(), key) {
        (true, Some(key)) => Ok(key),
        (true, None) => Err(vec![not_a_key(source)]),
        (false, _) => Err(problems),
    }
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

fn text(node: &Node, key: &str) -> Option<String> {
    node.get(key)?.value.as_text().map(str::to_string)
}

fn number(node: &Node, key: &str) -> Option<usize> {
    text(node, key)?.parse().ok()
}

fn items<'n>(node: &'n Node, key: &str) -> &'n [Node] {
    node.get(key).map_or(&[], |entry| entry.value.items())
}

fn all<T>(node: &Node, key: &str, read: impl Fn(&Node) -> Option<T>) -> Option<Vec<T>> {
    items(node, key).iter().map(read).collect()
}

fn plain(node: &Node) -> Option<String> {
    node.as_text().map(str::to_string)
}

fn lines(node: &Node) -> Option<Vec<usize>> {
    all(node, "lines", |line| line.as_text()?.parse().ok())
}

fn from_tree(root: &Node) -> Option<Key> {
    let recipe = match root.get("recipe") {
        Some(entry) => Some((
            text(&entry.value, "seed")?.parse().ok()?,
            number(&entry.value, "variant")?,
        )),
        None => None,
    };
    Some(Key {
        exercise: text(root, "exercise")?,
        survey: text(root, "survey")?,
        made_from: text(root, "made_from")?,
        recipe,
        packs: all(root, "packs", plain)?,
        catalogue: text(root, "catalogue")?,
        opportunities: number(root, "opportunities")?,
        reasons: all(root, "reasons", plain)?,
        faults: all(root, "faults", |node| {
            Some(KeyFault {
                id: text(node, "id")?,
                title: text(node, "title")?,
                difficulty: text(node, "difficulty")?.parse().ok()?,
                lines: lines(node)?,
                findings: all(node, "findings", read_finding)?,
            })
        })?,
        neutral: all(root, "neutral", read_finding)?,
        decoys: all(root, "decoys", |node| {
            Some(KeyDecoy {
                id: text(node, "id")?,
                title: text(node, "title")?,
                lines: lines(node)?,
                because: text(node, "because")?,
            })
        })?,
    })
}

fn read_finding(node: &Node) -> Option<KeyFinding> {
    let line = number(node, "line")?;
    match (text(node, "rule"), text(node, "missing")) {
        (Some(rule), None) => Some(KeyFinding::Rule {
            rule,
            thing: text(node, "thing"),
            line,
        }),
        (None, Some(fact)) => Some(KeyFinding::Missing { fact, line }),
        _ => None,
    }
}
