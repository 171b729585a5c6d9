//! Noise, levels and what reaches the ear.

use serde::Serialize;

/// One part's share of the output noise.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct NoiseShare {
    /// The part.
    #[serde(rename = "ref")]
    pub reference: String,
    /// Its noise at the output, 20 Hz to 20 kHz.
    pub output_v_rms: f64,
}

/// Noise that the circuit itself adds.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Noise {
    /// At the output, 20 Hz to 20 kHz.
    pub output_v_rms: f64,
    /// At the pitch, referred to the source.
    pub input_density_v_rthz: Option<f64>,
    /// By part, loudest first.
    pub by_part: Vec<NoiseShare>,
}

/// Gain from the source to one amplifier's output.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct StageLevel {
    /// The node.
    pub node: String,
    /// Gain at the pitch.
    pub gain_at_pitch_db: f64,
    /// Greatest gain at any audio frequency.
    pub peak_gain_db: f64,
    /// Where that is.
    pub peak_gain_hz: f64,
}

/// Source voltage at which the first amplifier clips, volts peak.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Clipping {
    /// For a tone at the pitch.
    pub at_pitch: Option<f64>,
    /// For a tone at the worst frequency.
    pub worst: Option<f64>,
    /// That frequency.
    pub worst_hz: Option<f64>,
    /// For a tone at the worst of the stated neighbours.
    pub at_neighbours: Option<f64>,
}

/// Levels inside the circuit.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Levels {
    /// Every amplifier output, in the order of the file.
    pub stages: Vec<StageLevel>,
    /// Where clipping begins, on the lowest supply.
    pub clips_at_input_v_peak: Clipping,
    /// Whether every amplifier follows the strongest signal at its swing.
    pub slew_ok: bool,
}

/// What the ear gets.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Listener {
    /// Fall of all hiss of a voice-width receiver (300 Hz to 2700 Hz) through the filter,
    /// the signal held equal.
    pub hiss_drop_db: Option<f64>,
    /// The same as the ear's own filter at the pitch sees it.
    pub ear_gain_db: Option<f64>,
    /// The comfortable signal in the phones.
    pub comfortable_spl_db: Option<f64>,
    /// The loudest sound the box can make in the phones.
    pub loudest_spl_db: Option<f64>,
}
