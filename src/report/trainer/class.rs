//! The tables of a class in a few sentences, for a terminal.

use super::{pages, tables};
use crate::pen::{Ink, Pen, number};
use wetside_trainer::class::{Class, Compared};

pub fn summed_up(pen: &mut Pen, class: &Class, compared: Option<&Compared>) {
    for row in &class.trainees {
        let (sensitivity, bias) = tables::shown(row.skill);
        let of = row.offered;
        let skill = match row.skill {
            Some(_) => format!(
                "of the reasons {} of {} that were so, {} of {} that were not: sensitivity {sensitivity}, bias {bias}",
                of.claimed, of.so, of.in_vain, of.not_so
            ),
            None => "no sensitivity, since the sheets offered nothing to tell apart".to_string(),
        };
        let says = format!(
            "{} % in {}, {} passed; {} of {} found, {}, {}; {skill}",
            row.score,
            number(row.sheets, "sheet", "sheets"),
            row.passed,
            row.hits,
            row.targets,
            number(row.false_alarms, "false alarm", "false alarms"),
            number(row.hazards_let_pass, "hazard let pass", "hazards let pass"),
        );
        pen.hanging(0, &format!("{}  ", row.name), &says, Ink::Usual);
    }
    pen.gap();
    if let Some(worst) = class.faults.first().filter(|row| row.found < row.asked) {
        let (title, asked, missed) = (&worst.title, worst.asked, worst.asked - worst.found);
        pen.paragraph(0, &format!("Most missed: {title} ({missed} of {asked})."));
    }
    if let Some((reason, count)) = class.alarms.first() {
        pen.paragraph(0, &format!("Most claimed in vain: {reason} ({count})."));
    }
    pen.paragraph(0, &pages::reliability(class));
    if let Some(compared) = compared {
        between_markers(pen, compared);
    }
}

/// How far markers agree, and what was left out of it.
fn between_markers(pen: &mut Pen, compared: &Compared) {
    for (question, agreement) in &compared.by_question {
        let says = format!(
            "Between markers, of {question}: {}.",
            tables::agreed(agreement)
        );
        pen.paragraph(0, &says);
    }
    if let Some(first) = compared.alone.first() {
        let says = format!(
            "{} of {} have one marker alone and were left out, the first {}, {}, {}; `class.html` lists them.",
            compared.alone.len(),
            number(compared.rows, "row", "rows"),
            first.exercise,
            first.trainee,
            first.asked.words(),
        );
        pen.paragraph(0, &says);
    }
}
