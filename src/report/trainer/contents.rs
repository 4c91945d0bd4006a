//! The trainer's table of contents of a course: what stands where, and why.

use wetside_trainer::course::Made;
use wetside_trainer::{Difficulty, KeyFinding};

pub fn page(course: &[Made]) -> String {
    let mut page = String::from(
        "# What the exercises hold\n\nFor the trainer only. Lines are those of the trainee's survey.\n",
    );
    for made in course {
        let (entry, key) = (&made.entry, &made.exercise.key);
        let how = match &entry.draw {
            None => "written by hand",
            Some(options) => options
                .difficulty
                .map_or("of any difficulty", Difficulty::word),
        };
        page.push_str(&format!(
            "\n## {}. {}\n\nPractises {}. From `{}`, {how}.\n\n",
            made.exercise.number, entry.title, entry.practises, key.made_from
        ));
        if key.faults.is_empty() {
            page.push_str("- No fault: the survey is clear.\n");
        }
        for fault in &key.faults {
            let raised: Vec<String> = fault.findings.iter().map(raised).collect();
            page.push_str(&format!("- {}: {}\n", fault.title, raised.join("; ")));
        }
        for decoy in &key.decoys {
            let lines: Vec<String> = decoy.lines.iter().map(usize::to_string).collect();
            page.push_str(&format!(
                "- Looks wrong and is right, line {}: {} ({})\n",
                lines.join(", "),
                decoy.title,
                decoy.because
            ));
        }
    }
    page
}

fn raised(finding: &KeyFinding) -> String {
    match finding {
        KeyFinding::Rule { rule, line, .. } => format!("line {line}, `{rule}`"),
        KeyFinding::Missing { fact, line } => format!("near line {line}, `{fact}` is missing"),
    }
}
