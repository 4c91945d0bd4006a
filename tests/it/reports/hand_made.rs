//! Judgements made by hand, so that pages show every part whatever the rules say today.

use wetside_base::finding::{
    Basis, Beside, Cause, CauseKind, Citation, Class, Counts, Departure, Finding, Gap, Identity,
    Judgement, On, Outcome, PackLine, Question, Stage, Unlikely, Verdict,
};
use wetside_base::problem::{Label, Problem};
use wetside_base::source::{Source, Span};

pub(super) fn guest_house() -> Source {
    Source::new(
        "guest-house.yaml",
        include_str!("../../reports/guest-house.yaml"),
    )
}

/// The first place of these words.
pub(super) fn at(source: &Source, words: &str) -> Span {
    let start = source
        .text
        .find(words)
        .unwrap_or_else(|| panic!("no `{words}` in the survey"));
    Span::new(start, start + words.len())
}

fn label(source: &Source, words: &str, says: &str) -> Label {
    Label {
        span: at(source, words),
        words: says.to_string(),
    }
}

fn finding(rule: &str, class: Class, outcome: Outcome, on: On) -> Finding {
    Finding {
        rule: rule.to_string(),
        pack: "gb-domestic".to_string(),
        pack_lines: vec![PackLine {
            file: format!("part/{rule}.yaml"),
            line: 5,
            words: "the rule's demand".to_string(),
        }],
        title: String::new(),
        class,
        stage: Stage::SetUp,
        outcome,
        because: String::new(),
        source: Citation {
            work: "common practice, no source".to_string(),
            clause: None,
            standing: "common practice".to_string(),
            certainty: "no source".to_string(),
        },
        caution: None,
        on: vec![on],
        also_on: Vec::new(),
        more: 0,
        explained_by: None,
        after: Vec::new(),
        departure: None,
    }
}

fn on(place: Span, place_words: &str, says: &str, remedy: &str) -> On {
    On {
        element: None,
        says: says.to_string(),
        remedy: remedy.to_string(),
        place,
        place_words: place_words.to_string(),
        lines: Vec::new(),
        more_lines: 0,
        causes: Vec::new(),
        more_causes: 0,
    }
}

fn cause(fact: &str, why: CauseKind, span: Span) -> Cause {
    Cause {
        fact: fact.to_string(),
        why,
        span,
    }
}

fn weak_device(source: &Source) -> Finding {
    let mut on = on(
        at(source, "ED"),
        "the backflow device",
        "`ED` protects a pumped connection up to fluid category 3; heating water in a `guest house` is \
         category 4",
        "fill over the tank rim through an air gap, or hire a verifiable valve",
    );
    on.lines = vec![
        label(
            source,
            "guest house\n",
            "the kind of premises raises the category",
        ),
        label(source, "mains", "pumped against the mains"),
        label(source, "mild acid", "the cleaner in the water"),
    ];
    Finding {
        title: "the backflow device is too weak for this heating water".to_string(),
        because: "a fall in mains pressure would draw cleaner and sludge into the drinking water"
            .to_string(),
        source: Citation {
            work: "Water Supply (Water Fittings) Regulations 1999".to_string(),
            clause: Some("Schedule 1; Schedule 2, paragraph 15".to_string()),
            standing: "law".to_string(),
            certainty: "second-hand".to_string(),
        },
        caution: Some("the water undertaker decides the category".to_string()),
        ..finding(
            "backflow-device-too-weak",
            Class::Hazard,
            Outcome::Broken,
            on,
        )
    }
}

fn live_supply(source: &Source) -> Finding {
    let place = at(source, "unknown");
    let remedy = "prove it dead with a two-pole voltage indicator";
    let mut on = on(place, "nobody has tested this one", "", remedy);
    on.element = Some("Küche immersion".to_string());
    on.causes = vec![cause(
        "electrical.supplies, Küche immersion: proved_dead",
        CauseKind::Unknown(Some("no tester on the van".to_string())),
        place,
    )];
    Finding {
        title: "a supply has not been proved dead".to_string(),
        because: "a switch in the wrong pole leaves the element live".to_string(),
        ..finding(
            "supply-not-proved-dead",
            Class::Hazard,
            Outcome::Undecided,
            on,
        )
    }
}

fn steps(source: &Source) -> [Finding; 2] {
    let mut leak = on(
        at(source, "floor up"),
        "as the note says",
        "the note speaks of a weeping tail",
        "hold the circuit at 3 bar ± 0.2 bar for 30 minutes",
    );
    leak.lines = vec![label(source, "no\n  note", "yet no leak is recorded")];
    let mut consent = on(
        at(source, "drainage"),
        "where the dump goes",
        "",
        "ask for consent in writing",
    );
    consent.causes = vec![cause(
        "drain.undertaker",
        CauseKind::NotRecorded,
        at(source, "premises"),
    )];
    [
        Finding {
            title: "a joint that wept is not proved sound".to_string(),
            because: "the machine's pressure opens what sludge has sealed".to_string(),
            ..finding("weeping-joint", Class::Preparation, Outcome::Broken, leak)
        },
        Finding {
            title: "the sewerage undertaker has not been asked".to_string(),
            because: "a trade's discharge needs leave".to_string(),
            ..finding(
                "consent-missing",
                Class::Preparation,
                Outcome::Undecided,
                consent,
            )
        },
    ]
}

