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
pub(crate) const EMITTER_KIND: &str = "kind";
pub(crate) const TAKEN_OFF: (&str, &str) = ("taken_off", "yes");

/// Everything that is drawn beside the emitters, in the order of the table.
pub const DRAWN: &[Drawn] = &[
    Drawn {
        band: Band::Head,
        of: None,
        name: "Pipework",
        groups: &["circuit"],
        more: "",
        kind: Some(CIRCUIT_KIND),
        absent: None,
        says: &[
            ("layout", "circuit.layout"),
            ("of", "circuit.pipe_materials"),
            ("weakest part rated", "circuit.weakest_part.rated"),
        ],
        stands: &[],
        still: None,
        back: None,
    },
    Drawn {
        band: Band::Head,
        of: None,
        name: "Open vent and feed",
        groups: &["vent"],
        more: "",
        kind: None,
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
        still: None,
        back: Some(("vent.restored", &["yes"])),
    },
    Drawn {
        band: Band::Head,
        of: None,
        name: "Vessel and relief valve",
        groups: &["sealed"],
        more: "",
        kind: Some("sealed.vessel"),
        absent: Some((CIRCUIT_KIND, &["open vented", "single feed"])),
        says: &[
            ("relief at", "sealed.relief_setting"),
            ("filling", "sealed.filling"),
        ],
        stands: &[meant("sealed.vessel_open", &[("yes", Open), ("no", Shut)])],
        still: None,
        back: None,
    },
    Drawn {
        band: Band::Rung,
        of: None,
        name: "Heated floor",
        groups: &["underfloor"],
        more: "",
        kind: None,
        absent: Some(("underfloor.fitted", &["no"])),
        says: &[
            ("loops", "underfloor.loops"),
            ("shut in the main flush", "underfloor.shut_in_main_flush"),
        ],
        stands: &[meant("underfloor.shut_in_main_flush", YES_SHUTS)],
        still: None,
        back: Some(("underfloor.restored", &["yes"])),
    },
    Drawn {
        band: Band::Rung,
        of: None,
        name: "Buffer",
        groups: &["hot_water.buffer"],
        more: "",
        kind: None,
        absent: Some(("hot_water.buffer.fitted", &["no"])),
        says: &[("during the flush", "hot_water.buffer.during_flush")],
        stands: &[meant("hot_water.buffer.during_flush", IN_OR_OUT)],
        still: None,
        back: Some(("hot_water.buffer.restored", &["yes"])),
    },
    Drawn {
        band: Band::Rung,
        of: None,
        name: "Hot water",
        groups: &["hot_water"],
        more: "",
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
    },
    Drawn {
        band: Band::Rung,
        of: Some("heat_sources"),
        name: ID,
        groups: &[],
        more: "More heat sources",
        kind: Some("kind"),
        absent: None,
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
        still: None,
        back: Some(("restored", &["as found"])),
    },
    Drawn {
        band: Band::Rung,
        of: None,
        name: "Flushing machine",
        groups: &["machine", "water_supply", "drain", "cleaner", "flush"],
        more: "",
        kind: None,
        absent: None,
        says: &[
            ("connected at", "machine.connected_at"),
            ("filled by", "water_supply.fill_route"),
            ("dump to", "drain.route"),
        ],
        stands: &[],
        still: None,
        back: None,
    },
    Drawn {
        band: Band::Rung,
        of: None,
        name: "Filter",
        groups: &["filter"],
        more: "",
        kind: Some("filter.kind"),
        absent: Some(("filter.kind", &["none"])),
        says: &[
            ("position", "filter.position"),
            ("cleaned after", "filter.cleaned_after"),
        ],
        stands: &[],
        still: None,
        back: None,
    },
    Drawn {
        band: Band::Controls,
        of: Some("controls"),
        name: ID,
        groups: &[],
        more: "More valves and controls",
        kind: Some("kind"),
        absent: None,
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
        still: None,
        back: Some(("restored", &["as found", "renewed"])),
    },
    Drawn {
        band: Band::Supplies,
        of: None,
        name: "Electricity for the machine",
        groups: &["electrical"],
        more: "",
        kind: None,
        absent: None,
        says: &[
            ("residual current device", "electrical.rcd.kind"),
            ("trips at", "electrical.rcd.rating"),
            ("tested", "electrical.rcd.tested"),
        ],
        stands: &[],
        still: None,
        back: None,
    },
    Drawn {
        band: Band::Supplies,
        of: Some("electrical.supplies"),
        name: ID,
        groups: &[],
        more: "More supplies",
        kind: Some("kind"),
        absent: None,
        says: &[
            ("isolated", "isolated"),
            ("locked off", "locked_off"),
            ("proved dead", "proved_dead"),
            ("put back", "restored"),
        ],
        stands: &[
            meant("isolated", YES_SHUTS),
            meant("locked_off", YES_SHUTS),
            meant("proved_dead", YES_SHUTS),
        ],
        still: None,
        back: Some(("restored", &["as found"])),
    },
    Drawn {
        band: Band::Bonds,
        of: Some("electrical.bonds"),
        name: ID,
        groups: &[],
        more: "More bonds",
        kind: Some("bridges"),
        absent: None,
        says: &[("fitted", "fitted"), ("taken off again", "removed")],
        stands: &[meant("fitted", YES_SHUTS)],
        still: None,
        back: Some(("removed", &["yes"])),
    },
];
