//! Hiss the circuit makes itself: thermal noise of every resistance, voltage and current noise
//! of every amplifier, shot noise of diodes.
//!
//! Every source is a number on the right-hand side of one or two equations, so one transposed
//! solve a frequency, `λ = A⁻ᵀ c`, gives the way of all of them to the output: the density
//! there is `Σ |uᵀλ|² S(f)`. Thermal noise: `4kTR` (J. B. Johnson, H. Nyquist, 1928) with
//! `k = 1.380649e-23 J/K` exactly; amplifier noise `white² (1 + corner/f)`, white and corner from
//! the parts data; shot noise of a junction `2q(I + 2I_s)`, which is `4kTg` of its zero-bias
//! conductance. The source impedance and the load are resistances like any other.

mod figures;
mod sources;

pub use figures::{Band, Noise, PartNoise};
pub use sources::{BOLTZMANN, Owner, ROOM_K, Source, sources};
