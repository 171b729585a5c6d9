"""Every topology alone with ideal op-amps: its response, from its netlist.

Trust: an independent route, symbolic nodal analysis in exact fractions [LCAPY].
"""

import numpy
import symbolic
from numbers_of_testimony import complexes


def test_transfer_function(stage, tolerance):
    """The solver's response and the closed form, both to the 1e-9 promised."""
    polynomials = symbolic.transfer(stage["circuit"])
    wanted = numpy.array([symbolic.evaluate(polynomials, f) for f in stage["frequencies_hz"]])
    # At a null there is nothing to be relative to: what is under rounding of the greatest
    # response counts as nothing.
    floor = tolerance["null_floor"] * numpy.abs(wanted).max()
    for what in ["response", "closed_form"]:
        told = complexes(stage[what])
        heard = numpy.abs(wanted) > floor
        assert (numpy.abs(told[~heard]) <= 2 * floor).all(), what
        tolerance.near("ac_ideal", told[heard], wanted[heard], what)


def test_section_is_reached(designed_stage):
    """A stage with the values calculated for a section has the poles of that section."""
    stage = designed_stage
    if stage["wanted"]["shape"].startswith("first"):
        return
    under = symbolic.transfer(stage["circuit"])[1]
    wanted = stage["wanted"]
    w0 = 2 * numpy.pi * wanted["f0_hz"]
    ideal = numpy.poly1d([1.0, w0 / wanted["q"], w0 * w0])
    # The denominator divides by the section's: what is left over is nothing against its size.
    s = numpy.roots(ideal)[0]
    terms = [abs(complex(c) * s**power) for (power,), c in under.terms()]
    assert abs(complex(under.eval(complex(s)))) < 1e-9 * max(terms)
