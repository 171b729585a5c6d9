//! Splits a real matrix `K` into an invertible block and a nilpotent one, orthogonally.
//!
//! If the columns of `N` span the null space of `K` and those of `R` its complement,
//! `[R N]ᵀ K [R N] = [[RᵀKR, 0], [NᵀKR, 0]]`: the null space is one layer of the nilpotent part
//! and the work goes on with `RᵀKR`. The staircase form
//! [VANDOOREN1979; from memory]. The rank is read off a QR decomposition of `Kᵀ` with column
//! pivoting: diagonal entries below [`Deflation::RANK_TOLERANCE`] of the first count as zero.
//! The tolerance lies between rounding (1e-15) and the fastest real pole anyone meets against
//! the shift (1 pF at 1 Ω against 700 Hz: 4e-9).

use nalgebra::DMatrix;

/// `Qᵀ K Q = [[regular, 0], [coupling, nilpotent]]`.
pub(super) struct Deflation {
    pub(super) basis: DMatrix<f64>,
    pub(super) regular: DMatrix<f64>,
    pub(super) coupling: DMatrix<f64>,
    pub(super) nilpotent: DMatrix<f64>,
    /// Power of the nilpotent block that is certainly zero.
    pub(super) layers: usize,
}

impl Deflation {
    pub(super) const RANK_TOLERANCE: f64 = 1e-12;

    pub(super) fn of(k: &DMatrix<f64>) -> Self {
        let size = k.nrows();
        let mut basis = DMatrix::identity(size, size);
        let mut current = k.clone();
        let mut kept = size;
        let mut layers = 0;
        let greatest = k.amax();
        while kept > 0 {
            let leading = current.view((0, 0), (kept, kept)).into_owned();
            let qr = leading.transpose().col_piv_qr();
            let diagonal = qr.r().diagonal();
            // Against the whole matrix: what is left may be rounding altogether.
            let first = diagonal[0].abs().max(greatest * 1e-3);
            let rank = diagonal
                .iter()
                .filter(|d| d.abs() > Self::RANK_TOLERANCE * first)
                .count();
            if rank == kept {
                break;
            }
            let mut step = DMatrix::identity(size, size);
            step.view_mut((0, 0), (kept, kept)).copy_from(&qr.q());
            basis *= &step;
            current = step.transpose() * current * step;
            // The null space maps to nothing: clear its columns of rounding.
            current.view_mut((0, rank), (kept, kept - rank)).fill(0.0);
            kept = rank;
            layers += 1;
        }
        let rest = size - kept;
        Deflation {
            basis,
            regular: current.view((0, 0), (kept, kept)).into_owned(),
            coupling: current.view((kept, 0), (rest, kept)).into_owned(),
            nilpotent: current.view((kept, kept), (rest, rest)).into_owned(),
            layers,
        }
    }
}
