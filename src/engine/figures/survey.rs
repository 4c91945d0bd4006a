//! The fields and words of a survey that figures read. They are spelt here and nowhere else.
//!
//! Contract: names alone. A constant for each field, and for a field of words what each word means to
//! the figures. A test holds every field to the schema, and every choice to all words of its field: a
//! word that the schema drops, adds or renames is a failing test, and none falls through unseen.

use wetside_house::{Layout, Point, Range, Valve};

/// A field of words: each with what it means here.
pub(crate) struct Choice<T: 'static> {
    pub path: &'static str,
    pub words: &'static [(&'static str, T)],
    /// The words alone.
    pub names: &'static [&'static str],
}

impl<T: Copy> Choice<T> {
    pub(crate) fn meaning(&self, word: &str) -> Option<T> {
        let mut words = self.words.iter();
        words.find(|(one, _)| *one == word).map(|(_, meant)| *meant)
    }
}

/// The list that its elements' fields stand in; nothing for a field of the survey itself.
pub type Of = Option<&'static str>;

/// A constant for each field, and the list of all of them with where they stand.
macro_rules! fields {
    ($($list:expr => $($name:ident = $path:literal,)+;)+) => {
        $($(pub(crate) const $name: &str = $path;)+)+
        pub const FIELDS: &[(Of, &str)] = &[$($(($list, $name)),+),+];
    };
}

/// A constant for each field of words, and the list of all of them with their words.
macro_rules! choices {
    ($($list:expr => $($(#[$doc:meta])* $name:ident: $type:ty = $path:literal {
        $($($word:literal)|+ => $meaning:expr,)+
    })+;)+) => {
        $($($(#[$doc])* pub(crate) const $name: Choice<$type> = Choice {
            path: $path,
            words: &[$($(($word, $meaning)),+),+],
            names: &[$($($word),+),+],
        };)+)+
        pub const CHOICES: &[(Of, &str, &[&str])] = &[$($(($list, $path, &[$($($word),+),+])),+),+];
    };
}

pub(crate) const EMITTERS: &str = "emitters";
pub(crate) const HEAT_SOURCES: &str = "heat_sources";
pub(crate) const CONTROLS: &str = "controls";
pub(crate) const FLUSH_LOG: &str = "flush_log";
/// An element's name.
pub(crate) const ID: &str = "id";

