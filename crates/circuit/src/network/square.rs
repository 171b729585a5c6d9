//! A dense square matrix, just large enough for a circuit.

/// A square matrix of reals, stored row by row.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Square {
    size: usize,
    cells: Vec<f64>,
}

impl Square {
    /// A matrix of zeros.
    pub(crate) fn zero(size: usize) -> Self {
        Square {
            size,
            cells: vec![0.0; size * size],
        }
    }

    /// Rows, which is columns.
    pub(crate) fn size(&self) -> usize {
        self.size
    }

    /// One cell.
    pub(crate) fn at(&self, row: usize, column: usize) -> f64 {
        self.cells[row * self.size + column]
    }

    /// Adds to one cell.
    pub(crate) fn add(&mut self, row: usize, column: usize, value: f64) {
        self.cells[row * self.size + column] += value;
    }

    /// One row.
    pub(crate) fn row(&self, row: usize) -> &[f64] {
        &self.cells[row * self.size..(row + 1) * self.size]
    }

    /// One row, to be changed.
    pub(crate) fn row_mut(&mut self, row: usize) -> &mut [f64] {
        &mut self.cells[row * self.size..(row + 1) * self.size]
    }

    /// Copies another matrix of the same size into this one.
    pub(crate) fn copy_from(&mut self, other: &Square) {
        self.cells.copy_from_slice(&other.cells);
    }

    /// Adds `factor` times another matrix.
    pub(crate) fn add_scaled(&mut self, other: &Square, factor: f64) {
        for (cell, more) in self.cells.iter_mut().zip(&other.cells) {
            *cell += factor * more;
        }
    }

    /// The entries that are not zero, as (row, column, value).
    pub(crate) fn entries(&self) -> Vec<(usize, usize, f64)> {
        let place = |(k, &value): (usize, &f64)| (k / self.size, k % self.size, value);
        let entries = self.cells.iter().enumerate().map(place);
        entries.filter(|&(_, _, value)| value != 0.0).collect()
    }

    /// Stamps a conductance-like value between two unknowns.
    pub(crate) fn join(&mut self, a: usize, b: usize, value: f64) {
        self.add(a, a, value);
        self.add(b, b, value);
        self.add(a, b, -value);
        self.add(b, a, -value);
    }

    /// Makes unknown 0 the reference: its row and column become those of the unit matrix.
    pub(crate) fn ground(&mut self) {
        let n = self.size;
        self.cells[..n].fill(0.0);
        for row in 1..n {
            self.cells[row * n] = 0.0;
        }
        self.cells[0] = 1.0;
    }
}
