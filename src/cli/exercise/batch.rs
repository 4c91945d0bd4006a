//! The files of a batch of exercises: one folder, written whole or not at all.

use super::super::exit::Exit;
use super::super::files::{self, Refusal};
use super::super::packs::shown;
use super::super::terminal::Look;
use super::shared::{FOR_THE_TRAINER, FOR_TRAINEES};
use clap::Args;
use std::path::PathBuf;
use wetside_report::pen::{Ink, Pen, number};
use wetside_report::trainer::pages::{self, Sitting};
use wetside_trainer::{Exercise, sheet, write_key};

/// Where a batch goes, and how its sheets ask.
#[derive(Args, Debug)]
pub(super) struct Out {
    /// The folder to write to
    #[arg(long, value_name = "FOLDER")]
    into: PathBuf,
    /// Offer nothing to choose from: answers are words of one's own, marked by their lines or by who reads them
    #[arg(long)]
    own_words: bool,
    /// Put the folder in the place of the one that is there, which is kept under another name
    #[arg(long)]
    replace: bool,
}

impl Out {
    /// Lets the sheet of an exercise ask as it is to ask.
    pub(super) fn asked(&self, exercise: &mut Exercise) {
        if self.own_words {
            exercise.ask_in_own_words();
        }
    }
}

/// What is to be written, and what is said of it.
#[derive(Default)]
pub(super) struct Batch {
    /// Each by its path below the folder.
    files: Vec<(String, String)>,
    told: Vec<(String, String)>,
}

impl Batch {
    pub(super) fn for_trainees(&mut self, name: &str, text: String) {
        self.files.push((format!("{FOR_TRAINEES}/{name}"), text));
    }

    pub(super) fn for_the_trainer(&mut self, name: &str, text: String) {
        self.files.push((format!("{FOR_THE_TRAINER}/{name}"), text));
    }

    /// One line of what is said at the end.
    pub(super) fn tell(&mut self, name: &str, says: String) {
        self.told.push((format!("{name}  "), says));
    }

    /// The files of an exercise; `of` is the folder of a trainee with its slash, or nothing. The paper of a trainee
    /// has all exercises in one.
    pub(super) fn exercise(&mut self, of: &str, exercise: &Exercise, sitting: Sitting<'_>) {
        let name = format!("{of}exercise-{:02}", exercise.number);
        let key = &exercise.key;
        let files = [
            (".yaml", exercise.survey.text.clone()),
            ("-answers.yaml", sheet::blank(key, sitting.trainee)),
            ("-answers.schema.json", sheet::schema_for(key)),
        ];
        for (ending, text) in files {
            self.for_trainees(&format!("{name}{ending}"), text);
        }
        self.for_the_trainer(&format!("{name}-key.yaml"), write_key(key));
        if sitting.trainee.is_some() {
            return;
        }
        self.for_trainees(
            &format!("{name}.html"),
            pages::on_paper(&[exercise], sitting),
        );
        let faults: Vec<&str> = key
            .faults
            .iter()
            .map(|fault| fault.title.as_str())
            .collect();
        let says = match faults.len() {
            0 => "no fault".to_string(),
            count => format!(
                "{}: {}",
                number(count, "fault", "faults"),
                faults.join("; ")
            ),
        };
        self.tell(&name, says);
    }

    pub(super) fn write(self, out: &Out, look: &Look) -> Result<Exit, Refusal> {
        let into = &out.into;
        let kept = files::write_folder(into, &self.files, out.replace)?;
        let mut pen = Pen::new(look.on_screen());
        for (name, says) in &self.told {
            pen.hanging(0, name, says, Ink::Usual);
        }
        pen.gap();
        let (trainees, trainer) = (into.join(FOR_TRAINEES), into.join(FOR_THE_TRAINER));
        let mut says = format!(
            "For trainees: {}. For the trainer only: {}.",
            trainees.display(),
            trainer.display()
        );
        if let Some(kept) = kept {
            says += &format!(" What was there before is now {}.", kept.display());
        }
        pen.paragraph(0, &says);
        shown(&pen.finish())?;
        Ok(Exit::Clear)
    }
}
