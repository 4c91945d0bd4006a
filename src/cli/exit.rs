//! What the program tells the one who started it, as a number.

use std::process::ExitCode;
use wetside_base::finding::{Judgement, Verdict};

/// The exit codes, from the best to the worst.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Exit {
    Clear,
    Prepare,
    FindOut,
    /// Something is wrong in the text of a survey, whose report holds its verdict all the same, or of an
    /// answer sheet, which is then not marked.
    FaultySurvey,
    /// A slip of the pen beside it does not hide it.
    DoNotStart,
    /// A report was judged again and is not so.
    DoesNotHold,
    /// Something is wrong in a pack, or one of its cases came out otherwise. Nothing was judged.
    FaultyPack,
    /// Somebody stopped it; what was done until then is told.
    Interrupted,
    /// The command cannot be understood, or a file cannot be read or written.
    Misuse,
}

/// The codes as the help and the manual show them.
pub(super) const TABLE: &str = "Exit codes:
   0  clear, or done as asked
  10  not yet: there are steps to prepare
  11  not yet: there are facts to find out
  20  the text of a survey or answer sheet is faulty; a survey's verdict stands in the report
  12  do not start; once the work has begun, do not go on, or do not hand over
  13  a report that was judged again does not hold
  21  a pack is faulty, or one of its cases came out otherwise
 130  interrupted; what was judged until then is told
   2  misuse: the command is not understood, or a file cannot be read or written

Of several surveys the worst counts; the codes stand in that order, 2 being the worst.";

impl Exit {
    pub fn code(self) -> u8 {
        match self {
            Exit::Clear => 0,
            Exit::Prepare => 10,
            Exit::FindOut => 11,
            Exit::DoNotStart => 12,
            Exit::DoesNotHold => 13,
            Exit::FaultySurvey => 20,
            Exit::FaultyPack => 21,
            Exit::Interrupted => 130,
            Exit::Misuse => 2,
        }
    }

    /// What one survey comes to.
    pub fn of(judgement: &Judgement) -> Exit {
        match judgement.verdict {
            Verdict::DoNotStart => Exit::DoNotStart,
            _ if judgement.problem_count() > 0 => Exit::FaultySurvey,
            Verdict::Clear => Exit::Clear,
            Verdict::Prepare => Exit::Prepare,
            Verdict::FindOut => Exit::FindOut,
        }
    }
}

impl From<Exit> for ExitCode {
    fn from(exit: Exit) -> ExitCode {
        ExitCode::from(exit.code())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_table_names_every_code_once() {
        let all = [
            Exit::Clear,
            Exit::Prepare,
            Exit::FindOut,
            Exit::FaultySurvey,
            Exit::DoNotStart,
            Exit::DoesNotHold,
            Exit::FaultyPack,
            Exit::Interrupted,
            Exit::Misuse,
        ];
        assert!(all.is_sorted());
        for exit in all {
            let start = format!("{:>4}  ", exit.code());
            assert_eq!(
                TABLE
                    .lines()
                    .filter(|line| line.starts_with(&start))
                    .count(),
                1,
                "{exit:?}"
            );
        }
    }
}
