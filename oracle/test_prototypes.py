"""Low-pass prototypes against scipy and, where scipy has none or rounds, high precision.

Trust: reference library [SCIPY]; high precision from the definition [MPMATH].
"""

from itertools import pairwise

import numpy
import precise
from numbers_of_testimony import complexes, matched
from scipy import optimize, signal


def scipy_poles(prototype):
    """The poles scipy gives for that family, or None where it has no such family."""
    order, family = prototype["order"], prototype["family"]
    if family == "butterworth":
        return signal.butter(order, 1.0, analog=True, output="zpk")[1]
    if family == "bessel":
        return signal.bessel(order, 1.0, analog=True, output="zpk", norm="mag")[1]
    if family == "chebyshev, ripple edge":
        return signal.cheby1(order, prototype["ripple_db"], 1.0, analog=True, output="zpk")[1]
    return None


def exact_poles(prototype):
    """The poles in high precision from the definition of the family."""
    order, family = prototype["order"], prototype["family"]
    if family == "chebyshev, 3 dB edge":
        ripple = signal.cheby1(order, prototype["ripple_db"], 1.0, analog=True, output="zpk")[1]
        return precise.normalised(ripple)
    own = {"bessel": precise.bessel, "gaussian": precise.gaussian}
    own["synchronous"] = precise.synchronous
    return own[family](order) if family in own else None


def equal_ripple(prototype):
    """Whether the phase lag ripples about a straight line with n extremes of one height.

    The slope of the line is sought that makes the first two extremes equal; then all must be, in
    turn above and below, with the stated height. That is the definition of the family.
    """
    poles, order = complexes(prototype["poles"]), prototype["order"]
    omega = numpy.linspace(0, 3 * numpy.abs(poles).max(), 200_001)
    lag = -sum(numpy.angle((1j * omega - p) / (-p)) for p in poles)
    # Each factor turns by less than half a turn from its own direction at zero frequency, but
    # its angle may step where it passes the negative axis.
    lag = -numpy.unwrap(lag) if lag[1] < 0 else numpy.unwrap(lag)

    def extremes(slope):
        """Heights of the first extremes of lag less the line, in turn, by parabolas."""
        rest = lag - slope * omega
        inner = (rest[1:-1] - rest[:-2]) * (rest[2:] - rest[1:-1]) < 0
        at = numpy.nonzero(inner)[0] + 1
        left, middle, right = rest[at - 1], rest[at], rest[at + 1]
        bend = left - 2 * middle + right
        return middle - (right - left) ** 2 / (8 * bend)

    def unequal(slope):
        """How much higher the first extreme is than the second."""
        heights = extremes(slope)
        return abs(heights[0]) - abs(heights[1])

    delay = prototype["delay_at_zero_s"]
    slopes = delay * numpy.linspace(0.93, 1.07, 1401)
    # Worked out as far as wanted: the line is found about half-way.
    signs = (unequal(s) if len(extremes(s)) >= 2 else numpy.nan for s in slopes)
    for (low, high), (a, b) in zip(pairwise(slopes), pairwise(signs)):
        if a * b < 0:
            heights = extremes(optimize.brentq(unequal, low, high, xtol=1e-15))[:order]
            even = numpy.abs(numpy.abs(heights) / numpy.radians(prototype["phase_error_deg"]) - 1)
            turns = (numpy.sign(heights[1:]) == -numpy.sign(heights[:-1])).all()
            if len(heights) == order and turns and even.max() < 1e-6:
                return True
    return False


def test_poles(prototype, tolerance):
    """Every family at every order: the poles, each as near as degree 10 allows."""
    if prototype["family"] == "equiripple phase":
        assert equal_ripple(prototype)
        edge = precise.three_db_edge(complexes(prototype["poles"]))
        tolerance.near("prototype_pole", float(edge), 1.0, "half-power edge")
        return
    found = complexes(prototype["poles"])
    judges = [judge(prototype) for judge in (scipy_poles, exact_poles)]
    judges = [numpy.array(poles) for poles in judges if poles is not None]
    assert judges, f"nothing judges {prototype['family']}"
    for wanted in judges:
        tolerance.near("prototype_pole", matched(found, wanted), wanted, "pole")


def test_attenuation(prototype, tolerance):
    """The attenuation we state is that of the poles we state, by scipy's evaluation."""
    poles = complexes(prototype["poles"])
    gain = numpy.prod(-poles).real
    for omega, told in prototype["attenuation_db"]:
        _, response = signal.freqs_zpk([], poles, gain, worN=[omega])
        wanted = -20 * numpy.log10(numpy.abs(response[0]))
        assert abs(told - wanted) < 1e-9, f"{told} dB for {wanted} dB at {omega} rad/s"


def test_delay(prototype, tolerance):
    """Delay at zero frequency: the slope of scipy's phase, by a central difference in omega."""
    poles = complexes(prototype["poles"])
    step = 1e-4
    _, response = signal.freqs_zpk([], poles, numpy.prod(-poles).real, worN=[step])
    # arg H = -d w + O(w^3) with a third-order coefficient under 10 for these shapes: 1e-7 of d
    wanted = -numpy.angle(response[0]) / step
    assert abs(prototype["delay_at_zero_s"] - wanted) < 1e-6 * wanted
