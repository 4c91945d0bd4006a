//! The drawing of the system: mains as two rails, emitters as rungs by their floors, the plant below, and what
//! nobody places on a pipe as signs in rows.
//!
//! Contract: the drawing is a picture with a title and a description; every fact in it stands in the table under
//! it too. A sign says how a thing stands by its form, before any colour. It is no plan of the house: where pipes run
//! is not known. Names that are too long are cut.

use super::scene::{Emitter, Mark, Scene, Shape, Thing, Valve};
use super::survey::{Band, Stands};
use maud::{Markup, html};
use wetside_report::shown;

/// Units across.
const WIDTH: i32 = 360;
/// Where the two rails stand.
const FLOW: i32 = 8;
const RETURN: i32 = WIDTH - 8;
/// Emitters in a row, and the room of each.
const IN_ROW: usize = 3;
const CELL: i32 = (RETURN - FLOW) / 3;
const ROW: i32 = 104;
/// Where the first thing stands.
const HEAD: i32 = 14;
const RUNG: i32 = 64;
/// The height of a box with two lines under its name.
const BOX: i32 = 52;
/// What fits into a line, in hundredths of the height of its letters: the name of an emitter and what it is,
/// the name of a thing in a box and what is said of it, the same in a row.
const EMITTER: [u32; 2] = [850, 1040];
const BOXED: [u32; 2] = [2030, 2490];
/// What of it marks take.
const MARKED: u32 = 720;
const IN_LINE: [u32; 2] = [2000, 2700];
const LINE: i32 = 30;

/// The drawing, and how its signs are to be read.
pub(crate) fn drawing(scene: &Scene<'_>, reference: &str) -> Markup {
    let mut drawn = Drawn::default();
    drawn.head(scene);
    let top = if drawn.parts.is_empty() {
        drawn.y
    } else {
        HEAD + 12
    };
    for (floor, emitters) in scene.floors() {
        drawn.floor(floor, &emitters);
    }
    for thing in scene.things.iter().filter(|thing| thing.band == Band::Rung) {
        drawn.rung(thing);
    }
    let foot = drawn.y - 16;
    for (band, title) in [
        (
            Band::Controls,
            "Valves and controls (no place on the pipes is recorded)",
        ),
        (Band::Supplies, "Electrical supplies"),
        (Band::Bonds, "Bonds across breaks in the pipe"),
    ] {
        drawn.row(scene, band, title);
    }
    let height = drawn.y;
    html! {
        svg.system viewBox=(format!("0 0 {WIDTH} {height}")) role="img" aria-labelledby="drawing-title drawing-desc" {
            title id="drawing-title" { "The system of " (reference) }
            desc id="drawing-desc" { (describes(scene)) }
            path.flow d=(format!("M{FLOW} {top}V{foot}")) {}
            path.return d=(format!("M{RETURN} {top}V{foot}")) {}
            @for part in &drawn.parts { (part) }
        }
        (legend())
    }
}

fn describes(scene: &Scene<'_>) -> String {
    let count = |band| {
        let things = scene.things.iter();
        things.filter(|thing| thing.band == band).count()
    };
    format!(
        "Emitters between flow and return: {}. Parts of the plant: {}. Valves and controls: {}. Electrical supplies: {}. \
         Bonds: {}. All of it stands in the table below.",
        scene.emitters.len(),
        count(Band::Rung) + count(Band::Head),
        count(Band::Controls),
        count(Band::Supplies),
        count(Band::Bonds),
    )
}

#[derive(Default)]
struct Drawn {
    y: i32,
    parts: Vec<Markup>,
}

impl Drawn {
    /// What stands above the emitters.
    fn head(&mut self, scene: &Scene<'_>) {
        self.y = HEAD - 6;
        for thing in scene.things.iter().filter(|thing| thing.band == Band::Head) {
            self.rung(thing);
        }
        self.y += 6;
    }

