//! Reading `need.toml` (format `narrows need 1`).

use super::amplifiers::amplifiers;
use super::assume::{self, Assumptions};
use super::{
    CapacitorRule, DrawerRule, Levels, Listening, Need, PartRules, Phones, ResistorRule,
    StatedLevels, StatedListening, StatedPhones, Supply,
};
use document::{Complaints, Document, Objection, Table};
use parts::{Dielectric, Series};
use units::{AmpereHours, DecibelsPerMilliwatt, Farads, Ohms, Quantity, Ratio, Volts, Wpm};

/// Reads a need and fills what it leaves out by the rules of `assume.rs` beside this file.
///
/// # Errors
/// Every complaint about the text, each with its place.
pub fn read(name: &str, text: &str) -> Result<Need, Complaints> {
    Document::parse(name, text)?.read("narrows need", 1, |root| {
        let mut told = Assumptions::default();
        let title = root.text("title").or("Untitled need").to_owned();
        let listening = listening(root, &mut told);
        let levels = levels(root, &mut told);
        let supply = supply(root, &mut told);
        let parts = parts(root, supply.as_ref(), &mut told);
        Some(Need {
            title,
            listening: listening?,
            levels,
            supply: supply?,
            parts: parts?,
            assumed: told.0,
        })
    })
}

fn listening(root: &Table<'_>, told: &mut Assumptions) -> Option<Listening> {
    let table = root
        .table("listening")
        .required_as("{ pitch = \"650 Hz\" }")?;
    let stated = StatedListening::read(&table);
    if !table.has("pitch") {
        table.complain(
            "pitch",
            Objection::new(
                "no pitch",
                "pitch = \"650 Hz\", 200 Hz to 1200 Hz",
                "measure the pitch you tune to, and set the radio's offset to it; it is never assumed",
            ),
        );
    }
    let speed = told.fill(
        stated.speed,
        Wpm(20.0),
        "speed {}: an everyday speed (common practice)",
    );
    let width = told.fill(
        stated.width,
        assume::width(speed),
        "width {} 6 dB down: necessary bandwidth of the speed with K = 5 [SM1138], and 40 Hz to tune in",
    );
    let tail = told.fill(
        stated.tail,
        assume::tail(speed),
        "tail {}: a quarter of a dit (common practice)",
    );
    let neighbours = stated.neighbours.unwrap_or_else(|| {
        let assumed = assume::neighbours(stated.pitch, width);
        let each: Vec<String> = assumed
            .iter()
            .map(|n| format!("{:+.0} Hz", n.offset.si()))
            .collect();
        told.note(&format!(
            "neighbours 30 dB down at {}: barely audible (common practice)",
            each.join(" and ")
        ));
        assumed
    });
    Some(Listening {
        pitch: stated.pitch?,
        speed,
        width,
        tail,
        neighbours,
    })
}

fn levels(root: &Table<'_>, told: &mut Assumptions) -> Levels {
    let stated = root
        .table("levels")
        .optional()
        .map_or_else(StatedLevels::default, |t| StatedLevels::read(&t));
    let signal = told.fill(
        stated.signal,
        Volts(0.1),
        "comfortable signal {} rms at the input (common practice)",
    );
    let strongest = told.fill(
        stated.strongest,
        Volts(1.0_f64.max(signal.si())),
        "strongest signal {} rms at the input (common practice)",
    );
    let source = told.fill(
        stated.source,
        Ohms(100.0),
        "source impedance {}: a headphone socket (common practice)",
    );
    let phones = stated.phones.unwrap_or_else(|| {
        told.note("phones of 32 Ω and 100 dB/mW (common practice)");
        StatedPhones::These(Phones {
            impedance: Ohms(32.0),
            sensitivity: DecibelsPerMilliwatt(100.0),
        })
    });
    let (load, heard) = match phones {
        StatedPhones::These(phones) => (phones.impedance, "these phones get"),
        StatedPhones::None => {
            let load = told.fill(
                stated.load,
                Ohms(10e3),
                "load {}: the line input of an amplifier or a computer (common practice)",
            );
            (load, "that input gets")
        }
    };
    let gain = told.fill(
        stated.gain,
        assume::gain(source, load),
        &format!("gain {{}} at the pitch: what {heard} straight from the source, so that bypass and filter sound alike"),
    );
    Levels {
        signal,
        strongest,
        source,
        gain,
        phones: phones.phones(),
        load,
    }
}

