"""A cascade of sections as scipy wants it, built from the numbers of the sections alone."""

import numpy

TAU = 2 * numpy.pi


def polynomials(section):
    """Numerator and denominator of one section, highest power first, frequencies in rad/s.

    Definitions of the shapes: gain 1 at f0 (band-pass), at 0 (low-pass), far out (high-pass, notch).
    """
    w0, q = TAU * section["f0_hz"], section["q"]
    second = [1.0, w0 / q, w0 * w0]
    shapes = {
        "band-pass": ([w0 / q, 0.0], second),
        "low-pass": ([w0 * w0], second),
        "high-pass": ([1.0, 0.0, 0.0], second),
        "first low-pass": ([w0], [1.0, w0]),
        "first high-pass": ([1.0, 0.0], [1.0, w0]),
    }
    if section["shape"] == "notch":
        return [1.0, 0.0, (TAU * section["zero_hz"]) ** 2], second
    return shapes[section["shape"]]


def transfer(sections, s):
    """The product of the sections at s."""
    product = numpy.ones_like(numpy.asarray(s, dtype=complex))
    for section in sections:
        over, under = polynomials(section)
        product = product * numpy.polyval(over, s) / numpy.polyval(under, s)
    return product


def poles(sections):
    """All poles, one section at a time so that no high polynomial is ever formed."""
    return numpy.concatenate([numpy.roots(polynomials(section)[1]) for section in sections])


def state_space(sections):
    """A, B, C, D of the cascade: each section in controller form, each fed by the one before.

    Every section is scaled by its own w0, so the matrix is well conditioned.
    """
    from scipy import linalg, signal

    a, b, c, d = numpy.zeros((0, 0)), numpy.zeros((0, 1)), numpy.zeros((1, 0)), numpy.ones((1, 1))
    for section in sections:
        over, under = polynomials(section)
        w0 = TAU * section["f0_hz"]
        scale = w0 ** numpy.arange(len(under))
        scaled_over = numpy.array(over) / scale[len(under) - len(over) :]
        a2, b2, c2, d2 = signal.tf2ss(scaled_over, numpy.array(under) / scale)
        a2, b2 = a2 * w0, b2 * w0
        corner = numpy.zeros((a.shape[0], a2.shape[0]))
        a = numpy.block([[a, corner], [b2 @ c, a2]]) if a.size else linalg.block_diag(a2)
        b = numpy.vstack([b, b2 @ d])
        c = numpy.hstack([d2 @ c, c2])
        d = d2 @ d
    return a, b, c, d


def states(a, start, step, count):
    """The state at `count` instants `step` apart when nothing drives it, by matrix exponential.

    Doubling: the instants known so far, carried on by their own length, are the next as many.
    """
    from scipy import linalg

    known = start[:, None]
    ahead = linalg.expm(a * step)
    while known.shape[1] < count:
        known = numpy.hstack([known, ahead @ known])
        ahead = ahead @ ahead
    return known[:, :count]


def after_key_up(sections, pitch_hz, step, count):
    """Complex output after key-up over its settled value, at `count` instants `step` apart.

    The tone at the pitch is exp(j w t) until t = 0; the settled state is (j w - A)^-1 B.
    """
    a, b, c, d = state_space(sections)
    tone = 1j * TAU * pitch_hz
    state = numpy.linalg.solve(tone * numpy.eye(len(a)) - a, b[:, 0])
    settled = (c @ state + d[0])[0]
    return (c @ states(a, state, step, count))[0] / settled
