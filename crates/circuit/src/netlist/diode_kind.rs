//! Numbers for a diode of which only the kind is known.

/// A kind of diode. The numbers are for small ones, of the order of what curves in data
/// books show (from memory; check your datasheet): at 1 mA and 25 °C they give 0.58 V,
/// 0.23 V, 0.27 V and 1.8 V.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DiodeKind {
    /// Small-signal silicon.
    Silicon,
    /// Small Schottky.
    Schottky,
    /// Germanium point contact.
    Germanium,
    /// Red light-emitting diode.
    Led,
}

impl DiodeKind {
    /// All of them.
    pub const ALL: [DiodeKind; 4] = [
        DiodeKind::Silicon,
        DiodeKind::Schottky,
        DiodeKind::Germanium,
        DiodeKind::Led,
    ];

    /// The word in the circuit file.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            DiodeKind::Silicon => "silicon",
            DiodeKind::Schottky => "schottky",
            DiodeKind::Germanium => "germanium",
            DiodeKind::Led => "led",
        }
    }

    /// Saturation current, A.
    #[must_use]
    pub fn saturation_a(self) -> f64 {
        match self {
            DiodeKind::Silicon => 2.5e-9,
            DiodeKind::Schottky => 200e-9,
            DiodeKind::Germanium => 1e-6,
            DiodeKind::Led => 1e-18,
        }
    }

    /// Ideality factor.
    #[must_use]
    pub fn ideality(self) -> f64 {
        match self {
            DiodeKind::Silicon => 1.75,
            DiodeKind::Schottky => 1.05,
            DiodeKind::Germanium => 1.5,
            DiodeKind::Led => 2.0,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::DiodeKind;

    /// Closed form: the voltages at 1 mA that the documentation states.
    #[test]
    fn the_stated_voltages_follow() {
        let stated = [0.58, 0.23, 0.27, 1.78];
        for (kind, volts) in DiodeKind::ALL.iter().zip(stated) {
            let v = kind.ideality() * 0.025_693 * (1e-3 / kind.saturation_a()).ln();
            assert!((v - volts).abs() < 0.01, "{kind:?}: {v} V at 1 mA");
        }
    }
}
