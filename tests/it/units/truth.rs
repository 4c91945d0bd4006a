//! The three truth values: Kleene's tables, and that learning more never turns an answer.

use wetside_units::truth::Truth::{self, No, Undecided, Yes};

/// p, q, then: p and q, p or q, join.
const TABLE: [[Truth; 5]; 9] = [
    [Yes, Yes, Yes, Yes, Yes],
    [Yes, No, No, Yes, Undecided],
    [Yes, Undecided, Undecided, Yes, Undecided],
    [No, Yes, No, Yes, Undecided],
    [No, No, No, No, No],
    [No, Undecided, No, Undecided, Undecided],
    [Undecided, Yes, Undecided, Yes, Undecided],
    [Undecided, No, No, Undecided, Undecided],
    [Undecided, Undecided, Undecided, Undecided, Undecided],
];

#[test]
fn the_connectives_keep_to_the_whole_table() {
    for [p, q, and, or, join] in TABLE {
        assert_eq!(p.and(q), and, "{p} and {q}");
        assert_eq!(p.or(q), or, "{p} or {q}");
        assert_eq!(p.join(q), join, "{p} join {q}");
    }
    assert_eq!([!No, !Undecided, !Yes], [Yes, Undecided, No]);
}

#[test]
fn learning_more_never_turns_a_decided_answer() {
    let refines = |a: Truth, b: Truth| !a.is_decided() || a == b;
    for p in Truth::ALL {
        for q in Truth::ALL {
            for (p2, q2) in Truth::ALL
                .into_iter()
                .flat_map(|p2| Truth::ALL.map(|q2| (p2, q2)))
            {
                if refines(p, p2) && refines(q, q2) {
                    assert!(refines(p.and(q), p2.and(q2)));
                    assert!(refines(p.or(q), p2.or(q2)));
                    assert!(refines(!p, !p2));
                }
            }
        }
    }
}

#[test]
fn many_answers_fold_like_two() {
    assert_eq!(Truth::every([]), Yes);
    assert_eq!(Truth::some([]), No);
    assert_eq!(Truth::every([Yes, Undecided]), Undecided);
    assert_eq!(Truth::every([Undecided, No]), No);
    assert_eq!(Truth::some([No, Undecided]), Undecided);
    assert_eq!(Truth::some([Undecided, Yes]), Yes);
}
