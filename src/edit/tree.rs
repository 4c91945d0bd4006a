//! What is put where nothing stands yet: a value, with the keys that lead to it.

/// A value that is on its way into a text, its scalars written already.
#[derive(Clone, Debug)]
pub(crate) enum Tree {
    Leaf(String),
    Group(Vec<(String, Tree)>),
    /// A list with its first thing, and how many there are if that is told.
    List {
        count: Option<String>,
        thing: Vec<(String, Tree)>,
    },
}

impl Tree {
    /// Puts a value under dotted names.
    pub(crate) fn put(group: &mut Vec<(String, Tree)>, path: &str, leaf: Tree) {
        let Some((name, rest)) = path.split_once('.') else {
            group.push((path.to_string(), leaf));
            return;
        };
        let at = group.iter().position(|(key, _)| key == name);
        let at = at.unwrap_or_else(|| {
            group.push((name.to_string(), Tree::Group(Vec::new())));
            group.len() - 1
        });
        if let (_, Tree::Group(inner)) = &mut group[at] {
            Tree::put(inner, rest, leaf);
        }
    }

    /// The lines of a key with this value, the key at the margin.
    pub(crate) fn lines(&self, key: &str) -> Vec<String> {
        match self {
            Tree::Leaf(text) => vec![format!("{key}: {text}")],
            Tree::Group(pairs) => {
                let inner = pairs.iter().flat_map(|(key, tree)| tree.lines(key));
                under(format!("{key}:"), inner)
            }
            Tree::List { count, thing } => {
                let Some(count) = count else {
                    return under(format!("{key}:"), dashed(thing).into_iter());
                };
                let items = under("items:".to_string(), dashed(thing).into_iter());
                let inner = [format!("count: {count}")].into_iter().chain(items);
                under(format!("{key}:"), inner)
            }
        }
    }

    /// The same between braces.
    pub(crate) fn inline(&self, key: &str) -> String {
        match self {
            Tree::Leaf(text) => format!("{key}: {text}"),
            Tree::Group(pairs) => format!("{key}: {}", braced(pairs)),
            Tree::List { count: None, thing } => format!("{key}: [{}]", braced(thing)),
            Tree::List {
                count: Some(count),
                thing,
            } => format!("{key}: {{count: {count}, items: [{}]}}", braced(thing)),
        }
    }
}

fn under(head: String, inner: impl Iterator<Item = String>) -> Vec<String> {
    let inner = inner.map(|line| format!("  {line}"));
    [head].into_iter().chain(inner).collect()
}

/// A thing of a list on lines of its own.
pub(crate) fn dashed(thing: &[(String, Tree)]) -> Vec<String> {
    let lines = thing.iter().flat_map(|(key, tree)| tree.lines(key));
    let sign = |at: usize| if at == 0 { "- " } else { "  " };
    (0..)
        .zip(lines)
        .map(|(at, line)| format!("{}{line}", sign(at)))
        .collect()
}

/// A thing or group between braces.
pub(crate) fn braced(pairs: &[(String, Tree)]) -> String {
    let pairs: Vec<String> = pairs.iter().map(|(key, tree)| tree.inline(key)).collect();
    format!("{{{}}}", pairs.join(", "))
}