    fn floor(&mut self, floor: &str, emitters: &[&Emitter<'_>]) {
        let y = self.y;
        self.parts.push(
            html! { text.band x=(FLOW + 6) y=(y + 12) { "Floor " (cut(floor, IN_LINE[0])) } },
        );
        self.y += 18;
        for row in emitters.chunks(IN_ROW) {
            let (y, last) = (self.y, row.len() as i32);
            let end = FLOW + CELL * (last - 1) + 26;
            let begin = FLOW + CELL - 26;
            self.parts.push(html! {
                path.flow d=(format!("M{FLOW} {y}H{end}")) {}
                path.return d=(format!("M{begin} {}H{RETURN}", y + 86)) {}
                @for (at, one) in (0..).zip(row) {
                    (emitter(FLOW + CELL * at, y, one))
                }
            });
            self.y += ROW;
        }
    }

    /// A part of the plant between the rails, joined to both.
    fn rung(&mut self, thing: &Thing<'_>) {
        let y = self.y;
        let stands = thing.stands;
        self.parts.push(html! {
            path.flow d=(format!("M{FLOW} {}H60", y + 18)) {}
            path.return d=(format!("M300 {}H{RETURN}", y + 18)) {}
            @if let Some(stands) = stands {
                (valve(34, y + 18, stands))
                (valve(326, y + 18, stands))
                @if stands == Stands::Past && thing.band == Band::Rung {
                    path.round d=(format!("M22 {}v36H338v-36", y + 18)) {}
                }
            }
            (boxed(60, y - 2, 240, thing))
        });
        self.y += RUNG;
    }

    /// Things that are on no pipe of the drawing, one in a line.
    fn row(&mut self, scene: &Scene<'_>, band: Band, title: &str) {
        let things = scene.things.iter().filter(|thing| thing.band == band);
        let things: Vec<&Thing<'_>> = things.collect();
        if things.is_empty() {
            return;
        }
        let y = self.y;
        self.parts
            .push(html! { text.band x=(FLOW + 6) y=(y + 10) { (title) } });
        self.y += 18;
        for thing in things {
            let y = self.y + 8;
            self.parts.push(html! {
                @if let Some(stands) = thing.stands {
                    @if band == Band::Controls { (valve(18, y, stands)) } @else { (square(18, y, stands)) }
                }
                text.name x="34" y=(y - 1) { (cut(&thing.name, IN_LINE[0])) }
                text.small x="34" y=(y + 12) { (cut(&parts(thing).join(", "), IN_LINE[1])) }
                (marks(RETURN - 6, y, &thing.marks))
            });
            self.y += LINE;
        }
        self.y += 6;
    }
}

/// A box with the name of a thing and what is said of it.
fn boxed(x: i32, y: i32, width: i32, thing: &Thing<'_>) -> Markup {
    let class = class("box", thing.stands.unwrap_or(Stands::Open));
    let name = if thing.marks.is_empty() {
        BOXED[0]
    } else {
        BOXED[0] - MARKED
    };
    html! {
        rect class=(class) x=(x) y=(y) width=(width) height=(BOX) rx="3" {}
        text.name x=(x + 8) y=(y + 16) { (cut(&thing.name, name)) }
        @for (at, line) in (0..).zip(broken(parts(thing), ", ", BOXED[1])) {
            text.small x=(x + 8) y=(y + 30 + 13 * at) { (line) }
        }
        (marks(x + width - 12, y + 12, &thing.marks))
    }
}

/// Parts on as much of two lines as they take, what is too long for the second cut.
fn broken(parts: impl IntoIterator<Item = String>, between: &str, room: u32) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for part in parts {
        let second = lines.len() == 2;
        match lines.last_mut() {
            Some(last) if second || breadth(&format!("{last}{between}{part}")) <= room => {
                *last = format!("{last}{between}{part}");
            }
            _ => lines.push(part),
        }
    }
    lines.iter().map(|line| cut(line, room)).collect()
}

/// What is most worth saying beside a thing in the room there is: what it is, then how it stands.
fn parts(thing: &Thing<'_>) -> Vec<String> {
    let kind = thing.kind.iter().cloned();
    let says = thing.says.iter().filter(|(_, said)| said.known);
    let says = says.map(|(label, said)| format!("{label} {}", said.words));
    kind.chain(says).collect()
}

/// An emitter with its two valves, hung between the pipes of its row.
fn emitter(x: i32, y: i32, one: &Emitter<'_>) -> Markup {
    let (left, right) = (x + 26, x + CELL - 26);
    let name = broken(one.name.split(' ').map(str::to_string), " ", EMITTER[0]);
    let kind = y + 35 + if name.len() > 1 { 24 } else { 12 };
    html! {
        path.flow d=(format!("M{left} {y}v22")) {}
        path.return d=(format!("M{right} {}v22", y + 64)) {}
        rect class=(if one.off { "box off" } else { "box" }) x=(x + 5) y=(y + 20) width=(CELL - 10) height="46" rx="3" {}
        @for (at, line) in (0..).zip(&name) { text.name x=(x + 10) y=(y + 33 + 12 * at) { (line) } }
        text.small x=(x + 10) y=(kind) { (cut(&what(one), EMITTER[1])) }
        (stop(left, y + 10, &one.flow))
        (stop(right, y + 76, &one.back))
        (marks(x + CELL - 12, y + 10, &one.marks))
    }
}

fn stop(x: i32, y: i32, one: &Valve) -> Markup {
    html! { @if let Some(stands) = one.stands { (valve(x, y, stands)) } }
}

fn what(one: &Emitter<'_>) -> String {
    if one.off {
        return format!("off the wall: {}", one.kind.words);
    }
    one.kind.words.clone()
}