fn supply(root: &Table<'_>, told: &mut Assumptions) -> Option<Supply> {
    let Some(table) = root.table("supply").optional() else {
        told.note("supply 9 V, down to 7 V, 500 mAh: a 9 V block (common practice)");
        return Some(Supply {
            voltage: Volts(9.0),
            lowest: Volts(7.0),
            capacity: Some(AmpereHours(0.5)),
        });
    };
    let voltage = table
        .quantity::<Volts>("voltage")
        .within(Volts(1.8), Volts(36.0))
        .required();
    let lowest = table.quantity::<Volts>("lowest").positive().optional();
    let capacity = table
        .quantity::<AmpereHours>("capacity")
        .positive()
        .optional();
    let voltage = voltage?;
    if let Some(lowest) = lowest.filter(|l| *l > voltage) {
        table.complain(
            "lowest",
            Objection::new(
                format!("{lowest}, above the fresh voltage of {voltage}"),
                format!("at most {voltage}"),
                "give the voltage at which the battery is changed",
            ),
        );
    }
    let lowest = told.fill(
        lowest,
        Volts((voltage.si() * 7.0 / 9.0 * 10.0).round() / 10.0),
        "lowest supply {}: seven ninths of the fresh voltage (common practice)",
    );
    Some(Supply {
        voltage,
        lowest,
        capacity,
    })
}

fn parts(root: &Table<'_>, supply: Option<&Supply>, told: &mut Assumptions) -> Option<PartRules> {
    let table = root.table("parts").optional();
    let inner = |key| table.as_ref().and_then(|t| t.table(key).optional());
    let resistors = resistors(inner("resistors"), told);
    let capacitors = capacitors(inner("capacitors"), told);
    let listed = table.as_ref().and_then(|t| amplifiers(t, supply, told));
    let opamps = listed.or_else(|| {
        let supply = supply?;
        let Some(model) = assume::opamp(supply) else {
            feeds_none(root, supply);
            return None;
        };
        told.note(&format!(
            "op-amps {}, for this supply (common practice)",
            model.name
        ));
        Some(vec![model.clone()])
    });
    let most = inner("stages").and_then(|t| t.whole("most", 1, 6).required());
    let most_stages = most.unwrap_or_else(|| {
        told.note("at most 4 stages");
        4
    });
    let drawer = table.as_ref().and_then(drawer);
    if table.as_ref().is_some_and(|t| t.has("drawer")) {
        ["resistors", "capacitors"]
            .into_iter()
            .filter_map(inner)
            .for_each(|t| pairs_are_for_sale_only(&t));
    }
    Some(PartRules {
        resistors: resistors?,
        capacitors: capacitors?,
        opamps: opamps?,
        most_stages,
        drawer,
    })
}

/// The drawer's file, which stands beside the need's.
fn drawer(table: &Table<'_>) -> Option<DrawerRule> {
    let named = table.text("drawer").refine(|file| {
        if file.trim().is_empty() {
            return Err(Objection::new(
                "an empty name",
                "the name of a CSV file beside this one",
                "write drawer = \"drawer.csv\", or leave the line out",
            ));
        }
        Ok(file.to_owned())
    });
    let file = named.optional()?;
    Some(DrawerRule { file, stock: None })
}

fn pairs_are_for_sale_only(table: &Table<'_>) {
    if table.flag("pairs").or(false) {
        table.complain(
            "pairs",
            Objection::new(
                "pairs = true beside a drawer",
                "pairs, or a drawer: the pieces of a drawer are shared out one by one",
                "leave out pairs, or plan without the drawer",
            ),
        );
    }
}

