//! A note that confirms an answer which hardly any system gives.
//!
//! Contract: it names one of the answers that are worth another look, and gives a reason; the reason is kept in its own
//! words. What is not worth another look cannot be confirmed.

use crate::answer::{Noted, Refused};
use crate::desk::Desk;
use crate::write::Pages;
use wetside_base::suggest;
use wetside_base::vocabulary::Vocabulary;
use wetside_engine::check::{Ask, check};

/// The word that such a note begins with, and the list that it is written into.
const CONFIRMED: &str = "confirmed";
const BECAUSE: &str = " because ";

/// The note, if it begins with the word for it.
pub(crate) fn read(desk: &Desk<'_>, note: &str) -> Option<Result<Noted, Refused>> {
    let (first, said) = note.trim().split_once(' ').unwrap_or((note.trim(), ""));
    if !first.eq_ignore_ascii_case(CONFIRMED) {
        return None;
    }
    let (named, reason) = said.split_once(BECAUSE).unwrap_or((said, ""));
    Some(written(desk, named.trim(), reason.trim()))
}

fn written(desk: &Desk<'_>, named: &str, reason: &str) -> Result<Noted, Refused> {
    let unlikely = check(desk.source, desk.packs, &Ask::default()).unlikely;
    let open = unlikely.iter().filter(|one| one.confirmed.is_none());
    let open: Vec<&str> = open.map(|one| one.fact.as_str()).collect();
    let Some(answer) = open.iter().find(|fact| spoken(fact) == spoken(named)) else {
        let says = format!("`{named}` is not among the answers that are worth another look");
        let help = if open.is_empty() {
            "nothing is to be confirmed here".to_string()
        } else {
            format!("name one of these: {}", suggest::either(open))
        };
        return Err(Refused::new(says, help));
    };
    if reason.is_empty() {
        let says = format!("why is `{answer}` right?");
        return Err(Refused::new(
            says,
            "write the reason behind the word `because`",
        ));
    }
    let list = desk.vocabulary().child(Vocabulary::ROOT, CONFIRMED);
    let list = list.expect("every survey has the list");
    let mut pages = Pages::new(desk);
    let entry = [
        ("id", (*answer).to_string()),
        ("because", reason.to_string()),
    ];
    pages.append(list, &entry)?;
    Ok(Noted {
        source: pages.source,
        says: vec![format!("`{answer}` is confirmed: {reason}.")],
    })
}

/// A name as people say it: without the signs between its words.
fn spoken(name: &str) -> String {
    let words = name.split(|c: char| !c.is_alphanumeric());
    let words: Vec<&str> = words.filter(|word| !word.is_empty()).collect();
    words.join(" ").to_lowercase()
}
