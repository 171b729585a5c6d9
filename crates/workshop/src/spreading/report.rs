//! What `spread` says, as other people's scripts read it.

use serde::Serialize;

/// How many builds are good, and how sure that is.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Yield {
    /// Share of the trials that kept every limit.
    pub share: f64,
    /// The share of all boxes lies between these two, 95 times in 100.
    pub share_least: f64,
    /// The other end.
    pub share_most: f64,
    /// Trials made.
    pub trials: u64,
}

/// One limit, and how many trials missed it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LimitReport {
    /// The limit in words.
    pub text: String,
    /// Share of the trials that missed it.
    pub missed_share: f64,
}

/// How one figure is spread, in the unit of its name; `null` where no build has it.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Spread {
    /// With the printed values.
    pub nominal: Option<f64>,
    /// 5 % of the builds lie below.
    pub low_5: Option<f64>,
    /// Half of them lie below.
    pub median: Option<f64>,
    /// 5 % of them lie above.
    pub high_95: Option<f64>,
    /// Standard deviation.
    pub sigma: Option<f64>,
    /// With every part at that end or in the middle of its tolerance, and the room as cold or warm,
    /// that lowers the figure most.
    pub corner_least: Option<f64>,
    /// With them where they raise it most.
    pub corner_most: Option<f64>,
    /// Whether a trial went beyond a corner: the figure turns between the places where parts are
    /// tried.
    pub corner_exceeded: bool,
}

/// One neighbour.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct NeighbourSpread {
    /// Distance from the pitch.
    pub offset_hz: f64,
    /// How far down it is.
    pub down_db: Spread,
}

/// The figures.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct FigureSpreads {
    /// Centre of the half-power band.
    pub centre_hz: Spread,
    /// Width at half power.
    pub width_3db_hz: Spread,
    /// Width 6 dB down.
    pub width_6db_hz: Spread,
    /// Gain at the pitch.
    pub gain_at_pitch_db: Spread,
    /// How far the pitch lies under the peak.
    pub pitch_under_peak_db: Spread,
    /// Tail to 20 dB down.
    pub tail_20db_s: Spread,
    /// The neighbours.
    pub neighbours: Vec<NeighbourSpread>,
}

/// Gain at one frequency over the builds.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct CurvePoint {
    /// Frequency.
    pub f_hz: f64,
    /// With the printed values.
    pub nominal_db: f64,
    /// 5 % of the builds lie below.
    pub low_5_db: f64,
    /// Half of them lie below.
    pub median_db: f64,
    /// 5 % of them lie above.
    pub high_95_db: f64,
}

/// Builds counted by their centre, in equal cells.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Histogram {
    /// Where the first cell begins.
    pub from_hz: f64,
    /// Where the last one ends.
    pub to_hz: f64,
    /// Builds in each.
    pub builds: Vec<u64>,
}

/// What share of the variance one part has alone, to first order: `(slope · deviation)²`.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PartSpread {
    /// The part.
    #[serde(rename = "ref")]
    pub reference: String,
    /// Which of its numbers: `value`, or `gain-bandwidth` of an amplifier.
    pub number: &'static str,
    /// Its tolerance, a share.
    pub tolerance: f64,
    /// How its values lie within the tolerance.
    pub law: &'static str,
    /// Of the centre's variance.
    pub of_centre: Option<f64>,
    /// Of the variance of the width 6 dB down.
    pub of_width_6db: Option<f64>,
    /// Of the variance of the gain at the pitch.
    pub of_gain_at_pitch: Option<f64>,
}

/// What is left of the variances: what parts of one bag share, temperature, and curvature. Below zero
/// where these work against each other.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Together {
    /// Of the centre's variance.
    pub of_centre: Option<f64>,
    /// Of the variance of the width 6 dB down.
    pub of_width_6db: Option<f64>,
    /// Of the variance of the gain at the pitch.
    pub of_gain_at_pitch: Option<f64>,
}

/// One thing to do, and what it would bring.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Advice {
    /// Stable name: `better`, `match`, `pair`, `trim`, `measure`.
    pub id: &'static str,
    /// What to do, in words.
    #[serde(rename = "do")]
    pub text: String,
    /// The parts concerned.
    pub parts: Vec<String>,
    /// The yield then, with the same luck.
    #[serde(rename = "yield")]
    pub share: Yield,
    /// Yield then less the yield of the same trials as they are.
    pub gained: f64,
    /// Where the centre then lies: 5 % of the builds below the first, 5 % above the second.
    pub centre_hz: Option<[f64; 2]>,
    /// For parts that are trimmed: from where to where 90 % of the boxes need them.
    pub ranges: Vec<TrimRange>,
}

/// From where to where a trimmed resistor has to reach.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct TrimRange {
    /// The part.
    #[serde(rename = "ref")]
    pub reference: String,
    /// 5 % of the boxes need less.
    pub from_ohm: f64,
    /// 5 % of the boxes need more.
    pub to_ohm: f64,
}

/// What real parts do to one circuit (format `narrows spread 1`).
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SpreadReport {
    /// Always `narrows spread 1`.
    pub format: &'static str,
    /// The circuit's title.
    pub title: String,
    /// The pitch that the figures refer to.
    pub pitch_hz: f64,
    /// The seed: the same seed builds the same boxes.
    pub seed: u64,
    /// What was not stated and had to be assumed, in words.
    pub assumed: Vec<String>,
    /// How many builds are good.
    #[serde(rename = "yield")]
    pub share: Yield,
    /// What a good build keeps.
    pub limits: Vec<LimitReport>,
    /// How the figures are spread.
    pub figures: FigureSpreads,
    /// Trials that the curve is of.
    pub curve_trials: u64,
    /// The response over the builds.
    pub curve: Vec<CurvePoint>,
    /// The builds by their centre; `null` where none has one.
    pub centres: Option<Histogram>,
    /// Each part's share, greatest of the centre first.
    pub parts: Vec<PartSpread>,
    /// What no part has alone.
    pub together: Together,
    /// What to do about it, best first.
    pub advice: Vec<Advice>,
}
