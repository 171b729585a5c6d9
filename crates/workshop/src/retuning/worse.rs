//! What an answer costs beside its swaps.

use super::offers::SwapTold;
use crate::finding::{Finding, Severity};
use crate::report::CheckReport;
use crate::slack;
use filter::retune::Wanted;
use units::{Hertz, Quantity, Seconds, Volts};

/// A centre farther off than this share of the width is told.
const CENTRE: f64 = 0.02;
/// A gain, or a peak beside the pitch, off by more than this is told, dB.
const GAIN_DB: f64 = 0.3;

/// What is worse after than before, or off what is wanted, in words.
pub(crate) fn worse(
    wanted: &Wanted,
    before: &CheckReport,
    after: &CheckReport,
    swaps: &[SwapTold],
) -> Vec<String> {
    let mut told = off(wanted, before, after);
    told.extend(longer(before, after));
    told.extend(louder(before, after));
    told.extend(sooner(before, after));
    told.extend(heard(before, after));
    told.extend(found(before, after, swaps));
    told
}

/// Centre, width and gain beside what is wanted of them.
fn off(wanted: &Wanted, before: &CheckReport, after: &CheckReport) -> Vec<String> {
    let mut told = Vec::new();
    if let Some(centre) = after.response.centre_hz {
        let off = centre - wanted.pitch_hz;
        if off.abs() > CENTRE * wanted.width_hz {
            let way = if off > 0.0 { "above" } else { "below" };
            told.push(format!(
                "centred {:.1} Hz {way} the {:.0} Hz wanted",
                off.abs(),
                wanted.pitch_hz
            ));
        }
    }
    match after.response.width_6db_hz {
        Some(width) => {
            let off = width - wanted.width_hz;
            if off.abs() > slack::WIDTH * wanted.width_hz {
                let way = if off > 0.0 { "wider" } else { "narrower" };
                told.push(format!(
                    "{:.0} Hz {way} than the {:.0} Hz wanted",
                    off.abs(),
                    wanted.width_hz
                ));
            }
        }
        None => told.push("no width 6 dB down within the audio band".to_owned()),
    }
    let off = after.response.gain_at_pitch_db - wanted.gain_db;
    if off.abs() > GAIN_DB {
        let way = if off > 0.0 { "louder" } else { "quieter" };
        told.push(format!("{:.1} dB {way} than wanted", off.abs()));
    }
    let beside = |r: &CheckReport| r.response.peak_db - r.response.gain_at_pitch_db;
    if beside(after) > beside(before).max(0.0) + GAIN_DB {
        told.push(format!(
            "the peak at {:.0} Hz stands {:.1} dB above the pitch",
            after.response.peak_hz,
            beside(after)
        ));
    }
    told
}

fn longer(before: &CheckReport, after: &CheckReport) -> Option<String> {
    match (before.ringing.tail_20db_s, after.ringing.tail_20db_s) {
        (Some(old), Some(new)) if new > old * (1.0 + slack::TAIL) => Some(format!(
            "rings {:.3} to 20 dB down, {:.3} before",
            Seconds(new),
            Seconds(old)
        )),
        (Some(_), None) => Some("does not die out within any time worth a figure".to_owned()),
        _ => None,
    }
}

fn louder(before: &CheckReport, after: &CheckReport) -> Vec<String> {
    let pairs = before.neighbours.iter().zip(&after.neighbours);
    pairs
        .filter(|(old, new)| new.down_db < old.down_db - slack::NEIGHBOUR_DB)
        .map(|(old, new)| {
            format!(
                "the neighbour at {:+} is {:.1} dB down, {:.1} dB before",
                Hertz(new.offset_hz),
                new.down_db,
                old.down_db
            )
        })
        .collect()
}

fn sooner(before: &CheckReport, after: &CheckReport) -> Option<String> {
    let clips = |r: &CheckReport| r.levels.clips_at_input_v_peak.at_pitch;
    let (old, new) = (clips(before)?, clips(after)?);
    let sooner = 20.0 * (old / new).log10() > slack::HEADROOM_DB;
    sooner.then(|| {
        format!(
            "clips from {:.3} peak at the pitch, {:.3} before",
            Volts::new(new),
            Volts::new(old)
        )
    })
}

/// Findings that were not there before, stand more often, or weigh more.
fn found(before: &CheckReport, after: &CheckReport, swaps: &[SwapTold]) -> Vec<String> {
    let asks = |f: &Finding| asks_for_a_slip(f, swaps);
    let of = |r: &CheckReport, id: &str| {
        let all = r.findings.iter().filter(|f| f.id == id && !asks(f));
        let severities: Vec<Severity> = all.map(|f| f.severity).collect();
        (severities.len(), severities.into_iter().max())
    };
    // What these say is told above, with both figures.
    let told = |id: &str| matches!(id, "off_pitch" | "neighbour_heard" | "gain_missed");
    let graver = |f: &&Finding| {
        let ((count, worst), (were, was)) = (of(after, f.id), of(before, f.id));
        count > were || worst > was && Some(f.severity) == worst
    };
    let words = |f: &Finding| match f.severity {
        Severity::Problem => format!("a problem: {}", f.text),
        _ => f.text.clone(),
    };
    let serious = after.findings.iter();
    serious
        .filter(|f| f.severity >= Severity::Caution && !told(f.id) && !asks(f))
        .filter(graver)
        .map(words)
        .collect()
}

/// A comfortable signal that becomes louder in the phones, for the ears' sake.
fn heard(before: &CheckReport, after: &CheckReport) -> Option<String> {
    let level = |r: &CheckReport| r.listener.comfortable_spl_db;
    let (old, new) = (level(before)?, level(after)?);
    (new > old + slack::GAIN_DB).then(|| {
        format!("a comfortable signal makes {new:.0} dB SPL in the phones, {old:.0} dB before")
    })
}

/// Whether a finding asks if the value of a part was misread or mistyped. Of a part that was
/// swapped that is no question: the value was chosen.
fn asks_for_a_slip(finding: &Finding, swaps: &[SwapTold]) -> bool {
    let about = finding.text.split([':', ' ']).next();
    matches!(finding.id, "value_doubted" | "slipped_prefix")
        && swaps.iter().any(|s| Some(s.reference.as_str()) == about)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Contract: only a question about a part that was swapped is left out, and only the question.
    #[test]
    fn nobody_is_asked_whether_a_swap_was_a_slip() {
        let swaps = [SwapTold {
            reference: "R3".into(),
            from: "680k".into(),
            to: "1M1".into(),
            piece: None,
            line: None,
        }];
        let asked = |id: &'static str, text: &str| {
            let finding = Finding {
                id,
                severity: Severity::Caution,
                text: text.to_owned(),
                why: String::new(),
                remedy: String::new(),
                source: "from memory",
            };
            asks_for_a_slip(&finding, &swaps)
        };
        let doubt = "1.1 MΩ is out of the ordinary; was 1.1 kΩ meant, a thousand times less?";
        assert!(asked("value_doubted", &format!("R3: {doubt}")));
        assert!(asked(
            "value_doubted",
            "R3 with 1.1 MΩ, out of the ordinary"
        ));
        assert!(!asked("value_doubted", &format!("R30: {doubt}")));
        assert!(asked("slipped_prefix", "R3 is 1.1 MΩ"));
        assert!(!asked("sets_by_leakage", "R3 is 1.1 MΩ"));
    }
}
