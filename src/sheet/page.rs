//! What all papers share: the whole of a page, its style, and the small parts of it.
//!
//! Contract: a page is one file that asks for nothing from elsewhere and runs nothing; its policy forbids both.
//! Whatever a survey says goes through [`words`], which keeps its direction to itself. This module must not know
//! what a page is about.

use super::read::Said;
use maud::{DOCTYPE, Markup, PreEscaped, Render, html};
use wetside_report::shown;

/// One part of a page.
pub(crate) struct Section {
    pub id: &'static str,
    pub title: &'static str,
    pub body: Markup,
}

pub(crate) fn section(id: &'static str, title: &'static str, body: Markup) -> Section {
    Section { id, title, body }
}

/// What a page is made of.
pub(crate) struct Page<'a> {
    /// What it is, such as `Job sheet`.
    pub what: &'a str,
    /// Which job it is of, and what else stands at its head.
    pub reference: &'a str,
    pub head: Markup,
    pub sections: Vec<Section>,
    pub foot: Markup,
    /// The class of the body, where a page has a form of its own.
    pub form: &'a str,
}

const POLICY: &str = "default-src 'none'; style-src 'unsafe-inline'";
/// A page with more parts than these says first what is in it.
const FEW: usize = 5;

/// The page as a text.
pub(crate) fn whole(page: &Page<'_>) -> String {
    let (what, reference) = (page.what, page.reference);
    let text = html! {
        (DOCTYPE)
        html lang="en-GB" {
            head {
                meta charset="utf-8";
                meta http-equiv="Content-Security-Policy" content=(POLICY);
                meta name="viewport" content="width=device-width, initial-scale=1";
                title { (what) " " (reference) }
                style { (PreEscaped(STYLE)) }
            }
            body class=(page.form) {
                header {
                    h1 { (what) " " span.ref { (words(reference)) } }
                    (page.head)
                }
                @if page.sections.len() > FEW {
                    nav aria-label="Contents" {
                        ul { @for part in &page.sections { li { a href=(format!("#{}", part.id)) { (part.title) } } } }
                    }
                }
                main {
                    @for part in &page.sections {
                        section id=(part.id) aria-labelledby=(format!("{}-title", part.id)) {
                            h2 id=(format!("{}-title", part.id)) { (part.title) span.again { (words(reference)) } }
                            (part.body)
                        }
                    }
                }
                footer { (page.foot) }
            }
        }
    };
    format!("{}\n", text.into_string())
}

/// What a survey says, apart from the text around it, with signs for what hides or turns the reading round.
pub(crate) fn words(text: &str) -> Markup {
    html! { bdi { (shown(text, false)) } }
}

/// A sentence of ours in which what a survey says stands between backticks.
pub(crate) fn quoted(text: &str) -> Markup {
    let parts: Vec<&str> = text.split('`').collect();
    // A backtick without its fellow quotes nothing.
    if parts.len().is_multiple_of(2) {
        return words(text);
    }
    html! {
        @for (at, part) in parts.iter().enumerate() {
            @if at % 2 == 0 { (words(part)) } @else { q { (words(part)) } }
        }
    }
}

/// A value, or that there is none, told apart by more than colour.
pub(crate) fn said(said: &Said) -> Markup {
    html! {
        @if said.known { (words(&said.words)) } @else { i.open { (words(&said.words)) } }
    }
}

/// Rows of a label and what is said.
pub(crate) fn rows(caption: &str, all: &[(&str, Markup)]) -> Markup {
    html! {
        table.rows {
            caption { (caption) }
            tbody { @for (label, value) in all { tr { th scope="row" { (label) } td { (value) } } } }
        }
    }
}

/// A table with a head. It scrolls by itself where the screen is narrower, and a key reaches it.
pub(crate) fn table(caption: &str, head: &[&str], body: &[Vec<Markup>]) -> Markup {
    html! {
        div.wide role="region" aria-label=(caption) tabindex="0" {
            table {
                caption { (caption) }
                thead { tr { @for cell in head { th scope="col" { (cell) } } } }
                tbody {
                    @for cells in body {
                        tr { @for (at, cell) in cells.iter().enumerate() {
                            @if at == 0 { th scope="row" { (cell) } } @else { td { (cell) } }
                        } }
                    }
                }
            }
        }
    }
}

/// A box to tick, ticked where it is done.
pub(crate) fn tick(done: bool) -> Markup {
    html! {
        @if done { span.box-done { span.hidden { "Done: " } "✓" } }
        @else { span.box-open { span.hidden { "To do: " } } }
    }
}

/// Room for a hand to write.
pub(crate) fn blank(label: impl Render) -> Markup {
    html! { span.blank { (label) ": " span.line {} } }
}