fn old_iron(source: &Source) -> Finding {
    let place = at(source, "about 45 years");
    let says = "the circuit is `about 45 years` old";
    let mut on = on(place, "its age", says, "start at half the flow");
    let range = CauseKind::Range("about 45 years".to_string());
    on.causes = vec![cause("circuit.age", range, place)];
    Finding {
        title: "old iron deserves a gentler clean".to_string(),
        because: "scale may be all that keeps a thin wall tight".to_string(),
        ..finding("old-iron", Class::Advisory, Outcome::Undecided, on)
    }
}

pub(super) fn not_accepted(source: &Source) -> Problem {
    let help = "expected `yes`, `no` or `unknown`; write what the customer has signed";
    let says = "`maybe` is not an answer to `risks_accepted`";
    Problem::new("not-one-of", at(source, "maybe"), says, help)
        .with(at(source, "ROWAN-7"), "this job's own papers would tell")
}

fn beside() -> Beside {
    let source = Source::new(
        "guest-house.departures.yaml",
        "departures: 1\nsurvey: ROWAN-7\naccepted:\n  - {rule: pump-stays, until: 2026-10-19}\n",
    );
    let help = "do what the rule asks, or have it accepted anew";
    let says = "this departure ended on 2026-10-19";
    let problem = Problem::new("expired", at(&source, "2026-10-19"), says, help);
    Beside {
        source,
        problems: vec![problem],
    }
}

pub(super) fn stopped(source: &Source) -> Judgement {
    let mut findings = vec![weak_device(source), live_supply(source)];

    findings.extend(steps(source));
    findings.push(old_iron(source));
    let [wept, _] = steps(source);
    findings.push(Finding {
        rule: "joint-that-stays".to_string(),
        departure: Some(Departure {
            because: "it sits behind the oven".to_string(),
            instead: "a tray under it, looked at every hour".to_string(),
            by: "j. operator".to_string(),
            on: "2026-10-20".to_string(),
            until: "2026-10-21".to_string(),
            line: 4,
        }),
        ..wept
    });
    let later = Finding {
        stage: Stage::HandBack,
        ..weak_device(source)
    };
    Judgement {
        verdict: Verdict::DoNotStart,
        stage: Stage::SetUp,
        as_of: Some("2026-10-20".to_string()),
        packs: vec!["gb-domestic 2026.2".to_string()],
        basis: Basis {
            packs: vec![Identity {
                pack: "gb-domestic".to_string(),
                edition: "2026.2".to_string(),
                digest: "0123456789abcdef".to_string(),
                builds_on: None,
                changes: Vec::new(),
            }],
            left_out: vec!["another-pack 2026.1".to_string()],
            stage: Some(Stage::SetUp),
            as_of: None,
        },
        problems: vec![not_accepted(source)],
        beside: Some(beside()),
        findings,
        gaps: vec![Gap {
            fact: "drain.route".to_string(),
            of: None,
            asks: "where the dirty water goes; follow it to the foul drain".to_string(),
            answers: "WC pan | foul gully | container".to_string(),
            span: at(source, "survey: 1"),
        }],
        more_gaps: 0,
        questions: vec![Question {
            fact: "electrical.supplies, Küche immersion: proved_dead".to_string(),
            of: None,
            asks:
                "whether this supply was tested at the work, with a tester proved before and after"
                    .to_string(),
            answers: "yes | no".to_string(),
            span: at(source, "unknown"),
            rules: vec!["supply-not-proved-dead".to_string()],
        }],
        more_questions: 0,
        read_as: vec![Label {
            span: at(source, "survey: 1"),
            words: "`RPZ` is read as `BA`".to_string(),
        }],
        unlikely: vec![
            Unlikely {
                fact: "circuit.glycol".to_string(),
                says: "`circuit.glycol` is 85 %: usual is 15 % to 60 %".to_string(),
                span: source.line_span(1),
                confirmed: Some("a solar loop, filled neat".to_string()),
                hazards: Vec::new(),
            },
            Unlikely {
                fact: "circuit.weakest_part.rated".to_string(),
                says: "`circuit.weakest_part.rated` is 25 bar: usual is 10 bar or less".to_string(),
                span: source.line_span(1),
                confirmed: None,
                hazards: vec!["pump-presses-the-weakest-part".to_string()],
            },
        ],
        more_unlikely: 0,
        ahead: vec![later],
        counts: Counts {
            met: 41,
            broken: 2,
            undecided: 3,
            not_applicable: 17,
            later: 24,
            met_that_block: 30,
        },
    }
}

pub(super) fn with(verdict: Verdict, source: &Source) -> Judgement {
    let all = stopped(source);
    let findings = all.findings.into_iter();
    let findings = findings.filter(|one| Verdict::of(one.class, one.outcome) <= verdict);
    Judgement {
        verdict,
        as_of: None,
        problems: Vec::new(),
        beside: None,
        findings: findings.collect(),
        gaps: Vec::new(),
        questions: Vec::new(),
        ahead: Vec::new(),
        ..all
    }
}
