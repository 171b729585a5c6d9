//! One newtype for every quantity that a user sees: an `f64` in its SI unit.

macro_rules! quantity {
    ($($(#[$doc:meta])* $name:ident;)*) => {$(
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
        pub struct $name(pub f64);
    )*};
}

quantity! {
    /// Resistance or impedance magnitude, ohm.
    Ohms;
    /// Capacitance, farad.
    Farads;
    /// Inductance, henry.
    Henries;
    /// Frequency, hertz; an offset carries a sign.
    Hertz;
    /// Electromotive force, volt.
    Volts;
    /// Current, ampere.
    Amperes;
    /// Battery capacity, ampere hour.
    AmpereHours;
    /// Time, second.
    Seconds;
    /// Twenty times the logarithm of an amplitude ratio.
    Decibels;
    /// Morse speed, PARIS words per minute: one dit lasts 1.2 s divided by it.
    Wpm;
    /// A plain ratio; `0.05` is written `5 %`.
    Ratio;
}
