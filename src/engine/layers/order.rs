//! Which files are those of a layer, and what it comes after.

use crate::pack::{PACK_FILE, PackFiles};

/// The pack that a layer builds on, as its head says; nothing where it is no layer.
pub(crate) fn base(files: &PackFiles) -> Option<String> {
    let root = wetside_document::read(&files.source(PACK_FILE)).root;
    let pack = root.get("builds_on")?.value.get("pack")?;
    Some(pack.value.as_text().unwrap_or_default().to_string())
}

/// Whether the files are those of a layer.
pub fn is_layer(files: &PackFiles) -> bool {
    base(files).is_some()
}

/// The files of packs in an order in which each layer comes after what it builds on, whatever the order in
/// which they were given.
pub fn in_order(mut waiting: Vec<PackFiles>) -> Vec<PackFiles> {
    let name = |files: &PackFiles| {
        let root = wetside_document::read(&files.source(PACK_FILE)).root;
        let name = root.get("pack").and_then(|entry| entry.value.as_text());
        name.unwrap_or_default().to_string()
    };
    // Packs that are no layers stay as they were given.
    waiting.sort_by_cached_key(|files| base(files).map(|_| name(files)));
    let mut ordered = Vec::new();
    while !waiting.is_empty() {
        let names: Vec<String> = waiting.iter().map(name).collect();
        let ready = |files: &PackFiles| base(files).is_none_or(|base| !names.contains(&base));
        // Layers that build on each other in a circle are told when they are added.
        let next = waiting.iter().position(ready).unwrap_or(0);
        ordered.push(waiting.remove(next));
    }
    ordered
}
