//! How many multiplications and additions this machine does at best: sums that need nothing from
//! memory, on all threads at once.

use pulp::{Simd, WithSimd};
use std::hint::black_box;
use std::time::Instant;

/// Independent sums: enough to keep two units busy through the latency of each step.
const SUMS: usize = 12;
const TURNS: usize = 4_000_000;

struct Spin;

impl WithSimd for Spin {
    type Output = usize;

    #[inline(always)]
    fn with_simd<S: Simd>(self, simd: S) -> usize {
        let factor = simd.splat_f64s(black_box(0.999_999));
        let mut sums = [simd.splat_f64s(black_box(1.0)); SUMS];
        for _ in 0..TURNS {
            for sum in &mut sums {
                *sum = simd.mul_add_e_f64s(*sum, factor, factor);
            }
        }
        for sum in sums {
            black_box(simd.reduce_sum_f64s(sum));
        }
        TURNS * SUMS * S::F64_LANES
    }
}

struct Lanes;

impl WithSimd for Lanes {
    type Output = usize;

    #[inline(always)]
    fn with_simd<S: Simd>(self, _: S) -> usize {
        S::F64_LANES
    }
}

/// Best of five, all threads together.
pub(crate) fn multiply_adds_per_second() -> f64 {
    let rate = || {
        let start = Instant::now();
        let done: usize = rayon::broadcast(|_| pulp::Arch::new().dispatch(Spin))
            .iter()
            .sum();
        done as f64 / start.elapsed().as_secs_f64()
    };
    (0..5).map(|_| rate()).fold(0.0, f64::max)
}

/// The vectors in use, in words.
pub(crate) fn vectors() -> String {
    let bits = 64 * pulp::Arch::new().dispatch(Lanes);
    format!("{bits} bits")
}
