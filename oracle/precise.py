"""High precision, which decides where a library and we differ.

Everything here is from the definitions, with fifty digits, and knows neither scipy's formulae nor
ours.
"""

import mpmath

DIGITS = 50


def three_db_edge(poles):
    """The last frequency at which an all-pole low-pass is 3.0103 dB (a half) down, rad/s."""
    with mpmath.workdps(DIGITS):
        poles = [mpmath.mpc(p) for p in poles]

        def power(w):
            """Power over that at zero frequency, less a half."""
            product = mpmath.mpf(1)
            for p in poles:
                product *= abs(p) ** 2 / abs(mpmath.mpc(0, w) - p) ** 2
            return product - mpmath.mpf(1) / 2

        outside = 2 * max(abs(p) for p in poles)
        while power(outside) > 0:
            outside *= 2
        inside = outside
        while power(inside) < 0:
            inside *= mpmath.mpf("0.97")
        return mpmath.findroot(power, (inside, outside), solver="anderson", tol=1e-60, maxsteps=500)


def normalised(poles):
    """The same shape with its last 3.0103 dB point at 1 rad/s."""
    edge = three_db_edge(poles)
    with mpmath.workdps(DIGITS):
        return [complex(mpmath.mpc(p) / edge) for p in poles]


def roots(coefficients):
    """Roots of a polynomial, highest power first."""
    with mpmath.workdps(DIGITS):
        return mpmath.polyroots([mpmath.mpf(c) for c in coefficients], maxsteps=500, extraprec=400)


def bessel(order):
    """Bessel: reverse Bessel polynomial from its sum, then normalised to half power."""
    from math import factorial

    sums = [
        mpmath.mpf(factorial(2 * order - k))
        / (mpmath.mpf(2) ** (order - k) * factorial(k) * factorial(order - k))
        for k in range(order, -1, -1)
    ]
    return normalised(roots(sums))


def gaussian(order):
    """Gaussian: 1/|H|² is the Taylor sum of exp(ω²) to the order; left roots, normalised.

    With s = jω, ω² = −s²: the polynomial in x = s² is Σ (−x)^k/k!.
    """
    with mpmath.workdps(DIGITS):
        sums = [(-1) ** k / mpmath.factorial(k) for k in range(order, -1, -1)]
        left = [-mpmath.sqrt(x) for x in roots(sums)]
        left = [p if mpmath.re(p) < 0 else -p for p in left]
        assert len(left) == order
        return normalised(left)


def synchronous(order):
    """Equal real poles whose product is half power at 1 rad/s: (1 + 1/p²)^n = 2."""
    with mpmath.workdps(DIGITS):
        pole = -1 / mpmath.sqrt(mpmath.mpf(2) ** (mpmath.mpf(1) / order) - 1)
        return [complex(pole)] * order
