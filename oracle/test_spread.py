"""What `narrows spread` says real parts do, against builds drawn and solved here.

Trust: an independent simulation. Parts are drawn by numpy's generator and the normal distribution
of scipy, by the rules that the program prints under "assumed"; every build is a board of `board`,
solved by numpy's dense solver. Not one draw is shared, so both sides scatter: a share of n builds has
a standard error of sqrt(p (1 - p) / n), and four of them are allowed.
"""

import json
import os
import subprocess
import tomllib
from pathlib import Path

import numpy
import pytest
from board import TAU, Board, si
from scipy import stats

ROOT = Path(__file__).parent.parent
OLD_BOX = ROOT / "examples/attic/old-box.toml"
HERE, THERE = 1200, 20_000  # builds made on either side
ALIKE, COLD, WARM = 0.5, 15, 35
BANDWIDTH = 0.3


def share(text):
    """5 % as 0.05."""
    return float(text.removesuffix("%")) / 100


def dielectrics():
    """Tolerance and slope of every dielectric, from the table of the parts."""
    with (ROOT / "crates/parts/data/dielectrics.toml").open("rb") as file:
        table = tomllib.load(file)["dielectric"]
    return {d["key"]: (share(d["tolerance"]), d.get("slope", 0) * 1e-6) for d in table}


def multiples(parts, rng, count):
    """What each part is of its printed value, build by build: uniform in its tolerance, alike in
    its bag, and one temperature for the whole box."""
    made_of, bags, drawn = dielectrics(), {}, {}
    kelvin = rng.uniform(COLD - 25, WARM - 25, count)
    for part in parts:
        if part["kind"] == "opamp":
            # One die: amplifiers of a package are the same.
            key, tolerance, alike, slope = part["ref"][:-1], BANDWIDTH, 1, 0
        else:
            usual, slope = made_of.get(part.get("dielectric"), (0.05, 0))
            tolerance = share(part["tolerance"]) if "tolerance" in part else usual
            key = (part["kind"], part["value"], part.get("dielectric"), tolerance)
            alike = ALIKE
        bag = bags.setdefault(key, rng.standard_normal(count))
        own = rng.standard_normal(count)
        u = stats.norm.cdf(numpy.sqrt(alike) * bag + numpy.sqrt(1 - alike) * own)
        drawn[part["ref"]] = (1 + tolerance * (2 * u - 1)) * (1 + slope * kelvin)
    return drawn


def figures(text, multiples, pitch, offsets):
    """Gain at the pitch, how far under the peak that is, centre, width 6 dB down, neighbours."""
    board = Board(text, multiples)
    for amplifier in board.amplifiers:
        inside = board.row(f"inside {amplifier.ref}")
        board.c[inside, inside] = 1 / (TAU * amplifier.bandwidth * multiples[amplifier.ref])
    grid = numpy.geomspace(400, 1300, 241)
    asked = numpy.array([pitch, *(pitch + offset for offset in offsets)])
    levels = board.level(numpy.concatenate([grid, asked]))
    curve, (at_pitch, *beside) = levels[: len(grid)], levels[len(grid) :]
    best = int(numpy.argmax(curve))
    x = numpy.log(grid)
    top = numpy.polyfit(x[best - 1 : best + 2] - x[best], curve[best - 1 : best + 2], 2)
    peak = top[2] - top[1] ** 2 / (4 * top[0])

    def edges(down):
        over = numpy.nonzero(curve >= peak - down)[0]
        return [
            numpy.exp(numpy.interp(peak - down, *sorted_pair(curve, x, inside, outside)))
            for inside, outside in [(over[0], over[0] - 1), (over[-1], over[-1] + 1)]
        ]

    low, high = edges(10 * numpy.log10(2))
    narrow, wide = edges(6)
    return [at_pitch, peak - at_pitch, numpy.sqrt(low * high), wide - narrow,
            *(at_pitch - level for level in beside)]


def sorted_pair(curve, x, inside, outside):
    """Both ends of a crossing by rising level, as `interp` wants them."""
    return [curve[outside], curve[inside]], [x[outside], x[inside]]


@pytest.fixture(scope="module")
def box():
    """What the program says, and as many builds made here, one figure a column."""
    asked = [os.environ["NARROWS_PROGRAM"], "spread", str(OLD_BOX), "--json", "--trials", str(THERE)]
    asked += ["--resistors", "uniform", "--capacitors", "uniform", "--alike", str(ALIKE)]
    asked += ["--cold", str(COLD), "--warm", str(WARM)]
    told = json.loads(subprocess.run(asked, check=True, capture_output=True, timeout=300).stdout)
    text = OLD_BOX.read_text()
    offsets = [n["offset_hz"] for n in told["figures"]["neighbours"]]
    rng = numpy.random.default_rng(20)
    drawn = multiples(tomllib.loads(text)["part"], rng, HERE)
    rows = [
        figures(text, {ref: values[k] for ref, values in drawn.items()}, told["pitch_hz"], offsets)
        for k in range(HERE)
    ]
    nominal = figures(text, dict.fromkeys(drawn, 1), told["pitch_hz"], offsets)
    return told, numpy.array(nominal), numpy.array(rows)


def told_of(told):
    """The figures as the program tells them, in the order of `figures`."""
    said = told["figures"]
    names = ["gain_at_pitch_db", "pitch_under_peak_db", "centre_hz", "width_6db_hz"]
    return [said[name] for name in names] + [n["down_db"] for n in said["neighbours"]]


def test_printed_values(box):
    """The box with the printed values: edges from a grid of half a per cent, good to a tenth."""
    told, nominal, _ = box
    for said, wanted in zip(told_of(told), nominal, strict=True):
        assert abs(said["nominal"] - wanted) < 0.002 * abs(wanted) + 0.002


def test_shares_below(box):
    """The shares of our builds below each quantile told are those that it is named for."""
    told, _, rows = box
    for said, column in zip(told_of(told), rows.T, strict=True):
        for name, wanted in [("low_5", 0.05), ("median", 0.5), ("high_95", 0.95)]:
            below = (column < said[name]).mean()
            error = numpy.sqrt(wanted * (1 - wanted) * (1 / HERE + 1 / THERE))
            assert abs(below - wanted) < 4 * error, f"{name}: {below} below {said[name]}"


def test_deviations(box):
    """Standard deviations; that of n builds scatters by 1/sqrt(2n), more with long tails: by the
    fourth moment of our own."""
    told, _, rows = box
    for said, column in zip(told_of(told), rows.T, strict=True):
        own = column.std(ddof=1)
        error = numpy.sqrt((stats.kurtosis(column, fisher=False) - 1) / 4 / HERE)
        assert abs(said["sigma"] / own - 1) < 4 * error


def test_yield(box):
    """The share of good boxes by the limits as they are printed: 3 dB more under the peak than the
    printed values, each neighbour 3 dB less down than asked or than the printed values give."""
    told, nominal, rows = box
    asked = [si(n["down"]) for n in tomllib.loads(OLD_BOX.read_text())["listening"]["neighbours"]]
    good = rows[:, 1] <= nominal[1] + 3
    for k, down in enumerate(asked):
        good &= rows[:, 4 + k] >= min(down, nominal[4 + k]) - 3
    error = numpy.sqrt(0.25 * (1 / HERE + 1 / THERE))
    assert abs(good.mean() - told["yield"]["share"]) < 4 * error
