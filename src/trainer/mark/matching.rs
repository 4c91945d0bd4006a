//! Which claim is marked against which finding.
//!
//! Contract: the sum is the greatest that any matching gives, so nobody loses marks by the order in which
//! claims were written.

/// For each claim the target it is matched with, so that the weighted sum is the greatest; of several
/// ways the one in which earlier claims have earlier targets.
pub(crate) fn best_matching(credits: &[Vec<i64>], weights: &[i64]) -> Vec<Option<usize>> {
    let targets = weights.len().min(MOST_TARGETS);
    let states = 1 << targets;
    // best[claim][taken]: the most that this claim and those after it can still earn.
    let mut best = vec![vec![0_i64; states]; credits.len() + 1];
    for claim in (0..credits.len()).rev() {
        for taken in 0..states {
            let earned = (0..targets)
                .filter(|at| taken & (1 << at) == 0 && credits[claim][*at] > 0)
                .map(|at| credits[claim][at] * weights[at] + best[claim + 1][taken | (1 << at)])
                .max();
            best[claim][taken] = earned.unwrap_or(0).max(best[claim + 1][taken]);
        }
    }
    let mut taken = 0;
    let mut matched = Vec::with_capacity(credits.len());
    for claim in 0..credits.len() {
        let choice = (0..targets).find(|at| {
            let free = taken & (1 << at) == 0 && credits[claim][*at] > 0;
            free && credits[claim][*at] * weights[*at] + best[claim + 1][taken | (1 << at)]
                == best[claim][taken]
        });
        taken |= choice.map_or(0, |at| 1 << at);
        matched.push(choice);
    }
    matched
}

/// More than any exercise asks for; the work of matching doubles with each.
const MOST_TARGETS: usize = 16;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_claim_makes_room_for_another() {
        // The first claim is worth half of either; the second only of the first.
        let credits = [vec![4, 4], vec![8, 0]];
        assert_eq!(best_matching(&credits, &[3, 3]), [Some(1), Some(0)]);
        // A weightier target is preferred, an earlier one among equals.
        assert_eq!(best_matching(&[vec![4, 4]], &[1, 3]), [Some(1)]);
        assert_eq!(
            best_matching(&[vec![4, 4], vec![4, 4]], &[2, 2]),
            [Some(0), Some(1)]
        );
        assert_eq!(best_matching(&[vec![0]], &[2]), [None]);
        assert_eq!(best_matching(&[vec![]], &[]), [None]);
    }
}
