//! Capacitor dielectrics, and what each is fit for.

/// What a capacitor is made of, as far as an audio filter cares.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Dielectric {
    /// Class 1 ceramic (C0G, NP0): stable, small values.
    C0g,
    /// Film whose plastic is not stated.
    Film,
    /// Polyester film.
    Polyester,
    /// Polypropylene film.
    Polypropylene,
    /// Polystyrene film.
    Polystyrene,
    /// Class 2 ceramic, X7R or X5R: loses capacitance with voltage and age.
    X7r,
    /// Class 2 ceramic, Y5V or Z5U: for decoupling only.
    Y5v,
    /// Aluminium electrolytic, polarised.
    Electrolytic,
    /// Tantalum, polarised.
    Tantalum,
    /// Not stated.
    Unknown,
}
