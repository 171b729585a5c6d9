//! What each dielectric is fit for, read once from `data/dielectrics.toml`.

use std::fmt;
use std::str::FromStr;
use std::sync::LazyLock;

use document::{Complaints, Document, Objection, Table, nearest};
use units::Ratio;

use crate::{Dielectric, Fitness, Place};

/// What is known of one dielectric.
#[derive(Debug, Clone, PartialEq)]
pub struct DielectricFacts {
    /// Which one.
    pub dielectric: Dielectric,
    /// What it is called in a sentence (`polyester film`).
    pub name: String,
    /// How people write it, in lower case; the first is the one we write.
    pub aliases: Vec<String>,
    /// Tolerance commonly sold.
    pub tolerance: Ratio,
    /// Typical slope with temperature near 25 °C, 1/K; `None` where it is no line.
    pub slope_per_kelvin: Option<f64>,
    /// What moves its value, in words.
    pub drift: String,
    /// Whether it must be put in the right way round.
    pub polarised: bool,
    /// Fitness to set a frequency, to couple, to decouple.
    fitness: [Fitness; 3],
    /// Where this comes from.
    pub source: String,
}

impl DielectricFacts {
    /// How fit it is for a place.
    #[must_use]
    pub fn fitness(&self, place: Place) -> Fitness {
        self.fitness[place as usize]
    }
}

static FACTS: LazyLock<Vec<DielectricFacts>> = LazyLock::new(|| {
    let text = include_str!("../data/dielectrics.toml");
    match read("dielectrics.toml", text) {
        Ok(facts) => facts,
        // The file is part of the program; a test reads it.
        Err(complaints) => panic!("the built-in dielectric data are unsound:\n{complaints}"),
    }
});

const KEYS: [(&str, Dielectric); 10] = [
    ("c0g", Dielectric::C0g),
    ("film", Dielectric::Film),
    ("polyester", Dielectric::Polyester),
    ("polypropylene", Dielectric::Polypropylene),
    ("polystyrene", Dielectric::Polystyrene),
    ("x7r", Dielectric::X7r),
    ("y5v", Dielectric::Y5v),
    ("electrolytic", Dielectric::Electrolytic),
    ("tantalum", Dielectric::Tantalum),
    ("unknown", Dielectric::Unknown),
];

impl Dielectric {
    /// What is known of it.
    ///
    /// # Panics
    /// Never: a test holds that every dielectric is in the data.
    #[must_use]
    pub fn facts(self) -> &'static DielectricFacts {
        let found = FACTS.iter().find(|f| f.dielectric == self);
        found.unwrap_or_else(|| panic!("{self:?} is not in the built-in dielectric data"))
    }

    /// The word it is written with in files (`film`, `c0g`).
    #[must_use]
    pub fn word(self) -> &'static str {
        &self.facts().aliases[0]
    }

    /// The word for people: a code as the trade prints it (`C0G`, `X7R`), a name as it is (`film`).
    #[must_use]
    pub fn code(self) -> &'static str {
        match self {
            Dielectric::C0g => "C0G",
            Dielectric::X7r => "X7R",
            Dielectric::Y5v => "Y5V",
            named => named.word(),
        }
    }

    /// How fit it is for a place.
    #[must_use]
    pub fn fitness(self, place: Place) -> Fitness {
        self.facts().fitness(place)
    }

    /// Whether it must be put in the right way round.
    #[must_use]
    pub fn is_polarised(self) -> bool {
        self.facts().polarised
    }
}

impl fmt::Display for Dielectric {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.facts().name)
    }
}

impl FromStr for Dielectric {
    type Err = Objection;

    /// Reads it however people write it (`NP0`, `MKT`, `elko`).
    fn from_str(text: &str) -> Result<Dielectric, Objection> {
        let wanted = text.trim().to_lowercase();
        let written =
            |f: &&DielectricFacts| f.aliases.contains(&wanted) || f.name.to_lowercase() == wanted;
        if let Some(facts) = FACTS.iter().find(written) {
            return Ok(facts.dielectric);
        }
        let all = FACTS.iter().flat_map(|f| &f.aliases).map(String::as_str);
        let advice = match nearest(&wanted, all) {
            Some(meant) => format!("write \"{meant}\""),
            None => "write \"unknown\" if it is not known".to_owned(),
        };
        let words: Vec<&str> = KEYS.iter().map(|k| k.1.word()).collect();
        Err(Objection::new(
            format!("the dielectric \"{text}\""),
            words.join(", "),
            advice,
        ))
    }
}

fn read(name: &str, text: &str) -> Result<Vec<DielectricFacts>, Complaints> {
    Document::parse(name, text)?.read("narrows dielectrics", 1, |root| {
        let tables = root.tables("dielectric").required()?;
        tables.iter().map(facts).collect()
    })
}

fn facts(table: &Table<'_>) -> Option<DielectricFacts> {
    let grades = [
        ("good", Fitness::Good),
        ("fair", Fitness::Fair),
        ("unfit", Fitness::Unfit),
    ];
    let fit = |key: &str| table.choice(key, &grades).required();
    let aliases = table.texts("aliases").required()?;
    Some(DielectricFacts {
        dielectric: table.choice("key", &KEYS).required()?,
        name: table.text("name").required()?.to_owned(),
        aliases: aliases.iter().map(|a| a.value.to_owned()).collect(),
        tolerance: table.quantity("tolerance").positive().required()?,
        slope_per_kelvin: table.number("slope").optional().map(|ppm| ppm * 1e-6),
        drift: table.text("drift").required()?.to_owned(),
        polarised: table.flag("polarised").required()?,
        fitness: [
            fit("frequency_setting")?,
            fit("coupling")?,
            fit("decoupling")?,
        ],
        source: table.text("source").required()?.to_owned(),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The built-in file is sound and complete; the complaints are shown when it is not.
    #[test]
    fn the_data_file_reads() {
        match read("dielectrics.toml", include_str!("../data/dielectrics.toml")) {
            Ok(facts) => {
                for (key, dielectric) in KEYS {
                    assert!(facts.iter().any(|f| f.dielectric == dielectric), "{key}");
                }
            }
            Err(complaints) => panic!("{complaints}"),
        }
    }
}
