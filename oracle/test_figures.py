"""What a listener is told of a cascade of real stages: widths, delay, noise width, ringing, gap.

Trust: independent routes. Poles and zeros come from the netlist in exact fractions [MPMATH]; the
figures follow from them by their definitions, with quadrature from [SCIPY].
"""

import numpy
import pytest
from scipy import integrate, optimize
from shape import Shape

TAU = 2 * numpy.pi


@pytest.fixture
def shape(cascade):
    """The cascade from its netlist."""
    return Shape.of_circuit(cascade["circuit"])


def test_points(cascade, shape, tolerance):
    """Gain, phase and delay at three frequencies."""
    for f_hz, gain_db, phase_deg, delay_s in cascade["figures"]["points"]:
        assert abs(gain_db - shape.level(f_hz)) < 1e-7
        turn = (phase_deg - numpy.degrees(numpy.angle(shape.at(f_hz))) + 180) % 360 - 180
        assert abs(turn) < 1e-6
        assert abs(delay_s - shape.delay(f_hz)) < tolerance["edge"] * abs(delay_s)


def test_peak_and_edges(cascade, shape, tolerance):
    """The peak, and the outermost crossings half power and 6 dB under it."""
    told, centre = cascade["figures"], cascade["centre_hz"]
    grid = numpy.geomspace(20, 20_000, 40_001)
    top = int(numpy.argmax(shape.level(grid)))
    peak_hz = optimize.minimize_scalar(
        lambda f: -shape.level(f), bounds=(grid[top - 1], grid[top + 1]), method="bounded",
        options={"xatol": 1e-7 * centre},
    ).x
    peak = float(shape.level(peak_hz))
    assert abs(told["peak_db"] - peak) < 1e-6
    for key, down in [("edges_3db_hz", 10 * numpy.log10(2)), ("edges_6db_hz", 6.0)]:
        over = numpy.nonzero(shape.level(grid) > peak - down)[0]
        for edge, (inside, outside) in zip(
            told[key], [(over[0], over[0] - 1), (over[-1], over[-1] + 1)], strict=True
        ):
            wanted = optimize.brentq(
                lambda f: shape.level(f) - (peak - down), grid[inside], grid[outside], xtol=1e-9
            )
            tolerance.near("edge", edge, wanted, key)


def test_noise_width(cascade, shape, tolerance):
    """The area under the power response from 20 Hz to 20 kHz over its peak."""
    grid = numpy.geomspace(20, 20_000, 200_001)
    power = numpy.abs(shape.at(grid)) ** 2
    area = integrate.simpson(power * grid, x=numpy.log(grid))
    tolerance.near("edge", cascade["figures"]["noise_width_hz"], area / power.max(), "noise width")


@pytest.mark.parametrize("down_db", [20, 40])
def test_tail(cascade, shape, down_db, tolerance):
    """The envelope crosses the level at the tail's end, and never comes back over it."""
    pitch, tail = cascade["figures"]["pitch_hz"], cascade["figures"][f"tail_{down_db}db_s"]
    level, slack = 10 ** (-down_db / 20), tolerance["tail_exact"]
    before = shape.envelope(pitch, tail * (1 - slack))
    after = shape.envelope(pitch, tail * (1 + slack))
    assert after < level < before, f"{before} {level} {after} about {tail} s"
    later = tail * numpy.linspace(1 + 10 * slack, 6, 20_001)
    assert numpy.abs(shape.slow(pitch, later)).max() < level


def test_overshoot(cascade, shape, tolerance):
    """The greatest rise after key-down: the settled tone less what dies after key-up."""
    pitch = cascade["figures"]["pitch_hz"]
    slowest = -1 / max(float(p.real) for p in shape.poles)
    times = numpy.linspace(0, 20 * slowest, 200_001)
    rise = numpy.abs(numpy.exp(1j * TAU * pitch * times) - shape.slow(pitch, times)).max()
    told = cascade["figures"]["overshoot_db"]
    assert abs(told - max(0.0, 20 * numpy.log10(rise))) < tolerance["figure_db"]


def test_gap(cascade, shape, tolerance):
    """Dits without end, their edges raised cosines of 5 ms, through the filter by FFT.

    The keying is sampled in time from its definition: half amplitude at the nominal instants.
    """
    figures = cascade["figures"]
    pitch, dit = figures["pitch_hz"], 1.2 / figures["speed_wpm"]
    count = 1 << 15
    times = numpy.arange(count) * 2 * dit / count
    edge = 5e-3
    # Distance into the mark, counted from its middle, which lies at t = 0 of the period.
    beyond = numpy.abs((times + dit) % (2 * dit) - dit) - dit / 2
    ramp = 0.5 - 0.5 * numpy.sin(numpy.pi * numpy.clip(beyond / edge, -0.5, 0.5))
    offsets = numpy.fft.fftfreq(count, 2 * dit / count)
    lines = numpy.fft.fft(ramp) * shape.at(numpy.where(pitch + offsets == 0, 1e-9, pitch + offsets))
    envelope = numpy.abs(numpy.fft.ifft(lines))
    quiet = (envelope <= 0.1 * envelope.max()).mean() * 2
    tolerance.near("gap", figures["gap_quiet_share"], quiet, "gap")
