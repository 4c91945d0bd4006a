//! The writer's own words as a message shows them.
//!
//! Contract: what comes out hides nothing, turns no direction of reading and is short, whatever was
//! written. This module must not know what the words mean.

/// Characters of the writer's text that a message repeats.
const LONGEST: usize = 40;

/// The writer's words for a message: the first line, cut, in backticks.
pub fn quoted(text: &str) -> String {
    let text = text.trim();
    let line = text.lines().next().unwrap_or("").trim_end();
    let mut shown = String::from("`");
    for character in line.chars().take(LONGEST) {
        if is_hidden(character) {
            shown.extend(character.escape_unicode());
        } else {
            shown.push(character);
        }
    }
    if line.len() < text.len() || line.chars().nth(LONGEST).is_some() {
        shown.push('…');
    }
    shown.push('`');
    shown
}

/// Whether a character cannot be seen on the page, or changes the order of what can.
pub fn is_hidden(character: char) -> bool {
    let code = u32::from(character);
    let after = HIDDEN.partition_point(|(first, _)| *first <= code);
    character.is_control() || after > 0 && code <= HIDDEN[after - 1].1
}

/// The first and last of each stretch of characters that are not seen, or that end a line unseen.
///
/// Source: the Unicode standard, `DerivedCoreProperties.txt`, property `Default_Ignorable_Code_Point`
/// (from memory); beside it the separators of lines and paragraphs, the marks of interlinear notes,
/// and the two codes at the end of the first plane that stand for no character.
const HIDDEN: [(u32, u32); 18] = [
    (0x00AD, 0x00AD),
    (0x034F, 0x034F),
    (0x061C, 0x061C),
    (0x115F, 0x1160),
    (0x17B4, 0x17B5),
    (0x180B, 0x180F),
    (0x200B, 0x200F),
    (0x2028, 0x202E),
    (0x2060, 0x206F),
    (0x3164, 0x3164),
    (0xFE00, 0xFE0F),
    (0xFEFF, 0xFEFF),
    (0xFFA0, 0xFFA0),
    (0xFFF0, 0xFFFB),
    (0xFFFE, 0xFFFF),
    (0x1_BCA0, 0x1_BCA3),
    (0x1_D173, 0x1_D17A),
    (0xE_0000, 0xE_0FFF),
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_not_seen_is_told_from_what_is() {
        let hidden = "\u{ad}\u{61c}\u{200b}\u{200c}\u{200d}\u{202e}\u{2063}\u{2066}\u{fe0f}\u{feff}\u{fff9}\u{e0041}\u{e0100}";
        assert!(hidden.chars().all(is_hidden));
        assert!(!"aé°±²–’₂ΔΩ㎡🔥\u{fffd}".chars().any(is_hidden));
        assert!(HIDDEN.is_sorted());
    }
}
