"""Band-passes: poles, response, edges, and what happens when the key goes up.

Trust: reference library [SCIPY] (`lp2bp_zpk`, `freqs_zpk`, `lsim` by matrix exponential), fed with
scipy's own prototypes or with the numbers of the sections.
"""

import cascade
import numpy
import precise
import pytest
from numbers_of_testimony import matched
from scipy import signal

TAU = 2 * numpy.pi


def prototype(family, order):
    """The low-pass prototype of that family, not from us."""
    if family == "butterworth":
        return signal.butter(order, 1.0, analog=True, output="zpk")[1]
    if family == "bessel":
        return signal.bessel(order, 1.0, analog=True, output="zpk", norm="mag")[1]
    if family == "chebyshev":
        return signal.cheby1(order, 0.5, 1.0, analog=True, output="zpk")[1]
    return precise.synchronous(order)


def test_poles_are_those_of_scipys_transform(band_pass, tolerance):
    """The natural frequencies and Qs of the sections give the poles of `lp2bp_zpk`."""
    poles = prototype(band_pass["family"], band_pass["order"])
    centre, width = TAU * band_pass["centre_hz"], TAU * band_pass["width_hz"]
    _, wanted, _ = signal.lp2bp_zpk([], poles, 1.0, wo=centre, bw=width)
    found = cascade.poles(band_pass["sections"])
    tolerance.near("prototype_pole", matched(found, wanted), wanted, "pole")


def test_down_against_the_pitch(band_pass):
    """Attenuation against the pitch at seven frequencies, by evaluating the sections."""
    sections, pitch = band_pass["sections"], band_pass["pitch_hz"]
    at_pitch = abs(cascade.transfer(sections, 1j * TAU * pitch))
    told = band_pass["response"]
    assert abs(told["gain_at_pitch"] - at_pitch) < 1e-10 * at_pitch
    for f_hz, down_db in told["down_db"]:
        wanted = 20 * numpy.log10(at_pitch / abs(cascade.transfer(sections, 1j * TAU * f_hz)))
        assert abs(down_db - wanted) < 1e-8, f"{down_db} dB for {wanted} dB at {f_hz} Hz"


def test_edges_are_outermost(band_pass, tolerance):
    """At each edge the response is 3.0103 dB under its peak, and beyond it nowhere more.

    The peak is taken from two grids, one inside the other: 1e-7 dB for these shapes.
    """
    sections = band_pass["sections"]

    def level(f_hz):
        """Response in dB."""
        return 20 * numpy.log10(numpy.abs(cascade.transfer(sections, 1j * TAU * f_hz)))

    wide = band_pass["centre_hz"] * numpy.geomspace(1 / 30, 30, 20_001)
    top = int(numpy.argmax(level(wide)))
    near = numpy.geomspace(wide[top - 1], wide[top + 1], 2001)
    wanted = level(near).max() - 10 * numpy.log10(2)
    low, high = band_pass["response"]["edges_3db_hz"]
    for edge, outside in [(low, wide[wide < low]), (high, wide[wide > high])]:
        inward = 1 if edge == low else -1
        nearer, farther = (
            edge * (1 + side * inward * tolerance["edge"]) for side in (1, -1)
        )
        assert level(farther) < wanted < level(nearer), f"{edge} Hz at {level(edge) - wanted} dB"
        assert level(outside).max() < wanted + 1e-9


def test_envelope_after_key_up(band_pass, tolerance):
    """The envelope at five instants, by scipy's `lsim` from the settled state.

    The real and the imaginary part of the state are let go one after the other.
    """
    told = numpy.array(band_pass["response"]["envelope_after_key_up"])
    times = numpy.linspace(0.0, told[-1, 0], 171)
    a, b, c, d = cascade.state_space(band_pass["sections"])
    tone = 1j * TAU * band_pass["pitch_hz"]
    state = numpy.linalg.solve(tone * numpy.eye(len(a)) - a, b[:, 0])
    silence = numpy.zeros(len(times))
    real, imaginary = (
        signal.lsim((a, b, c, d), silence, times, X0=numpy.ascontiguousarray(x))[1]
        for x in (state.real, state.imag)
    )
    simulated = numpy.abs(real + 1j * imaginary) / abs((c @ state + d[0])[0])
    for time, level in told:
        index = int(numpy.argmin(numpy.abs(times - time)))
        assert abs(times[index] - time) < 1e-9 * told[-1, 0]
        assert abs(level - simulated[index]) < tolerance["envelope"], f"at {time} s"


@pytest.mark.parametrize("down_db", [20, 40])
def test_tail_is_the_last_crossing(band_pass, down_db):
    """The envelope is last over the level at the tail's end, to one step in 20 000 of the tail."""
    tail = band_pass["response"][f"tail_{down_db}db_s"]
    step = tail / 20_000
    output = cascade.after_key_up(
        band_pass["sections"], band_pass["pitch_hz"], step, 4 * 20_000
    )
    over = numpy.nonzero(numpy.abs(output) > 10 ** (-down_db / 20))[0]
    assert over.size
    last = over[-1] * step
    assert last - 1e-3 * step <= tail <= last + 1.001 * step, f"{tail} s told, {last} s simulated"


def test_overshoot(band_pass, tolerance):
    """The greatest rise of the envelope after key-down, which is the settled tone less the tail."""
    sections, pitch = band_pass["sections"], band_pass["pitch_hz"]
    count = 160_000
    step = -25 / cascade.poles(sections).real.max() / count
    tone = numpy.exp(1j * TAU * pitch * step * numpy.arange(count))
    rise = numpy.abs(tone - cascade.after_key_up(sections, pitch, step, count)).max()
    wanted = max(0.0, 20 * numpy.log10(rise))
    told = band_pass["response"]["overshoot_db"]
    assert abs(told - wanted) < tolerance["figure_db"], f"{told} dB for {wanted} dB"
