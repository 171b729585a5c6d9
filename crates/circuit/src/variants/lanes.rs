//! The memory of one block: rows of lanes, aligned for the widest vectors.

use pulp::Simd;

/// Vectors side by side in every row: enough independent sums to hide the latency of a fused
/// multiplication and addition, and enough work in every step to pay for looking up what it does.
/// Measured: two take 3.5 times, three 3.1 and four 2.7 times as long as the operations alone.
pub(super) const ABREAST: usize = 4;

/// Bytes to which rows are aligned: one line of the cache, one vector of the widest kind.
const ALIGNMENT: usize = 64;

/// Rows of `width` numbers each.
pub(super) struct Lanes {
    numbers: Vec<f64>,
    offset: usize,
    width: usize,
    rows: usize,
}

impl Lanes {
    /// Lanes that vectors of this kind fill.
    pub(super) fn width<S: Simd>() -> usize {
        S::F64_LANES * ABREAST
    }

    /// Rows of zeros.
    pub(super) fn new<S: Simd>(rows: usize) -> Self {
        let width = Self::width::<S>();
        let numbers = vec![0.0; rows * width + ALIGNMENT / size_of::<f64>()];
        let misplaced = numbers.as_ptr().addr() % ALIGNMENT;
        let offset = (ALIGNMENT - misplaced) % ALIGNMENT / size_of::<f64>();
        Lanes {
            numbers,
            offset,
            width,
            rows,
        }
    }

    /// One row.
    pub(super) fn row(&self, row: u32) -> &[f64] {
        let from = self.offset + row as usize * self.width;
        &self.numbers[from..from + self.width]
    }

    /// One row, to be written.
    pub(super) fn row_mut(&mut self, row: u32) -> &mut [f64] {
        let from = self.offset + row as usize * self.width;
        &mut self.numbers[from..from + self.width]
    }

    /// All rows as vectors.
    #[inline(always)]
    pub(super) fn vectors<S: Simd>(&mut self) -> &mut [S::f64s] {
        let range = self.offset..self.offset + self.rows * self.width;
        S::as_mut_simd_f64s(&mut self.numbers[range]).0
    }
}