fields! {
    None =>
        DESIGN_TEMPERATURE = "circuit.design_temperature",
        GLYCOL_STRENGTH = "circuit.glycol",
        LONGEST_RUN = "circuit.longest_run",
        MAIN_BORE = "circuit.main_bore",
        MEASURED_VOLUME = "circuit.measured_volume",
        STATIC_HEIGHT = "circuit.static_height",
        WEAKEST_HEIGHT = "circuit.weakest_part.height",
        WEAKEST_RATED = "circuit.weakest_part.rated",
        CLEANER_CONTAINER = "cleaner.container",
        CLEANER_HOTTEST = "cleaner.maximum_temperature",
        PLANNED_TEMPERATURE = "cleaner.planned_temperature",
        CLEANER_RATE = "cleaner.rate",
        DRAIN_TAKES = "drain.acceptance",
        DUMP_HOSE_LENGTH = "drain.hose_length",
        LEAD_SECTION = "electrical.lead.conductor",
        LEAD_LENGTH = "electrical.lead.length",
        TRANSFORMER_VOLTAGE = "electrical.rcd.transformer_voltage",
        DUMP_FLOW = "flush.dump_flow",
        FLUSH_TEMPERATURE = "flush.temperature",
        BUFFER_PIPES = "hot_water.buffer.pipes",
        BUFFER_VOLUME = "hot_water.buffer.volume",
        STORE_VOLUME = "hot_water.store.volume",
        CONNECTION_BORE = "machine.connection_bore",
        CONNECTION_FLOOR = "machine.connection_floor",
        FREEBOARD = "machine.freeboard",
        HEIGHT_ABOVE_LOWEST = "machine.height_above_lowest",
        HOSE_BORE = "machine.hose_bore",
        HOSE_LENGTH = "machine.hose_length",
        HOSE_RATED = "machine.hose_rated_temperature",
        MEASURED_FLOW = "machine.measured_flow",
        MEASURED_PRESSURE = "machine.measured_pressure",
        MACHINE_POWER = "machine.power",
        RATED_FLOW = "machine.rated_flow",
        MACHINE_RATED = "machine.rated_temperature",
        SHUT_OFF_PRESSURE = "machine.shut_off_pressure",
        MACHINE_STOREY = "machine.storey",
        TANK = "machine.tank",
        STOREYS = "premises.storeys",
        REVERSAL_INTERVAL = "flush.reversal_interval",
        PROOF_TDS = "proof.tds",
        PROOF_TEMPERATURE = "proof.temperature",
        ANTIFREEZE_STRENGTH = "protection.antifreeze",
        INHIBITOR_CONTAINER = "protection.container",
        INHIBITOR_RATE = "protection.rate",
        MAINS_TDS = "readings.mains.tds",
        MAINS_TEMPERATURE = "readings.mains.temperature",
        SYSTEM_TDS = "readings.system.tds",
        RELIEF_SETTING = "sealed.relief_setting",
        VESSEL_CHARGE = "sealed.vessel_charge",
        VESSEL_SIZE = "sealed.vessel_size",
        COLD_FILL = "hand_back.cold_pressure",
        FLOOR_BORE = "underfloor.bore",
        FLOOR_LOOP_LENGTH = "underfloor.loop_length",
        FLOOR_LOOPS = "underfloor.loops",
        FLOOR_HOTTEST = "underfloor.maximum_temperature",
        TAP_FLOW = "water_supply.flow",
    ;
    Some(EMITTERS) =>
        FOOT_BEFORE = "before.bottom",
        TOP_BEFORE = "before.top",
        EMITTER_FLOOR = "floor",
        PANELS = "panels",
        HEIGHT = "size.height",
        LENGTH = "size.length",
        TAIL_BORE = "tails.bore",
        TAIL_LENGTH = "tails.length",
    ;
    Some(HEAT_SOURCES) =>
        OUTPUT = "output",
    ;
    Some(FLUSH_LOG) =>
        LOGGED_AT = "at",
        LOGGED_BRANCH = "branch",
        LOGGED_TDS = "discharge_tds",
        LOGGED_TEMPERATURE = "discharge_temperature",
    ;
}

/// What is known of an emitter's kind.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(crate) enum EmitterKind {
    Panel,
    Column,
    TowelRail,
    Convector,
}

/// What a heat source is, as far as its water goes.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(crate) enum SourceKind {
    WallHung,
    GasHeatOnly,
    Oil,
    Electric,
    Solid,
    Biomass,
    HeatPump,
    InterfaceUnit,
    Chp,
    SolarThermal,
}

/// Where the water of a heat source goes during the flush.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(crate) enum SourceStands {
    LeftIn,
    Isolated,
    Bypassed,
}

/// Where tap water is made hot: whether heating water passes a coil, and whether it stands in a store.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(crate) enum HotWater {
    /// Nothing of it beside the circuit.
    NoCoil,
    Coil,
    /// A cylinder that primes itself from its tap water.
    SingleFeed,
    Store,
}

#[derive(Clone, Copy, PartialEq, Eq)]
pub enum Pipe {
    Copper,
    Plastic,
    Steel,
}

#[derive(Clone, Copy, PartialEq, Eq)]
pub(crate) enum ControlKind {
    Bypass,
    Header,
    Check,
    Other,
}

/// How a control stands: whether water can pass a bypass, and whether it can pass a check valve.
#[derive(Clone, Copy)]
pub(crate) struct ControlSet {
    /// Nothing where there is no telling.
    pub passes: Option<bool>,
    pub bridged: bool,
}

const fn set(passes: Option<bool>, bridged: bool) -> ControlSet {
    ControlSet { passes, bridged }
}

#[derive(Clone, Copy, PartialEq, Eq)]
pub(crate) enum Antifreeze {
    None,
    Propylene,
    Ethylene,
}

