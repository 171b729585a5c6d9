"""Noise at the output: spot density, total over the band, and who makes how much of it.

Trust: an independent route. Every source drives the dense equations alone [NUMPY] and the powers
are added; our code takes one transposed solve for all of them.
"""

import nodal
import numpy
import pytest
from scipy import integrate


@pytest.fixture(params=["circuits", "filters"])
def said(request):
    """Invented networks and cascades of stages alike."""
    return request.config.testimony[request.param]


def test_spot_density(said, tolerance):
    """Density at nine frequencies from 0.1 Hz to 1 MHz, 1/f corners included."""
    for entry in said:
        _, rows = nodal.noise(entry["circuit"], entry["frequencies_hz"], entry["temperature_k"])
        told = numpy.array(entry["noise_density_v2_hz"])
        tolerance.near("noise_density", told, rows.sum(axis=0), "density")


def test_total_and_shares(cascade, tolerance):
    """Volts rms from 20 Hz to 20 kHz, whole and by part, by Simpson's rule over ln f."""
    told = cascade["figures"]["noise"]
    grid = numpy.geomspace(20, 20_000, 4001)
    names, rows = nodal.noise(cascade["circuit"], grid, told["temperature_k"])
    powers = integrate.simpson(rows * grid, x=numpy.log(grid), axis=1)
    tolerance.near("noise_total", told["output_v_rms"], numpy.sqrt(powers.sum()), "total")
    by_part = {}
    for name, power in zip(names, powers, strict=True):
        by_part[name] = by_part.get(name, 0) + power
    told_by_part = dict(told["by_part"])
    # A load across a stiff output makes nothing at all, or a rounding's worth.
    assert set(told_by_part) <= set(by_part)
    for name, power in by_part.items():
        # A share is judged against the whole: one of nearly nothing may be off by more of itself.
        share = told_by_part.get(name, 0) ** 2
        assert abs(share - power) < tolerance["noise_total"] * powers.sum(), name


def test_density_at_the_pitch_referred_to_the_source(cascade, tolerance):
    """Output density over the gain at the pitch."""
    told, pitch = cascade["figures"]["noise"], cascade["figures"]["pitch_hz"]
    circuit = cascade["circuit"]
    _, rows = nodal.noise(circuit, [pitch], told["temperature_k"])
    gain = abs(nodal.response(circuit, [circuit["output"]], [pitch])[0, 0])
    wanted = numpy.sqrt(rows.sum()) / gain
    tolerance.near("noise_density", told["input_density_v_rthz"], wanted, "input density")
