"""Bells down to a level: what they promise, and whether another filter could do better.

Promised: half power at 1 rad/s, and at some scale close by a departure from the bell 3.0103 w² dB
of at most 0.06 dB from zero frequency to where the bell reaches the level; of all filters of that
order that keep to it, the one with the least product of its poles, hence the greatest attenuation
far out. Trust: the definition with fifty digits [MPMATH], and another method of optimisation,
sequential quadratic programming from many starts [SCIPY], for which nothing of ours is a start.
"""

import numpy
import precise
from numbers_of_testimony import complexes
from scipy import optimize, signal

BELL_DB = 20 * numpy.log10(2) / 2
DEPARTURE_DB = 0.06
STARTS = 8
GRID = numpy.linspace(0, 1, 401)[1:]


def attenuation(poles, omega):
    """Decibels against zero frequency."""
    ratios = numpy.abs(1j * omega[:, None] - poles) / numpy.abs(poles)
    return 20 * numpy.log10(ratios).sum(axis=1)


def departure(poles, level_db):
    """Signed decibels over the bell, from zero to where it reaches the level."""
    omega = GRID * numpy.sqrt(level_db / BELL_DB)
    return attenuation(poles, omega) - BELL_DB * omega**2


def poles_of(x):
    """Pairs, given by logarithm of the decay and imaginary part; a last number is a real pole."""
    pairs = x[: len(x) // 2 * 2].reshape(-1, 2)
    upper = -numpy.exp(pairs[:, 0]) + 1j * pairs[:, 1]
    real = -numpy.exp(x[len(pairs) * 2 :])
    return numpy.concatenate([upper, upper.conj(), real])


def numbers_of(poles):
    """The same the other way."""
    upper = [p for p in poles if p.imag > 1e-9]
    real = [p.real for p in poles if abs(p.imag) <= 1e-9]
    pairs = [number for p in upper for number in (numpy.log(-p.real), p.imag)]
    return numpy.array([*pairs, *numpy.log(-numpy.array(real))])


def nepers(poles):
    """Logarithm of the product of the poles: less is steeper far out."""
    return numpy.log(numpy.abs(poles)).sum()


def steepest(order, level_db, allowed_db):
    """The least product that keeps to the departure, nepers; starts scattered about Bessel poles
    and those of a bell without end, none of them ours. A line search may stray to where nothing
    is finite; what it ends with is looked at again."""
    stream, best = numpy.random.default_rng(order), numpy.inf
    bessel = signal.bessel(order, 1.0, analog=True, output="zpk", norm="mag")[1]
    starts = [numbers_of(poles) for poles in (bessel, numpy.array(precise.gaussian(order)))]
    within = {
        "type": "ineq",
        "fun": lambda x: numpy.concatenate(
            [allowed_db - sign * departure(poles_of(x), level_db) for sign in (1, -1)]
        ),
    }
    for attempt in range(STARTS):
        with numpy.errstate(divide="ignore", invalid="ignore", over="ignore"):
            found = optimize.minimize(
                lambda x: nepers(poles_of(x)),
                starts[attempt % 2] + stream.normal(0, 0.05, order),
                method="SLSQP",
                constraints=within,
                options={"maxiter": 400, "ftol": 1e-11},
            )
        if within["fun"](found.x).min() > -1e-6:
            best = min(best, found.fun)
    return best


def least_departure(order, level_db):
    """How near the bell an order comes at all, dB."""
    bessel = signal.bessel(order, 1.0, analog=True, output="zpk", norm="mag")[1]
    return optimize.minimize(
        lambda x: x[-1],
        numpy.append(numbers_of(bessel), 1.0),
        method="SLSQP",
        constraints={
            "type": "ineq",
            "fun": lambda x: numpy.concatenate(
                [x[-1] - sign * departure(poles_of(x[:-1]), level_db) for sign in (1, -1)]
            ),
        },
        options={"maxiter": 400, "ftol": 1e-12},
    ).fun


def own_scale(poles, level_db):
    """The scale at which the poles depart least, and that departure; half power at 1 rad/s fixes
    another, a little off."""
    found = optimize.minimize_scalar(
        lambda scale: numpy.abs(departure(poles * scale, level_db)).max(),
        bounds=(0.97, 1.03),
        method="bounded",
        options={"xatol": 1e-9},
    )
    return found.x, found.fun


def test_bell(bell):
    """Half power at 1 rad/s; at its own scale within the departure; and no other filter of that
    order which keeps to it is steeper by more than a thousandth of a neper, 0.009 dB."""
    poles, order, level_db = complexes(bell["poles"]), bell["order"], bell["level_db"]
    assert abs(float(precise.three_db_edge(poles)) - 1) < 1e-9
    scale, departs = own_scale(poles, level_db)
    if departs > DEPARTURE_DB * (1 + 1e-4):
        assert departs < least_departure(order, level_db) + 1e-4, "dB"
    # 400 points miss 3e-5 dB of a ripple, and a dB of departure buys about ten nepers.
    assert nepers(poles * scale) < steepest(order, level_db, departs) + 1e-3