#[derive(Clone, Copy, PartialEq, Eq)]
pub(crate) enum HeatedBy {
    HeatSource,
    Machine,
    Nothing,
}

choices! {
    None =>
        LAYOUT: Layout = "circuit.layout" {
            "two-pipe" => Layout::TwoPipe,
            "one-pipe" => Layout::OnePipe,
            "manifold microbore" => Layout::Microbore,
            "radial" => Layout::Radial,
            "underfloor only" => Layout::Underfloor,
            "mixed" => Layout::Mixed,
        }
        PIPES: Pipe = "circuit.pipe_materials" {
            "copper" | "stainless steel" => Pipe::Copper,
            "steel" | "galvanised steel" => Pipe::Steel,
            "barrier plastic" | "plastic without barrier" | "plastic of unknown kind" | "multilayer" => Pipe::Plastic,
        }
        ANTIFREEZE: Antifreeze = "circuit.antifreeze" {
            "none" => Antifreeze::None,
            "propylene glycol" => Antifreeze::Propylene,
            "ethylene glycol" => Antifreeze::Ethylene,
        }
        /// Whether there is a cleaner.
        CLEANER: bool = "cleaner.nature" {
            "none" => false,
            "neutral" | "alkaline" | "mild acid" | "strong acid" | "biocidal" => true,
        }
        ACID: bool = "cleaner.nature" {
            "mild acid" | "strong acid" => true,
            "none" | "neutral" | "alkaline" | "biocidal" => false,
        }
        CONNECTED_AT: Point = "machine.connected_at" {
            "pump housing" => Point::PumpHousing,
            "filter adapter" => Point::FilterAdapter,
            "heat source flow and return" => Point::HeatSource,
            "manifold" => Point::Manifold,
            "radiator tails" => Point::RadiatorTails,
        }
        POINTS_AVAILABLE: Point = "machine.points_available" {
            "pump housing" => Point::PumpHousing,
            "filter adapter" => Point::FilterAdapter,
            "heat source flow and return" => Point::HeatSource,
            "manifold" => Point::Manifold,
            "radiator tails" => Point::RadiatorTails,
        }
        /// Whether the piece of a one-pipe loop under the emitter in turn is blocked.
        ONE_PIPE_METHOD: bool = "flush.one_pipe_method" {
            "loop blocked" | "radiators removed" => true,
            "none" => false,
        }
        HEAT_BY: HeatedBy = "flush.heat_by" {
            "heat source" => HeatedBy::HeatSource,
            "machine" => HeatedBy::Machine,
            "none" => HeatedBy::Nothing,
        }
        HOT_WATER: HotWater = "hot_water.kind" {
            "none" | "combination boiler plate" | "direct cylinder" => HotWater::NoCoil,
            "indirect vented cylinder" | "indirect unvented cylinder" => HotWater::Coil,
            "single-feed cylinder" => HotWater::SingleFeed,
            "vented thermal store" | "sealed thermal store" | "heat bank" => HotWater::Store,
        }
        STORE_SHARES: bool = "hot_water.store.shares_heating_water" { "yes" => true, "no" => false, }
        /// Whether it stays in the circuit.
        STORE_STAYS: bool = "hot_water.store.during_flush" { "in the circuit" => true, "isolated" => false, }
        BUFFER_FITTED: bool = "hot_water.buffer.fitted" { "yes" => true, "no" => false, }
        /// Whether it stays in the circuit.
        BUFFER_STAYS: bool = "hot_water.buffer.during_flush" { "in the circuit" => true, "isolated" => false, }
        FLOOR_FITTED: bool = "underfloor.fitted" { "yes" => true, "no" => false, }
        LEAD_USED: bool = "electrical.lead.used" { "yes" => true, "no" => false, }
        /// Whether a transformer feeds the machine.
        SUPPLIED_THROUGH: bool = "electrical.rcd.kind" {
            "isolating transformer" => true,
            "none" | "fixed" | "plug-in" => false,
        }
        COMPENSATED: bool = "readings.mains.compensated" { "yes" => true, "no" => false, }
        /// Whether inhibitor is dosed through the machine.
        DOSED_THROUGH: bool = "protection.dosed_through" {
            "machine" => true,
            "filter" | "radiator" | "cistern" | "filling loop" => false,
        }
    ;
    Some(EMITTERS) =>
        EMITTER_KIND: EmitterKind = "kind" {
            "panel radiator" => EmitterKind::Panel,
            "column radiator" => EmitterKind::Column,
            "towel rail" => EmitterKind::TowelRail,
            "convector" | "fan convector" => EmitterKind::Convector,
        }
        DROP_FEED: bool = "drop_feed" { "yes" => true, "no" => false, }
        /// Where on its leg, from the riser to the farthest take-off.
        TAKE_OFF: Range = "take_off" {
            "first third" => Range::new(0.0, 1.0 / 3.0),
            "middle third" => Range::new(1.0 / 3.0, 2.0 / 3.0),
            "last third" => Range::new(2.0 / 3.0, 1.0),
        }
        /// The valve, and whether it may let water pass one way only.
        FLOW_VALVE: (Valve, bool) = "flow_valve.kind" {
            "wheelhead" => (Valve::Wheelhead, false),
            "thermostatic" | "smart thermostatic" => (Valve::Thermostatic, false),
            "one-way thermostatic" => (Valve::Thermostatic, true),
            "twin entry" => (Valve::TwinEntry, false),
            "none" => (Valve::None, false),
        }
        /// Whether nothing of its head is left to close it.
        FLOW_VALVE_OPENED: bool = "flow_valve.set" {
            "head removed" | "fully open" => true,
            "at maximum" | "closed" | "left as found" => false,
        }
        RETURN_VALVE: Valve = "return_valve.kind" {
            "lockshield" => Valve::Lockshield,
            "wheelhead" => Valve::Wheelhead,
            "return limiter" => Valve::Limiter,
            "none" => Valve::None,
        }
    ;
    Some(HEAT_SOURCES) =>
        SOURCE_KIND: SourceKind = "kind" {
            "gas combination" | "gas system" | "LPG" => SourceKind::WallHung,
            "gas heat only" => SourceKind::GasHeatOnly,
            "oil" => SourceKind::Oil,
            "electric boiler" => SourceKind::Electric,
            "solid fuel" | "range cooker" => SourceKind::Solid,
            "biomass" => SourceKind::Biomass,
            "monobloc heat pump" | "split heat pump" | "ground source heat pump" => SourceKind::HeatPump,
            "indirect interface unit" | "direct interface unit" => SourceKind::InterfaceUnit,
            "CHP" => SourceKind::Chp,
            "solar thermal" => SourceKind::SolarThermal,
        }
        SOURCE_STANDS: SourceStands = "during_flush" {
            "left in" | "left in by consent" => SourceStands::LeftIn,
            "isolated" => SourceStands::Isolated,
            "bypassed" => SourceStands::Bypassed,
        }
    ;
    Some(CONTROLS) =>
        CONTROL_KIND: ControlKind = "kind" {
            "automatic bypass" | "gate bypass" => ControlKind::Bypass,
            "low-loss header" => ControlKind::Header,
            "anti-gravity valve" | "non-return valve" => ControlKind::Check,
            "two-port valve" | "mid-position valve" | "diverter valve" | "automatic air vent"
                | "pressure-independent valve" | "mixing valve" => ControlKind::Other,
        }
        CONTROL_SET: ControlSet = "set" {
            "closed" | "isolated" => set(Some(false), false),
            "open" | "locked open" => set(Some(true), false),
            "held open" => set(Some(true), true),
            "bridged" | "removed" | "cartridge removed" => set(None, true),
            "head removed" | "held mid" | "left as found" => set(None, false),
        }
    ;
}

/// The survey's word for a point of connection.
pub fn word_of(point: Point) -> &'static str {
    let mut words = CONNECTED_AT.words.iter();
    let found = words.find(|(_, meant)| *meant == point);
    found.map_or("", |(word, _)| word)
}