fn resistors(table: Option<Table<'_>>, told: &mut Assumptions) -> Option<ResistorRule> {
    let Some(table) = table else {
        told.note("resistors of E24, 1 %, 1 kΩ to 1 MΩ (common practice)");
        return Some(ResistorRule {
            series: "E24".to_owned(),
            tolerance: Ratio(0.01),
            from: Ohms(1e3),
            to: Ohms(1e6),
            pairs: false,
        });
    };
    let series = series(&table, "E24");
    let tolerance = tolerance(&table).or(Some(Ratio(0.01)));
    let from = table
        .quantity::<Ohms>("from")
        .within(Ohms(10.0), Ohms(10e6))
        .or(Ohms(1e3));
    let to = table
        .quantity::<Ohms>("to")
        .within(Ohms(10.0), Ohms(10e6))
        .or(Ohms(1e6));
    let pairs = table.flag("pairs").or(false);
    a_decade_apart(&table, from.si(), to.si());
    Some(ResistorRule {
        series: series?,
        tolerance: tolerance?,
        from,
        to,
        pairs,
    })
}

fn capacitors(table: Option<Table<'_>>, told: &mut Assumptions) -> Option<CapacitorRule> {
    let Some(table) = table else {
        told.note("capacitors of E6 film, 5 %, 1 nF to 220 nF (common practice)");
        return Some(CapacitorRule {
            series: "E6".to_owned(),
            tolerance: Ratio(0.05),
            kind: Dielectric::Film,
            from: Farads(1e-9),
            to: Farads(220e-9),
            pairs: false,
            unequal: false,
        });
    };
    let series = series(&table, "E6");
    let tolerance = tolerance(&table).or(Some(Ratio(0.05)));
    let kind = table
        .text("kind")
        .refine(str::parse::<Dielectric>)
        .or(Dielectric::Film);
    let from = table
        .quantity::<Farads>("from")
        .within(Farads(10e-12), Farads(10e-6))
        .or(Farads(1e-9));
    let to = table
        .quantity::<Farads>("to")
        .within(Farads(10e-12), Farads(10e-6))
        .or(Farads(220e-9));
    let pairs = table.flag("pairs").or(false);
    let unequal = table.flag("unequal").or(false);
    a_decade_apart(&table, from.si(), to.si());
    Some(CapacitorRule {
        series: series?,
        tolerance: tolerance?,
        kind,
        from,
        to,
        pairs,
        unequal,
    })
}

/// A supply on which no known op-amp works, where the need lists none.
fn feeds_none(root: &Table<'_>, supply: &Supply) {
    if let Some(table) = root.table("supply").optional() {
        table.complain(
            "lowest",
            Objection::new(
                format!("a supply from {} to {}", supply.lowest, supply.voltage),
                "a supply on which at least one known op-amp works all the time",
                "give the voltage at which the battery is changed: lowest = \"7 V\" for a 9 V block",
            ),
        );
    }
}

fn series(table: &Table<'_>, default: &str) -> Option<String> {
    let entry = table.text("series");
    let given = entry.is_present();
    let read = entry
        .refine(|text| text.parse::<Series>().map(|s| s.name().to_owned()))
        .optional();
    if given {
        read
    } else {
        Some(default.to_owned())
    }
}

fn tolerance(table: &Table<'_>) -> Option<Ratio> {
    table
        .quantity::<Ratio>("tolerance")
        .within(Ratio(1e-4), Ratio(0.8))
        .optional()
}

fn a_decade_apart(table: &Table<'_>, from: f64, to: f64) {
    if to < 10.0 * from {
        table.complain(
            "to",
            Objection::new(
                "a range narrower than a decade",
                "a greatest value at least ten times the least",
                "widen the range from … to …: no stage can be chosen from less",
            ),
        );
    }
}
