//! What is heard with the box switched out: the source drives the phones, or the line, alone.
//!
//! `20 log10 (Z_load / (Z_load + Z_source))`, the same reference as the gain of the box: the
//! open-circuit voltage of the source. Source: voltage divider.

use crate::wishes::Wishes;
use circuit::Circuit;
use units::{Ohms, Quantity};

/// What the source drives in bypass: the phones, else the load of the circuit.
pub(crate) fn load(circuit: &Circuit, wishes: &Wishes) -> Option<Ohms> {
    wishes.phones.map(|p| p.impedance).or(circuit.load)
}

/// Level in bypass, dB of the source's open-circuit voltage; 0 dB into a load that is not stated.
pub(crate) fn straight_db(circuit: &Circuit, wishes: &Wishes) -> f64 {
    load(circuit, wishes).map_or(0.0, |load| {
        20.0 * (load.si() / (load.si() + circuit.source.si())).log10()
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::wishes::Stated;
    use units::Hertz;

    const BOX: &str = r#"
        format = "narrows circuit 1"
        input = "in"
        output = "out"
        source = { impedance = "100 ohm" }
        load = { impedance = "10k" }
        [[part]]
        ref = "R1"
        kind = "resistor"
        value = "1k"
        between = ["in", "out"]
    "#;

    /// Closed form: 100 Ω into 10 kΩ keeps 10000/10100 of the voltage, −0.086 dB; phones of 32 Ω come before the load and get 32/132, −12.31 dB; into a load
    /// that is not stated nothing is lost.
    #[test]
    fn the_divider_is_the_textbooks() {
        let level = |text: &str| {
            let circuit = circuit::read("box", text).expect("a circuit");
            let stated = Stated::read("box", text).expect("wishes");
            let wishes = stated.complete(None, None, || Hertz(650.0));
            straight_db(&circuit, &wishes)
        };
        let phones = format!(
            "{BOX}\n[levels]\nphones = {{ impedance = \"32 ohm\", sensitivity = \"100 dB/mW\" }}"
        );
        assert!((level(BOX) + 0.0864).abs() < 1e-4);
        assert!((level(&phones) + 12.308).abs() < 1e-3);
        assert!(level(&BOX.replace("load =", "#")).abs() < 1e-12);
    }
}
