"""Circuits with op-amps that have limits: response, poles and zeros from the netlist alone.

Trust: independent routes, dense nodal equations solved by [NUMPY], and the same equations in
exact fractions with roots from [MPMATH].
"""

import exact
import nodal
import numpy
import pytest
from numbers_of_testimony import complexes, matched

# Zeros over 100 MHz are not told: the models of op-amps mean nothing there.
BEYOND_MODEL = 2 * numpy.pi * 100e6


@pytest.fixture(params=["circuits", "filters"])
def said(request):
    """Invented networks and cascades of stages alike."""
    return request.config.testimony[request.param]


def test_response_at_every_amplifier(said, tolerance):
    """The response at each amplifier's output against numpy's dense solver."""
    for circuit in said:
        names = circuit["nodes"]
        wanted = nodal.response(circuit["circuit"], names, circuit["frequencies_hz"])
        for name, told, row in zip(names, circuit["response"], wanted, strict=True):
            tolerance.near("ac_dense", complexes(told), row, f"node {name}")


def clusters(roots):
    """Indices of roots that coincide, such as the double zero two equal stages make."""
    left, groups = list(range(len(roots))), []
    while left:
        first = left.pop(0)
        same = [i for i in left if abs(roots[i] - roots[first]) <= 1e-9 * abs(roots[first])]
        left = [i for i in left if i not in same]
        groups.append([first, *same])
    return groups


def roots_agree(told, polynomial, tolerance, what):
    """All the roots and no others; those at the origin must be there exactly.

    Rounding spreads m roots that coincide over a circle of radius about its m-th root; what is
    determined, and judged, is their mean. Each must still lie within a hundredth.
    """
    wanted = exact.roots(polynomial)
    if what == "zero":
        wanted = [root for root in wanted if abs(root) <= BEYOND_MODEL]
    roots_agree_with(complexes(told), wanted, tolerance, what)


def roots_agree_with(told, wanted, tolerance, what):
    """The same against roots already there."""
    wanted = numpy.array([complex(root) for root in wanted])
    found = matched(told, wanted)
    for group in clusters(wanted):
        mean, told_mean = wanted[group].mean(), found[group].mean()
        if mean == 0:
            assert (found[group] == 0).all(), f"{what} at the origin: {found[group]}"
            continue
        far = what == "zero" and abs(mean) > 2 * numpy.pi * 100e3
        tolerance.near("zero_far" if far else "pole", told_mean, mean, what)
        assert (numpy.abs(found[group] - mean) <= 0.01 * abs(mean)).all(), f"{what}: {found[group]}"


def test_poles(network, tolerance):
    """Every finite pole of an invented network."""
    roots_agree(network["poles"], exact.polynomials(network["circuit"])[1], tolerance, "pole")


def test_zeros(network, tolerance):
    """Every finite zero of an invented network."""
    roots_agree(network["zeros"], exact.polynomials(network["circuit"])[0], tolerance, "zero")


def test_poles_of_a_cascade(cascade, tolerance):
    """Every finite pole of a cascade of real stages; synchronous ones are nearly equal."""
    roots_agree(cascade["poles"], exact.polynomials(cascade["circuit"])[1], tolerance, "pole")


def test_zeros_of_a_cascade(cascade, tolerance):
    """Every finite zero of a cascade, several of them at 0 Hz."""
    roots_agree(cascade["zeros"], exact.polynomials(cascade["circuit"])[0], tolerance, "zero")
