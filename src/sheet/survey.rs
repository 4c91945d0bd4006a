//! The fields and words of a survey that papers show. They are spelt here and nowhere else.
//!
//! Contract: data alone. What is shown in a table is a row with its label; what is drawn is a [`Drawn`], with
//! what its words mean in a drawing. A test holds every field to the schema, and every choice to all words of
//! its field, so that none falls through unseen.

mod drawn;

pub use drawn::{Band, DRAWN, Drawn, Meant, Stands};
pub(crate) use drawn::{
    EMITTER_KIND, FLOW_SET, MORE_EMITTERS, NO_VALVE, RETURN_SET, TAKEN_OFF, TWIN_ENTRY, VALVE_BACK,
};

/// The list that a field stands in; nothing for a field of the survey itself.
pub type Of = Option<&'static str>;

/// A field with the label that papers give it.
pub type Row = (&'static str, &'static str);

/// A few fields told together.
pub struct Table {
    pub title: &'static str,
    pub rows: &'static [Row],
}

pub(crate) const CIRCUIT_KIND: &str = "circuit.kind";
pub(crate) const REFERENCE: &str = "job.reference";
pub(crate) const WORK_DATE: &str = "job.work_date";
pub(crate) const NOTES: &str = "notes";
pub(crate) const ID: &str = "id";
pub(crate) const EMITTERS: &str = "emitters";
pub(crate) const FLOOR: &str = "floor";
pub(crate) const FLUSH_LOG: &str = "flush_log";
pub(crate) const NEXT_TEST: &str = "hand_back.next_test";
pub(crate) const DOCUMENTS: &str = "hand_back.documents";
/// The column of remarks, which nobody has to fill.
pub(crate) const REMARK: &str = "note";
pub(crate) const FLUSHED: &str = "flushed";
pub(crate) const MAINS_TEMPERATURE: &str = "readings.mains.temperature";
pub(crate) const FLOW_VALVE: [&str; 4] = [
    "flow_valve.kind",
    "flow_valve.found",
    "flow_valve.set",
    "flow_valve.restored",
];
pub(crate) const RETURN_VALVE: [&str; 4] = [
    "return_valve.kind",
    "return_valve.found",
    "return_valve.set",
    "return_valve.restored",
];
/// Of an entry in the log: the columns of its table.
pub(crate) const LOGGED: &[Row] = &[
    ("At", "at"),
    ("Branch", "branch"),
    ("Direction", "direction"),
    ("Reading", "discharge_tds"),
    ("Temperature", "discharge_temperature"),
    ("Note", REMARK),
];
/// Of an emitter: the columns of its temperatures.
pub(crate) const TEMPERATURES: &[Row] = &[
    ("Top before", "before.top"),
    ("Bottom before", "before.bottom"),
    ("Top after", "after.top"),
    ("Bottom after", "after.bottom"),
];

/// How the machine is set for the day.
pub(crate) const SETTINGS: &[Table] = &[
    Table {
        title: "Machine and hoses",
        rows: &[
            ("Connected at", "machine.connected_at"),
            ("Bore there", "machine.connection_bore"),
            ("On storey", "machine.storey"),
            ("Rated flow", "machine.rated_flow"),
            ("Pressure with no flow", "machine.shut_off_pressure"),
            ("Weakest part", "circuit.weakest_part.what"),
            ("It stands", "circuit.weakest_part.rated"),
        ],
    },
    Table {
        title: "Water in and out",
        rows: &[
            ("Filled by", "water_supply.fill_route"),
            ("Backflow device", "water_supply.backflow_device"),
            ("Flow of the mains", "water_supply.flow"),
            ("Dump goes to", "drain.route"),
            ("Drain takes", "drain.acceptance"),
            ("Sewerage undertaker", "drain.undertaker"),
        ],
    },
    Table {
        title: "Cleaner and heat",
        rows: &[
            ("Cleaner", "cleaner.nature"),
            ("Suits", "cleaner.suits"),
            ("Hottest by its label", "cleaner.maximum_temperature"),
            ("Planned temperature", "cleaner.planned_temperature"),
            ("Heated by", "flush.heat_by"),
        ],
    },
];

/// What has been put into the water, beside what was worked out.
pub(crate) const DOSED: &[Row] = &[
    ("Cleaner put in", "cleaner.dose"),
    ("Cleaner was in for", "cleaner.contact"),
    ("Inhibitor put in", "protection.dose"),
    ("Inhibitor reckoned on", "protection.volume"),
    ("Inhibitor tests at", "protection.strength"),
];

