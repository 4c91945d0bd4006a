use wetside::check::{Ask, Packs, check};
use wetside::source::Source;
fn main() {
    let mut packs = Packs::none();
    for p in packs.add(&wetside::pack::built_in()) {
        let pl = p.source.place(p.problem.span.start);
        println!("{}:{pl}: {} | {} | {}", p.source.name, p.problem.kind, p.problem.says, p.problem.help);
    }
    if let Some(pack) = packs.packs.first() {
        let done = wetside::cases::run(pack, &packs.vocabulary);
        println!("{} rules {} cases {} passed", done.rules, done.cases, done.passed);
        for p in &done.problems { println!("{}:{}: {} | {}", p.source.name, p.source.place(p.problem.span.start), p.problem.says, p.problem.help); }
    }
    for name in std::env::args().skip(1) {
        let s = Source::new(name.clone(), std::fs::read_to_string(&name).unwrap());
        let j = check(&s, &packs, &Ask::default());
        println!("== {name}: {} {:?} problems {} gaps {}", j.verdict, j.counts, j.problems.len(), j.gaps.len());
        for p in &j.problems { println!("  PROBLEM {} {} {}", s.place(p.span.start), p.kind, p.says); }
        for g in &j.gaps { println!("  GAP {} {}", s.place(g.span.start), g.fact); }
        for f in &j.findings { println!("  {} {} {} {} {:?}: {}", s.place(f.place.start), f.class, f.outcome, f.rule, f.element, f.says); }
        for f in &j.ahead { println!("  AHEAD {} {}", s.place(f.place.start), f.rule); }
    }
}
