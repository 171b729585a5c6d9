"""Low-pass prototypes against scipy and, where scipy has none or rounds, high precision.

Trust: reference library [SCIPY]; high precision from the definition [MPMATH].
"""

import numpy
import precise
from numbers_of_testimony import complexes, matched
from scipy import signal


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


def test_poles(prototype, tolerance):
    """Every family at every order: the poles, each as near as degree 10 allows."""
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