/// The record of water treatment.
pub(crate) const WATER: &[Table] = &[
    Table {
        title: "Before: the mains",
        rows: &[
            ("Dissolved solids", "readings.mains.tds"),
            ("Sampled at", "readings.mains.sampled_at"),
            ("pH", "readings.mains.ph"),
            ("Hardness", "readings.mains.hardness"),
            ("Temperature", MAINS_TEMPERATURE),
            ("Meter", "readings.mains.meter"),
            ("Corrected for temperature", "readings.mains.compensated"),
        ],
    },
    Table {
        title: "Before: the water of the system",
        rows: &[
            ("Sample", "readings.system.sample"),
            ("Looked", "readings.system.appearance"),
            ("Dissolved solids", "readings.system.tds"),
            ("pH", "readings.system.ph"),
            ("Hardness", "readings.system.hardness"),
            ("Inhibitor", "readings.system.inhibitor"),
            ("Iron", "readings.system.iron"),
            ("Copper", "readings.system.copper"),
        ],
    },
    Table {
        title: "Cleaning",
        rows: &[
            ("Cleaner", "cleaner.nature"),
            ("Dose", "cleaner.dose"),
            ("Time in the circuit", "cleaner.contact"),
            ("Temperature", "flush.temperature"),
            ("Fresh water used", "flush.fresh_water"),
            ("Dump went to", "drain.route"),
        ],
    },
    Table {
        title: "Proof",
        rows: &[
            ("Dissolved solids", "proof.tds"),
            ("Temperature", "proof.temperature"),
            ("Clarity", "proof.clarity"),
            ("pH", "proof.ph"),
            ("Iron", "proof.iron"),
            ("Cleaner left", "proof.cleaner_residual"),
            ("Points sampled", "proof.sample_points"),
            ("Tested again after a rest", "proof.standing_retest"),
            ("Meter", "proof.meter"),
        ],
    },
    Table {
        title: "Protection",
        rows: &[
            ("Inhibitor put in", "protection.inhibitor_dosed"),
            ("Left plain by its maker's word", "protection.left_plain"),
            ("Standard", "protection.standard"),
            ("Dosed through", "protection.dosed_through"),
            ("Volume reckoned on", "protection.volume"),
            ("Dose", "protection.dose"),
            ("Went round for", "protection.circulated"),
            ("Strength tested", "protection.strength"),
            ("Kit of the same product", "protection.kit_matches"),
            ("Biocide put in", "protection.biocide_dosed"),
            ("Antifreeze", "circuit.antifreeze"),
            ("Strength of the antifreeze", "protection.antifreeze"),
        ],
    },
    Table {
        title: "Later",
        rows: &[
            ("Next test", NEXT_TEST),
            ("Last test", "upkeep.last_test"),
            ("Strength then", "upkeep.strength"),
            ("Topped up since", "upkeep.topped_up"),
        ],
    },
];

/// Fields that have a row only where the survey speaks of them.
pub(crate) const SELDOM: &[&str] = &[
    "protection.antifreeze",
    "protection.freeze_target",
    "protection.left_plain",
    "upkeep.last_test",
    "upkeep.strength",
    "upkeep.topped_up",
];

/// What stands on the label, in its order.
pub(crate) const LABEL: &[Row] = &[
    ("Cleaned on", WORK_DATE),
    ("Cleaner", "cleaner.nature"),
    ("Inhibitor put in", "protection.dose"),
    ("Left plain by its maker's word", "protection.left_plain"),
    ("On a volume of", "protection.volume"),
    ("Strength tested", "protection.strength"),
    ("Biocide put in", "protection.biocide_dosed"),
    ("Antifreeze", "circuit.antifreeze"),
    ("Its strength", "protection.antifreeze"),
    ("Cold that it is for", "protection.freeze_target"),
    ("Next test", NEXT_TEST),
];

/// The customer's page.
pub(crate) const FOUND: &[Row] = &[
    ("What you told us", "job.symptom"),
    ("How the water looked", "readings.system.appearance"),
    (
        "Dissolved matter in the heating water",
        "readings.system.tds",
    ),
    ("The same in your tap water", "readings.mains.tds"),
    ("Protection left in the water", "readings.system.inhibitor"),
    ("Leaks seen", "circuit.visible_leaks"),
];
pub(crate) const DONE: &[Row] = &[
    ("Day of the work", WORK_DATE),
    ("Kind of cleaner", "cleaner.nature"),
    ("Fresh water used for rinsing", "flush.fresh_water"),
    ("How the water looked at the end", "proof.clarity"),
    ("Dissolved matter at the end", "proof.tds"),
    ("Cleaner left in the water", "proof.cleaner_residual"),
    ("Filter emptied afterwards", "filter.cleaned_after"),
    ("Protection put in", "protection.inhibitor_dosed"),
    ("Its strength when tested", "protection.strength"),
    ("Radiators balanced", "hand_back.balanced"),
    ("Shown to you", "hand_back.customer_shown"),
];

