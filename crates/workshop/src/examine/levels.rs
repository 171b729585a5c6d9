//! Figures of level: where amplifiers clip, and how loud the phones get.

use crate::driver::Driver;
use crate::report::{Clipping, Levels, Listener, StageLevel};
use crate::wishes::Wishes;
use circuit::dc::{OperatingPoint, operating_point};
use circuit::figures::Study;
use circuit::{Circuit, Element, Opamp};
use filter::Phones;
use units::Quantity;

/// Band of a voice-width receiver, over which hiss is counted, Hz (common practice).
const RECEIVER_HZ: (f64, f64) = (300.0, 2700.0);

pub(super) fn levels(
    study: &mut Study<'_>,
    wishes: &Wishes,
    rest: &OperatingPoint,
) -> Result<Levels, String> {
    let circuit = study.circuit();
    let (tired, tired_rest) = on_lowest_supply(circuit, rest)?;
    let swing = |part: usize| match &circuit.parts[part].element {
        Element::Opamp(opamp) => swing_peak(opamp, &tired_rest, tired),
        _ => f64::INFINITY,
    };
    let levels = study.levels(wishes.pitch.si(), swing);
    let clips = levels.clips_at_input_v_peak;
    let strongest = wishes
        .strongest
        .or(wishes.signal)
        .map(|v| v.si() * std::f64::consts::SQRT_2);
    // A signal cannot exceed what clips anyway.
    let asked = strongest
        .unwrap_or(f64::INFINITY)
        .min(clips.map_or(f64::INFINITY, |c| c.worst));
    Ok(Levels {
        stages: levels
            .stages
            .iter()
            .map(|s| StageLevel {
                node: circuit.node_name(s.node).to_owned(),
                gain_at_pitch_db: s.gain_at_pitch_db,
                peak_gain_db: s.peak_gain_db,
                peak_gain_hz: s.peak_gain_hz,
            })
            .collect(),
        clips_at_input_v_peak: Clipping {
            at_pitch: clips.map(|c| c.at_pitch),
            worst: clips.map(|c| c.worst),
            worst_hz: clips.map(|c| c.worst_hz),
            at_neighbours: clips_at_neighbours(study, wishes, swing),
        },
        slew_ok: !asked.is_finite() || levels.slew_ok(asked),
    })
}

/// Least open-circuit source voltage at which any amplifier clips on a tone at a neighbour.
fn clips_at_neighbours(
    study: &mut Study<'_>,
    wishes: &Wishes,
    swing: impl Fn(usize) -> f64,
) -> Option<f64> {
    let circuit = study.circuit();
    let mut least: Option<f64> = None;
    for neighbour in &wishes.neighbours {
        let f = (wishes.pitch.si() + neighbour.offset.si()).abs();
        for (k, part) in circuit.parts.iter().enumerate() {
            let Element::Opamp(opamp) = &part.element else {
                continue;
            };
            let limit = swing(k) / study.gain_to(opamp.out, f).norm();
            if limit.is_finite() && least.is_none_or(|l| limit < l) {
                least = Some(limit);
            }
        }
    }
    least
}

/// The lowest supply voltage and where the circuit rests on it.
fn on_lowest_supply(
    circuit: &Circuit,
    rest: &OperatingPoint,
) -> Result<(f64, OperatingPoint), String> {
    let Some(supply) = &circuit.supply else {
        return Ok((0.0, rest.clone()));
    };
    match supply.lowest {
        Some(lowest) if lowest < supply.voltage => {
            let mut tired = circuit.clone();
            if let Some(s) = &mut tired.supply {
                s.voltage = lowest;
            }
            let point = operating_point(&tired).map_err(|e| e.to_string())?;
            Ok((lowest.si(), point))
        }
        _ => Ok((supply.voltage.si(), rest.clone())),
    }
}

/// How far an output can move from its rest before the nearer end of its swing, V.
fn swing_peak(opamp: &Opamp, rest: &OperatingPoint, supply: f64) -> f64 {
    if opamp.model.is_ideal() || supply <= 0.0 {
        return f64::INFINITY;
    }
    let [positive, negative] = opamp.rails.map(|rail| rest.volts(rail).si());
    let at = rest.volts(opamp.out).si();
    let up = positive - opamp.model.swing.below_positive.si() - at;
    let down = at - negative - opamp.model.swing.above_negative.si();
    up.min(down).max(0.0)
}

pub(super) fn listener(study: &mut Study<'_>, wishes: &Wishes) -> Listener {
    let heard = study.listener(wishes.pitch.si(), RECEIVER_HZ);
    Listener {
        hiss_drop_db: heard.map(|l| l.hiss_drop_db),
        ear_gain_db: heard.map(|l| l.ear_gain_db),
        comfortable_spl_db: comfortable(study, wishes),
        loudest_spl_db: loudest(study, wishes),
    }
}

/// The comfortable signal in the phones.
fn comfortable(study: &mut Study<'_>, wishes: &Wishes) -> Option<f64> {
    let gain = study.gain(wishes.pitch.si()).norm();
    spl(wishes.signal?.si() * gain, wishes.phones?)
}

/// Rail-limited output into the phones; the current limit of the driver counts too.
fn loudest(study: &mut Study<'_>, wishes: &Wishes) -> Option<f64> {
    let phones = wishes.phones?;
    let circuit = study.circuit();
    let supply = circuit.supply.as_ref()?.voltage;
    let driver = Driver::of(circuit)?;
    let pitch = wishes.pitch.si();
    let through = study.gain(pitch).norm() / study.gain_to(driver.node, pitch).norm();
    let by_rails = driver.swing_peak(supply) * through;
    let by_current = driver.reach.si() * phones.impedance.si();
    let rms = by_rails.min(by_current) * std::f64::consts::FRAC_1_SQRT_2;
    spl(rms, phones)
}

/// `SPL = S + 10 log10(V²/Z / 1 mW)` (definition of the sensitivity in IEC 60268-7, from memory).
fn spl(rms: f64, phones: Phones) -> Option<f64> {
    let milliwatts = 1e3 * rms * rms / phones.impedance.si();
    let spl = phones.sensitivity.si() + 10.0 * milliwatts.log10();
    spl.is_finite().then_some(spl)
}
