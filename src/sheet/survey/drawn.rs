//! What is drawn of a survey, and what its words mean in the drawing.

use super::{CIRCUIT_KIND, ID, Of, Row};

/// How a thing stands, as far as a drawing shows it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Stands {
    /// Water or current can pass, or it is still to be done.
    Open,
    /// The survey does not say.
    Unknown,
    /// The flow is led past it.
    Past,
    /// As it was found, or put back.
    AsFound,
    /// Shut, or made safe.
    Shut,
}

/// A field of words, with what each word means in the drawing.
pub struct Meant {
    pub path: &'static str,
    pub words: &'static [(&'static str, Stands)],
}

impl Drawn {
    /// The fields of one sort of thing.
    pub(super) fn fields(&self) -> Vec<(Of, &'static str)> {
        let said = self.says.iter().map(|(_, path)| *path);
        let stands = self.stands.iter().map(|meant| meant.path);
        let of = said
            .chain(stands)
            .chain(self.kind)
            .chain(self.back.map(|(path, _)| path));
        let mut all: Vec<(Of, &'static str)> = of.map(|path| (self.of, path)).collect();
        let of_survey = [self.absent, self.still].into_iter().flatten();
        all.extend(of_survey.map(|(path, _)| (None, path)));
        match self.of {
            Some(_) => all.push((self.of, self.name)),
            None => all.extend(self.groups.iter().map(|group| (None, *group))),
        }
        all
    }

    pub(super) fn words(&self) -> Vec<(Of, &'static str, Vec<&'static str>, bool)> {
        let stands = self.stands.iter().map(|meant| {
            let words = meant.words.iter().map(|(word, _)| *word).collect();
            (self.of, meant.path, words, true)
        });
        let back = self
            .back
            .map(|(path, words)| (self.of, path, words.to_vec(), false));
        let of_survey = [self.absent, self.still].into_iter().flatten();
        let of_survey = of_survey.map(|(path, words)| (None, path, words.to_vec(), false));
        stands.chain(back).chain(of_survey).collect()
    }
}

const fn meant(path: &'static str, words: &'static [(&'static str, Stands)]) -> Meant {
    Meant { path, words }
}

/// Where a thing stands in the drawing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Band {
    /// Above the emitters.
    Head,
    /// Between the two mains.
    Rung,
    Controls,
    Supplies,
    Bonds,
}

/// One sort of thing in the drawing.
pub struct Drawn {
    pub band: Band,
    /// The list whose elements are drawn, or nothing for one thing.
    pub of: Of,
    /// The field with its name, or its name.
    pub name: &'static str,
    /// The groups that its findings are told at, where it is no element of a list.
    pub groups: &'static [&'static str],
    /// The name of those that the list does not name.
    pub more: &'static str,
    /// What it is.
    pub kind: Option<&'static str>,
    /// It is not drawn where this field has one of these words.
    pub absent: Option<(&'static str, &'static [&'static str])>,
    /// What is written beside it.
    pub says: &'static [Row],
    /// How it stands: by all of these together, the worst of them.
    pub stands: &'static [Meant],
    /// Nothing is asked of how it stands where this field has one of these words.
    pub still: Option<(&'static str, &'static [&'static str])>,
    /// What shows that it is back, which counts before all else.
    pub back: Option<(&'static str, &'static [&'static str])>,
}

use Stands::{AsFound, Open, Past, Shut, Unknown};

const YES_SHUTS: &[(&str, Stands)] = &[("yes", Shut), ("no", Open)];
/// Of a supply: made live again for the flush it is as live as one that was never switched off.
const DEAD: &[(&str, Stands)] = &[("yes", Shut), ("no", Open), ("live by sequence", Open)];
const IN_OR_OUT: &[(&str, Stands)] = &[("isolated", Shut), ("in the circuit", Open)];

/// The name of the emitters that the list does not name.
pub(crate) const MORE_EMITTERS: &str = "More emitters";

/// The valves of an emitter.
pub(crate) const FLOW_SET: Meant = meant(
    "flow_valve.set",
    &[
        ("head removed", Open),
        ("at maximum", Open),
        ("fully open", Open),
        ("closed", Shut),
        ("left as found", AsFound),
    ],
);
pub(crate) const RETURN_SET: Meant = meant(
    "return_valve.set",
    &[
        ("fully open", Open),
        ("head removed", Open),
        ("closed", Shut),
        ("left as found", AsFound),
    ],
);
pub(crate) const VALVE_BACK: &[&str] = &["as found", "renewed"];
pub(crate) const NO_VALVE: &str = "none";
/// One valve for both pipes, beside which there is none at the outlet.
pub(crate) const TWIN_ENTRY: &str = "twin entry";
pub(crate) const EMITTER_KIND: &str = "kind";
pub(crate) const TAKEN_OFF: (&str, &str) = ("taken_off", "yes");

/// A thing of which nothing is said.
const PLAIN: Drawn = Drawn {
    band: Band::Head,
    of: None,
    name: "",
    groups: &[],
    more: "",
    kind: None,
    absent: None,
    says: &[],
    stands: &[],
    still: None,
    back: None,
};

/// Everything that is drawn beside the emitters, in the order of the table.
pub const DRAWN: &[Drawn] = &[
    Drawn {
        band: Band::Head,
        name: "Pipework",
        groups: &["circuit"],
        kind: Some(CIRCUIT_KIND),
        says: &[
            ("layout", "circuit.layout"),
            ("of", "circuit.pipe_materials"),
            ("weakest part rated", "circuit.weakest_part.rated"),
        ],
        ..PLAIN
    },
    Drawn {
        band: Band::Head,
        name: "Open vent and feed",
        groups: &["vent"],
        absent: Some((CIRCUIT_KIND, &["sealed", "single feed"])),
        says: &[
            ("during the flush", "vent.action"),
            ("float valve isolated", "vent.float_valve_isolated"),
        ],
        stands: &[meant(
            "vent.action",
            &[
                ("capped each", Shut),
                ("linked together", Past),
                ("left open", Open),
                ("not decided", Unknown),
            ],
        )],
        back: Some(("vent.restored", &["yes"])),
        ..PLAIN
    },
    Drawn {
        band: Band::Head,
        name: "Vessel and safety valve",
        groups: &["sealed"],
        kind: Some("sealed.vessel"),
        absent: Some((CIRCUIT_KIND, &["open vented", "single feed"])),
        says: &[
            ("relief at", "sealed.relief_setting"),
            ("filling", "sealed.filling"),
        ],
        stands: &[meant("sealed.vessel_open", &[("yes", Open), ("no", Shut)])],
        ..PLAIN
    },
    Drawn {
        band: Band::Rung,
        name: "Heated floor",
        groups: &["underfloor"],
        absent: Some(("underfloor.fitted", &["no"])),
        says: &[
            ("loops", "underfloor.loops"),
            ("shut in the main flush", "underfloor.shut_in_main_flush"),
        ],
        stands: &[meant("underfloor.shut_in_main_flush", YES_SHUTS)],
        back: Some(("underfloor.restored", &["yes"])),
        ..PLAIN
    },
    Drawn {
        band: Band::Rung,
        name: "Buffer",
        groups: &["hot_water.buffer"],
        absent: Some(("hot_water.buffer.fitted", &["no"])),
        says: &[("during the flush", "hot_water.buffer.during_flush")],
        stands: &[meant("hot_water.buffer.during_flush", IN_OR_OUT)],
        back: Some(("hot_water.buffer.restored", &["yes"])),
        ..PLAIN
    },
    Drawn {
        band: Band::Rung,
        name: "Hot water",
        groups: &["hot_water"],
        kind: Some("hot_water.kind"),
        absent: Some(("hot_water.kind", &["none"])),
        says: &[
            ("primary", "hot_water.primary"),
            ("store during the flush", "hot_water.store.during_flush"),
        ],
        stands: &[meant("hot_water.store.during_flush", IN_OR_OUT)],
        still: Some((
            "hot_water.kind",
            &[
                "combination boiler plate",
                "indirect vented cylinder",
                "indirect unvented cylinder",
                "single-feed cylinder",
                "direct cylinder",
            ],
        )),
        back: Some(("hot_water.store.restored", &["yes"])),
        ..PLAIN
    },
    Drawn {
        band: Band::Rung,
        of: Some("heat_sources"),
        name: ID,
        more: "More heat sources",
        kind: Some("kind"),
        says: &[
            ("during the flush", "during_flush"),
            ("locked off", "locked_off"),
        ],
        stands: &[meant(
            "during_flush",
            &[
                ("isolated", Shut),
                ("bypassed", Past),
                ("left in by consent", Open),
                ("left in", Open),
            ],
        )],
        back: Some(("restored", &["as found"])),
        ..PLAIN
    },
    Drawn {
        band: Band::Rung,
        name: "Flushing machine",
        groups: &["machine", "water_supply", "drain", "cleaner", "flush"],
        says: &[
            ("connected at", "machine.connected_at"),
            ("filled by", "water_supply.fill_route"),
            ("dump to", "drain.route"),
        ],
        ..PLAIN
    },
    Drawn {
        band: Band::Rung,
        name: "Filter",
        groups: &["filter"],
        kind: Some("filter.kind"),
        absent: Some(("filter.kind", &["none"])),
        says: &[
            ("position", "filter.position"),
            ("cleaned after", "filter.cleaned_after"),
        ],
        ..PLAIN
    },
    Drawn {
        band: Band::Controls,
        of: Some("controls"),
        name: ID,
        more: "More valves and controls",
        kind: Some("kind"),
        says: &[("found", "found"), ("set", "set"), ("put back", "restored")],
        stands: &[meant(
            "set",
            &[
                ("closed", Shut),
                ("isolated", Shut),
                ("open", Open),
                ("locked open", Open),
                ("head removed", Open),
                ("held mid", Open),
                ("held open", Open),
                ("bridged", Open),
                ("removed", Open),
                ("cartridge removed", Open),
                ("left as found", AsFound),
            ],
        )],
        back: Some(("restored", &["as found", "renewed"])),
        ..PLAIN
    },
    Drawn {
        band: Band::Supplies,
        name: "Electricity for the machine",
        groups: &["electrical"],
        says: &[
            ("residual current device", "electrical.rcd.kind"),
            ("trips at", "electrical.rcd.rating"),
            ("tested", "electrical.rcd.tested"),
        ],
        ..PLAIN
    },
    Drawn {
        band: Band::Supplies,
        of: Some("electrical.supplies"),
        name: ID,
        more: "More supplies",
        kind: Some("kind"),
        says: &[
            ("isolated", "isolated"),
            ("locked off", "locked_off"),
            ("proved dead", "proved_dead"),
            ("put back", "restored"),
        ],
        stands: &[
            meant("isolated", DEAD),
            meant("locked_off", YES_SHUTS),
            meant("proved_dead", YES_SHUTS),
        ],
        back: Some(("restored", &["as found"])),
        ..PLAIN
    },
    Drawn {
        band: Band::Bonds,
        of: Some("electrical.bonds"),
        name: ID,
        more: "More bonds",
        kind: Some("bridges"),
        says: &[("fitted", "fitted"), ("taken off again", "removed")],
        stands: &[meant("fitted", YES_SHUTS)],
        back: Some(("removed", &["yes"])),
        ..PLAIN
    },
];