const ANTIFREEZE: &str = "The water holds antifreeze. Plain water thins it until it no longer stands the frost, so call \
                          before anything is topped up, and have its strength tested with the water each year.";

/// What to expect, in plain words; some of it only where a field says so.
pub(crate) const EXPECT: &[(Option<(&str, &str)>, &str)] = &[
    (
        None,
        "In the first days bleed air from the radiators if you hear it gurgle. A little is normal; air that keeps \
         coming back is not.",
    ),
    (
        Some((CIRCUIT_KIND, "sealed")),
        "The pressure gauge may fall a little in the first days as air leaves the water. If it keeps falling, or \
         you have to top up again and again, call: fresh water uses the protection up.",
    ),
    (
        Some((CIRCUIT_KIND, "open vented")),
        "The small cistern tops the system up by itself. If you hear it fill again and again, call: fresh water \
         uses the protection up.",
    ),
    (Some(("circuit.antifreeze", "propylene glycol")), ANTIFREEZE),
    (Some(("circuit.antifreeze", "ethylene glycol")), ANTIFREEZE),
    (
        Some(("filter.kind", "magnetic")),
        "The filter may be black the first time it is opened. It should be cleaner each year.",
    ),
    (
        Some(("filter.kind", "magnetic cyclonic")),
        "The filter may be black the first time it is opened. It should be cleaner each year.",
    ),
    (
        None,
        "If a radiator stays cold, or any joint is damp, call before you turn anything.",
    ),
    (
        None,
        "Have the water tested every year. Whenever water is drained from the system, the protection has to be \
         put in again.",
    ),
];

/// Every field that is shown, each with the list that it stands in.
pub fn fields() -> Vec<(Of, &'static str)> {
    let own = [
        REFERENCE,
        WORK_DATE,
        NOTES,
        NEXT_TEST,
        DOCUMENTS,
        MAINS_TEMPERATURE,
    ];
    let tables = [SETTINGS, WATER].into_iter().flatten();
    let rows = tables.flat_map(|table| table.rows);
    let rows = rows.chain(DOSED).chain(LABEL).chain(FOUND).chain(DONE);
    let expect = EXPECT.iter().filter_map(|(when, _)| *when);
    let of_survey = own.into_iter().chain(rows.map(|(_, path)| *path));
    let of_survey = of_survey.chain(expect.map(|(path, _)| path));
    let of_emitter = [ID, FLOOR, FLUSHED, EMITTER_KIND, TAKEN_OFF.0].into_iter();
    let of_emitter = of_emitter.chain(FLOW_VALVE).chain(RETURN_VALVE);
    let of_emitter = of_emitter.chain(TEMPERATURES.iter().map(|(_, path)| *path));
    let logged = LOGGED.iter().map(|(_, path)| (Some(FLUSH_LOG), *path));
    let of_survey = of_survey.map(|path| (None, path));
    let of_emitter = of_emitter.map(|path| (Some(EMITTERS), path));
    let drawn = DRAWN.iter().flat_map(Drawn::fields);
    of_survey
        .chain(of_emitter)
        .chain(logged)
        .chain(drawn)
        .collect()
}

/// Every field of which some words mean something here, each with those words and whether they are all.
pub fn words() -> Vec<(Of, &'static str, Vec<&'static str>, bool)> {
    let expect = EXPECT.iter().filter_map(|(when, _)| *when);
    let mut all: Vec<_> = expect
        .map(|(path, word)| (None, path, vec![word], false))
        .collect();
    let of_emitter = Some(EMITTERS);
    for one in [FLOW_SET, RETURN_SET] {
        all.push((
            of_emitter,
            one.path,
            one.words.iter().map(|(word, _)| *word).collect(),
            true,
        ));
    }
    for path in [FLOW_VALVE[3], RETURN_VALVE[3]] {
        all.push((of_emitter, path, VALVE_BACK.to_vec(), false));
    }
    for path in [FLOW_VALVE[0], RETURN_VALVE[0]] {
        all.push((of_emitter, path, vec![NO_VALVE], false));
    }
    all.push((of_emitter, FLOW_VALVE[0], vec![TWIN_ENTRY], false));
    all.push((of_emitter, TAKEN_OFF.0, vec![TAKEN_OFF.1], false));
    all.extend(DRAWN.iter().flat_map(Drawn::words));
    all
}
