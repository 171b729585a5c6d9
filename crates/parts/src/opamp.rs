//! The numbers that stand for one op-amp type, per amplifier.

use units::{Amperes, Farads, Hertz, Ohms, Volts};

/// White noise density with its 1/f corner: `e²(f) = white² (1 + corner/f)`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Corner {
    /// White level, V/√Hz or A/√Hz.
    pub white: f64,
    /// Frequency at which the 1/f part equals the white part.
    pub corner: Hertz,
}

/// How near a rail a node may come.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RailLimit {
    /// Volts below the positive rail.
    pub below_positive: Volts,
    /// Volts above the negative rail (may be negative: the range reaches beyond it).
    pub above_negative: Volts,
}

/// Package pin numbers of one amplifier in a package.
#[derive(Debug, Clone, PartialEq)]
pub struct Pinout {
    /// Amplifiers in the package: 1, 2 or 4.
    pub amplifiers: usize,
    /// Pins of each amplifier: (plus, minus, out), in unit order A, B, C, D.
    pub units: Vec<(u8, u8, u8)>,
    /// Pin of the positive supply.
    pub positive: u8,
    /// Pin of the negative supply.
    pub negative: u8,
}

impl Pinout {
    /// The pins nearly every type shares with its package: 8 pins single and dual, 14
    /// pins quad (common practice). Any count but 1 and 2 is taken for a quad.
    #[must_use]
    pub fn usual(amplifiers: usize) -> Self {
        let (amplifiers, units, positive, negative) = match amplifiers {
            1 => (1, vec![(3, 2, 6)], 7, 4),
            2 => (2, vec![(3, 2, 1), (5, 6, 7)], 8, 4),
            _ => (
                4,
                vec![(3, 2, 1), (5, 6, 7), (10, 9, 8), (12, 13, 14)],
                4,
                11,
            ),
        };
        Pinout {
            amplifiers,
            units,
            positive,
            negative,
        }
    }
}

/// One op-amp type: everything the circuit's analyses need, per amplifier.
#[derive(Debug, Clone, PartialEq)]
pub struct OpampModel {
    /// Type as written on the package, or `ideal`.
    pub name: String,
    /// What kind of amplifier it is, in words (`JFET input, dual`).
    pub family: String,
    /// Open-loop gain at DC, V/V; infinite for the ideal one.
    pub dc_gain: f64,
    /// Gain-bandwidth product; infinite for the ideal one.
    pub gain_bandwidth: Hertz,
    /// Differential input resistance; infinite for the ideal one.
    pub input_resistance: Ohms,
    /// Differential input capacitance.
    pub input_capacitance: Farads,
    /// Open-loop output resistance.
    pub output_resistance: Ohms,
    /// Input voltage noise.
    pub voltage_noise: Corner,
    /// Input current noise, each input.
    pub current_noise: Corner,
    /// Input offset voltage, typical magnitude.
    pub offset: Volts,
    /// Input bias current; positive flows into the inputs.
    pub bias_current: Amperes,
    /// Where the inputs work.
    pub common_mode: RailLimit,
    /// Where the output reaches, lightly loaded.
    pub swing: RailLimit,
    /// Slew rate, V/s; infinite for the ideal one.
    pub slew_v_per_s: f64,
    /// Output current limit.
    pub output_current: Amperes,
    /// Quiescent supply current of one amplifier.
    pub supply_current: Amperes,
    /// Least and greatest total supply voltage.
    pub supply_range: (Volts, Volts),
    /// Package pins.
    pub pinout: Pinout,
    /// Where the numbers come from.
    pub source: String,
}

impl OpampModel {
    /// The textbook op-amp: no limits, no errors, no noise, no supply current.
    #[must_use]
    pub fn ideal() -> Self {
        let silent = Corner {
            white: 0.0,
            corner: Hertz(0.0),
        };
        let unbounded = RailLimit {
            below_positive: Volts(f64::NEG_INFINITY),
            above_negative: Volts(f64::NEG_INFINITY),
        };
        OpampModel {
            name: "ideal".to_owned(),
            family: "textbook amplifier".to_owned(),
            dc_gain: f64::INFINITY,
            gain_bandwidth: Hertz(f64::INFINITY),
            input_resistance: Ohms(f64::INFINITY),
            input_capacitance: Farads(0.0),
            output_resistance: Ohms(0.0),
            voltage_noise: silent,
            current_noise: silent,
            offset: Volts(0.0),
            bias_current: Amperes(0.0),
            common_mode: unbounded,
            swing: unbounded,
            slew_v_per_s: f64::INFINITY,
            output_current: Amperes(f64::INFINITY),
            supply_current: Amperes(0.0),
            supply_range: (Volts(0.0), Volts(f64::INFINITY)),
            pinout: Pinout {
                amplifiers: 1,
                units: vec![(3, 2, 6)],
                positive: 7,
                negative: 4,
            },
            source: "definition".to_owned(),
        }
    }

    /// Whether this is the textbook op-amp.
    #[must_use]
    pub fn is_ideal(&self) -> bool {
        self.dc_gain.is_infinite()
    }
}
