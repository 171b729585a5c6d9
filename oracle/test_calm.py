"""Calm filters: what they claim, and that no claim beats what is possible.

Trust: independent routes. Equivalents are judged by residues with sixty digits [MPMATH], bands by
matrix exponential [SCIPY]. Two bounds: the closed form of the continuous Dolph-Chebyshev pattern
[DOLPH], acosh(10^(R/20))/pi, for a memory that ends exactly with the tail, which a filter that
still rings a hundredth may pass a little; and one computed by linear programming for any filter
that goes on falling 20 dB a tail, which nothing may pass.
"""

import cascade
import mpmath
import numpy
import pytest
from numbers_of_testimony import complexes
from shape import Shape

TAU = 2 * numpy.pi


@pytest.fixture
def shape(equivalent):
    """The low-pass equivalent with gain 1 at zero frequency."""
    with mpmath.workdps(60):
        poles = [mpmath.mpc(p) for p in complexes(equivalent["poles"])]
        zeros = [mpmath.mpc(0, s * w) for w in equivalent["nulls_rad_s"] for s in (1, -1)]
        gain = mpmath.mpf(1)
        for pole in poles:
            gain *= -pole
        for zero in zeros:
            gain /= -zero
        return Shape(gain.real, zeros, poles)


def test_rejection_from_one_hertz_on(equivalent, shape):
    """Scaled to D = 1 Hz: from there on the response stays under the rejection."""
    beyond = numpy.geomspace(1.0, 1000.0, 100_001)
    assert shape.level(beyond).max() <= -equivalent["rejection_db"] + 1e-3


def test_product_is_offset_times_tail(equivalent, shape, tolerance):
    """The product claimed is the tail, D being 1 Hz: after it the envelope stays under the level
    and, as asked, goes on falling 20 dB per tail until three tails after key-up.
    """
    tail, level = equivalent["product"], 10 ** (-equivalent["tail_db"] / 20)
    slack = 1e-3  # the search holds a hair back from each wish; a claim may not be short of it
    assert shape.envelope(0, tail * (1 + slack)) < level
    later = tail * numpy.linspace(1 + slack, 8, 40_001)
    weights, settled = shape.residues(0)
    total = sum(
        complex(w / settled) * numpy.exp(complex(p) * later)
        for w, p in zip(weights, shape.poles, strict=True)
    )
    assert numpy.abs(total).max() < level
    soon = later < 3 * tail
    falling = level * 10 ** (-(later[soon] / tail / (1 + slack) - 1))
    assert (numpy.abs(total[soon]) <= falling).all()


def test_no_product_beats_what_is_possible(equivalent, tolerance):
    """Not the bound for filters that go on falling; and the memory bound is its closed form."""
    bound = numpy.arccosh(10 ** (equivalent["rejection_db"] / 20)) / numpy.pi
    tolerance.near("closed_form", equivalent["memory_bound"], bound, "memory bound")
    assert equivalent["linear_bound"] < equivalent["product"]


def test_band_is_as_claimed(calm_band, tolerance):
    """Neighbours, width, tail and peak of a calm band-pass from its sections."""
    sections, pitch = calm_band["sections"], calm_band["pitch_hz"]

    def down(f_hz):
        """Attenuation against the pitch, dB."""
        at_pitch = abs(cascade.transfer(sections, 1j * TAU * pitch))
        return 20 * numpy.log10(at_pitch / abs(cascade.transfer(sections, 1j * TAU * f_hz)))

    told = zip(calm_band["neighbours"], calm_band["neighbours_down_db"], strict=True)
    for (offset, wished), claimed in told:
        assert abs(claimed - down(pitch + offset)) < tolerance["figure_db"]
        outward = pitch + offset * numpy.geomspace(1, 100, 20_001)
        assert down(outward[outward > 1]).min() >= wished - 1e-3
    for level, key in [(0.1, "tail_20db_s"), (0.01, "tail_40db_s")]:
        tail = calm_band[key]
        step = tail / 20_000
        output = cascade.after_key_up(sections, pitch, step, 100_000)
        last = numpy.nonzero(numpy.abs(output) > level)[0][-1] * step
        assert last - step <= tail * (1 + tolerance["tail_exact"]) <= last + 2 * step, key
    assert calm_band["width_6db_hz"] >= calm_band["width_wished_hz"] * (1 - tolerance["edge"])
    grid = numpy.linspace(0.3 * pitch, 3 * pitch, 200_001)
    peak = -down(grid).min()
    assert abs(peak - calm_band["peak_over_pitch_db"]) < tolerance["figure_db"]
    inside = grid[down(grid) < 6 - peak]
    assert abs(inside[-1] - inside[0] - calm_band["width_6db_hz"]) < 3 * (grid[1] - grid[0])