/// A text that fits its room, as far as anybody can tell without drawing it.
fn cut(text: &str, room: u32) -> String {
    let text = shown(text, false);
    if breadth(&text) <= room {
        return text;
    }
    let mut kept = String::new();
    for sign in text.chars() {
        if breadth(&kept) + breadth(&sign.to_string()) > room - breadth("…") {
            break;
        }
        kept.push(sign);
    }
    format!("{}…", kept.trim_end())
}

/// How broad a text is in hundredths of the height of its letters, by a broad face in bold.
fn breadth(text: &str) -> u32 {
    let sign = |sign| match sign {
        'i' | 'j' | 'l' | '\'' | '.' | ',' | ':' | ';' | '|' | '!' => 38,
        'f' | 't' | 'r' | '(' | ')' | '-' | ' ' | '/' => 47,
        'm' | 'w' | 'M' | 'W' | '@' | '%' | '…' => 110,
        'A'..='Z' | '0'..='9' => 80,
        ' '..='~' => 71,
        '\u{a0}'..='\u{24f}' => 80,
        _ => 115,
    };
    text.chars().map(sign).sum()
}

fn legend() -> Markup {
    let signs = [
        (Stands::Open, "open, or not made safe"),
        (Stands::Shut, "shut, or made safe"),
        (Stands::Past, "led past, or linked"),
        (Stands::AsFound, "as found, or put back"),
        (Stands::Unknown, "not known"),
    ];
    let small = |sign: Markup| html! { svg.key viewBox="0 0 24 24" aria-hidden="true" { (sign) } };
    html! {
        ul.legend {
            @for (stands, words) in signs { li { (small(valve(12, 12, stands))) (words) } }
            @for shape in Shape::ALL { li { (small(mark_at(12, 12, shape, "1"))) (shape.words()) } }
        }
        p.legend-lines { "Solid: flow. Dashed: return. The numbers are those of the table of findings." }
    }
}

/// A valve: two triangles, filled where it is shut, with a tick where it is as it was found.
fn valve(x: i32, y: i32, stands: Stands) -> Markup {
    let bow = format!("M{} {}v10l14 -10v10z", x - 7, y - 5);
    html! {
        path class=(class("sign", stands)) d=(bow) {}
        (badge(x, y, stands))
    }
}

/// A thing that is made safe or not: a square, filled where it is.
fn square(x: i32, y: i32, stands: Stands) -> Markup {
    let square = format!("M{} {}h12v12h-12z", x - 6, y - 6);
    html! {
        path class=(class("sign", stands)) d=(square) {}
        (badge(x, y, stands))
    }
}

/// What stands over a sign where its form alone does not say it.
fn badge(x: i32, y: i32, stands: Stands) -> Markup {
    html! {
        @match stands {
            Stands::Unknown => text.ask x=(x) y=(y + 4) { "?" },
            Stands::AsFound => path.tick d=(format!("M{} {}l4 4l8 -9", x - 6, y)) {},
            Stands::Past => path.past d=(format!("M{} {}q7 -14 14 0", x - 7, y)) {},
            Stands::Open | Stands::Shut => {},
        }
    }
}

fn class(kind: &str, stands: Stands) -> String {
    let stands = match stands {
        Stands::Open => "open",
        Stands::Unknown => "unknown",
        Stands::Past => "led-past",
        Stands::AsFound => "as-found",
        Stands::Shut => "shut",
    };
    format!("{kind} {stands}")
}

/// Marks in a row that ends at `x`; of many the first, and how many more.
fn marks(x: i32, y: i32, marks: &[Mark<'_>]) -> Markup {
    const ROOM: usize = 4;
    let all = marks.len() <= ROOM;
    let shown = if all { marks } else { &marks[..ROOM - 1] };
    let room = if all { 0 } else { 26 };
    html! {
        @for (at, mark) in (0..).zip(shown.iter().rev()) {
            (mark_at(x - room - 19 * at, y, mark.shape, &mark.number.to_string()))
        }
        @if !all { text.more x=(x + 8) y=(y + 4) { "+" (marks.len() - shown.len()) } }
    }
}

/// One mark: eight corners for a hazard, four on their tip for one that is undecided, a box for a step.
fn mark_at(x: i32, y: i32, shape: Shape, number: &str) -> Markup {
    let (class, outline) = match shape {
        Shape::Hazard => ("m hazard", "m-4 -9h8l5 5v8l-5 5h-8l-5 -5v-8z"),
        Shape::Undecided => ("m undecided", "m0 -10l10 10l-10 10l-10 -10z"),
        Shape::Step => ("m step", "m-8 -8h16v16h-16z"),
    };
    html! {
        path class=(class) d=(format!("M{x} {y}{outline}")) {}
        text.n x=(x) y=(y + 4) { (number) }
    }
}