const STYLE: &str = "
@page { size: A4; margin: 14mm 13mm 16mm; @bottom-right { content: counter(page) ' of ' counter(pages); font: 9pt sans-serif } }
@page card { size: A4 landscape; margin: 14mm 13mm 16mm }
@page label { size: 100mm 72mm; margin: 4mm; @bottom-right { content: none } }
* { box-sizing: border-box }
:root { --ink: #1a1a1a; --paper: #fff; --soft: #4a4a4a; --shade: #efefef; --pale: #f6f6f6; --line: #666; --thin: #bbb; --stop: #a40000; --wait: #8a5300; --go: #14662b; --open: #8a3d00; --step: #1f4e8c; --focus: #0b57d0 }
@media screen and (prefers-color-scheme: dark) { :root { color-scheme: dark; --ink: #ececec; --paper: #171717; --soft: #c4c4c4; --shade: #2c2c2c; --pale: #242424; --line: #9a9a9a; --thin: #555; --stop: #ff9a91; --wait: #ffb95c; --go: #86d39b; --open: #ffb07a; --step: #9cc3ff; --focus: #9cc3ff } }
html { -webkit-text-size-adjust: 100%; text-size-adjust: 100% }
body { font: 1rem/1.45 system-ui, sans-serif; color: var(--ink); background: var(--paper); max-width: 52rem; margin: 0 auto; padding: 1rem }
h1 { font-size: 1.6rem; line-height: 1.2; margin: 0 0 .5rem } h2 { font-size: 1.2rem; margin: 2rem 0 .6rem; padding-top: .5rem; border-top: 2px solid var(--ink); break-after: avoid }
h3 { font-size: 1rem; margin: 1.2rem 0 .4rem; break-after: avoid }
.ref { font-weight: 400; overflow-wrap: anywhere } .again { display: none }
p, ul, ol { margin: .4rem 0 } li { margin: .25rem 0 } ul, ol { padding-left: 1.4rem }
nav ul { list-style: none; padding: 0; display: flex; flex-wrap: wrap; gap: .4rem }
nav li { margin: 0 } nav a { display: block; padding: .65rem .8rem; border: 1px solid var(--line); border-radius: .3rem; color: var(--ink); text-decoration: none }
nav a:hover { text-decoration: underline } :focus-visible { outline: 3px solid var(--focus); outline-offset: 2px }
.verdict { border: 3px solid; padding: .7rem .9rem; margin: .8rem 0; break-inside: avoid } .verdict strong { font-size: 1.25rem }
.verdict.stop { border-color: var(--stop) } .verdict.stop strong { color: var(--stop) } .verdict.wait { border-color: var(--wait); border-style: dashed } .verdict.go { border-color: var(--go); border-style: double }
.faint { color: var(--soft) } i.open { color: var(--open) } .hidden { position: absolute; clip-path: inset(50%); width: 1px; height: 1px; overflow: hidden; white-space: nowrap }
bdi { overflow-wrap: anywhere } q { quotes: '‘' '’' } tbody th, thead th { min-width: 4.2rem } .wide tbody th { min-width: 7rem } .wide td { min-width: 5.5rem } .plain tbody th { font-weight: 400; min-width: 11rem } .parts td:nth-child(3) { width: 55%; min-width: 14rem } .rows th, .rows td { min-width: 0 } tr.part th { background: var(--pale) } .rule { font-family: ui-monospace, monospace; font-size: .85em; color: var(--soft); overflow-wrap: anywhere }
table { border-collapse: collapse; width: 100%; margin: .6rem 0; font-size: .95rem } caption { text-align: left; font-weight: 600; padding: .3rem 0 }
th, td { border: 1px solid var(--line); padding: .3rem .45rem; text-align: left; vertical-align: top; font-weight: 400 } thead th { font-weight: 600; background: var(--shade) } tbody th { font-weight: 600 }
tr { break-inside: avoid } thead { display: table-header-group } .rows th { width: 45% } .wide { overflow-x: auto } .write td:empty { min-width: 3.6rem } .write tr { height: 2.6rem }
.steps { list-style: none; padding: 0 } .steps > li { display: grid; grid-template-columns: 2.2rem 1fr; gap: .2rem; padding: .35rem 0; border-bottom: 1px solid var(--thin); break-inside: avoid } .steps p { margin: .15rem 0 } .follows { margin: .5rem 0 0; padding-left: .7rem; border-left: 3px solid var(--line) }
.box-open, .box-done { display: inline-block; width: 1.4rem; height: 1.4rem; border: 2px solid var(--ink); line-height: 1.2rem; text-align: center; margin-top: .1rem; position: relative }
.blank { display: inline-block; margin: .5rem 1.5rem .5rem 0 } .line { display: inline-block; min-width: 12rem; border-bottom: 1px solid var(--ink); height: 1.4rem; vertical-align: bottom } .each .blank { margin: .3rem 1rem .1rem 0 } .each .line { min-width: 4.5rem }
.caution { border: 1px solid var(--ink); padding: .6rem .8rem; break-inside: avoid }
svg.system, .key { fill: var(--ink) } svg.system { display: block; width: 100%; max-width: 34rem; height: auto; margin: .5rem auto; font: 11px system-ui, sans-serif }
.curve { margin: 1rem 0; break-inside: avoid } .curve svg { display: block; width: 100%; max-width: 34rem; height: auto } figcaption { font-size: .95rem }
@media print, (min-width: 48rem) { .curve { display: grid; grid-template-columns: 3fr 2fr; gap: 1rem; align-items: start } }
svg text { unicode-bidi: isolate } svg .name { font-weight: 600 } svg .small { font-size: 10px; fill: var(--soft) } svg .band { font-weight: 600; fill: var(--soft) }
svg .flow { stroke: var(--ink); stroke-width: 2; fill: none } svg .return { stroke: var(--ink); stroke-width: 2; stroke-dasharray: 5 3; fill: none } svg .round { stroke: var(--ink); stroke-width: 1.5; stroke-dasharray: 2 2; fill: none }
svg .box { fill: var(--paper); stroke: var(--ink); stroke-width: 1.3 } svg .box.shut { stroke-width: 3 } svg .box.unknown, svg .box.off { stroke-dasharray: 3 2 }
svg .sign { fill: var(--paper); stroke: var(--ink); stroke-width: 1.4 } svg .sign.shut { fill: var(--ink) } svg .sign.unknown { stroke-dasharray: 2 1.5 } svg .ask { font-weight: 700; text-anchor: middle; paint-order: stroke; stroke: var(--paper); stroke-width: 3px }
svg .tick { fill: none; stroke: var(--paper); stroke-width: 5 } svg .tick { stroke: var(--go); stroke-width: 2.4 } svg .past { fill: none; stroke: var(--ink); stroke-width: 1.4 }
svg .m { stroke: var(--paper); stroke-width: 1 } svg .m.hazard { fill: var(--stop) } svg .m.undecided { fill: var(--wait) } svg .m.step { fill: var(--step) } svg .n { fill: var(--paper); font: 700 9px system-ui, sans-serif; text-anchor: middle } svg .more { font-size: 10px; text-anchor: end }
.legend { list-style: none; padding: 0; display: flex; flex-wrap: wrap; gap: .2rem 1.1rem; font-size: .9rem } .legend li { display: flex; align-items: center; gap: .3rem } .key { width: 1.6rem; height: 1.6rem; font: 11px sans-serif } .legend-lines { font-size: .9rem }
.label { max-width: 24rem; border: 2px solid var(--ink); margin: 1rem auto; padding: .6rem .8rem } .label h1 { font-size: 1.1rem; margin: 0 0 .3rem } .label h2, .label caption { display: none } .label section { margin: 0 } .label table { font-size: .85rem; margin: .3rem 0 } .label th, .label td { padding: .12rem .35rem } .label footer { font-size: .8rem } .label .line { min-width: 8rem } .label p { margin: .25rem 0 }
@media print {
  body { max-width: none; padding: 0; font-size: 10pt } nav { display: none } .wide { overflow: visible } .again { display: inline; float: right; font-size: 9pt; font-weight: 400 }
  h2 { margin-top: 1.2rem } svg.system { max-height: 225mm; max-width: 150mm } .curve { margin: 3mm 0; grid-template-columns: 1fr 1fr } .curve svg { max-height: 200mm } #branches { page: card } #branches table { font-size: 9pt } #system { break-inside: avoid } .write tr { height: 9mm } table.rows, ul.legend { break-inside: avoid } caption, thead { break-after: avoid } tbody tr:nth-child(-n+2) { break-before: avoid }
  .label { page: label; border: 0; margin: 0; padding: 0; font-size: 7.5pt; line-height: 1.25 } .label h1 { font-size: 10pt } .label table { font-size: 7.5pt; margin: 1mm 0 } .label th, .label td { padding: .3mm 1.2mm } .label footer { font-size: 7pt } .label .blank { margin: 0 3mm 0 0 } .label .line { min-width: 26mm; height: 4.5mm } .label p { margin: .6mm 0 }
  * { print-color-adjust: exact; -webkit-print-color-adjust: exact }
}
";
