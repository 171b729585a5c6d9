"""How the figures move with every part: the adjoint solves of ours against parts that do move.

Trust: independent routes. A planned board is built anew with one part off by 1 and 2 parts in
10 000 to either side, its figures are found again, and five points give the slope.
"""

import copy

import mpmath
import numpy
import symbolic
import sympy
from board import TAU, Board
from scipy import linalg, optimize

STEP = 1e-4
PLACES = numpy.array([-2, -1, 1, 2])
SLOPE = numpy.array([1, -8, 8, -1]) / 12
DOWN = {"3": 10 * mpmath.log10(2), "6": mpmath.mpf(6)}
FIGURES = ["gain_at_pitch", "centre", "width_3db", "width_6db", "tail_20db"]


class Watched:
    """Where the figures of a board lie, so that they are found again on one that differs little:
    of several tops, edges and crossings the same is followed."""

    def __init__(self, board, told):
        self.text, self.pitch = board.text, told["pitch_hz"]
        said = told["response"]
        self.peak = top(board, said["peak_hz"])
        self.edges = [
            [edge(board, f, self.level(board) - down) for f in outermost(board, self, down)]
            for down in (10 * numpy.log10(2), 6.0)
        ]
        self.tail = told["ringing"]["tail_20db_s"]
        self.falls = left(board, self.pitch, self.tail)[1]

    def level(self, board):
        """The greatest level, dB."""
        return board.level(top(board, self.peak))[0]

    def figures(self, board):
        """Logarithms of gain at the pitch, centre, both widths and tail: the last to first order
        about the board as planned, by its envelope at the end of its tail."""
        peak, found = self.level(board), [numpy.log(abs(board.gain(self.pitch)[0]))]
        for (low, high), down in zip(self.edges, (10 * numpy.log10(2), 6.0), strict=True):
            low, high = (edge(board, f, peak - down) for f in (low, high))
            if down < 6:
                found.append(numpy.log(low * high) / 2)
            found.append(numpy.log(high - low))
        return numpy.array([*found, left(board, self.pitch, self.tail)[0] / -self.falls])

    def slopes(self, ref):
        """Of all of them against the logarithm of one value."""
        moved = [self.figures(Board(self.text, {ref: 1 + at * STEP})) for at in PLACES]
        # Four places in the factor, not in its logarithm: 1e-8 of the slope.
        return SLOPE @ numpy.array(moved) / STEP


def top(board, near):
    """The frequency of the top nearest to one, where the slope of the level is nothing."""

    def slope(f_hz):
        """d ln|H| / df but for a factor."""
        s = 1j * TAU * f_hz
        matrix = board.g + s * board.c
        x = numpy.linalg.solve(matrix, board.b)
        turned = numpy.linalg.solve(matrix, board.c @ x)
        return (turned[board.output] / x[board.output]).imag

    for reach in (1e-4, 1e-3, 1e-2):
        low, high = near * (1 - reach), near * (1 + reach)
        if slope(low) * slope(high) < 0:
            return optimize.brentq(slope, low, high, xtol=1e-13 * near, rtol=1e-15)
    raise AssertionError(f"no top near {near} Hz")


def outermost(board, watched, down):
    """About where the outermost crossings lie."""
    grid = numpy.geomspace(20, 20_000, 4001)
    over = grid[board.level(grid) >= watched.level(board) - down]
    return over[0], over[-1]


def edge(board, near, level):
    """The frequency near one at which the response crosses a level."""
    return optimize.brentq(
        lambda f: board.level(f)[0] - level, near * 0.997, near * 1.003, xtol=1e-12, rtol=1e-15
    )


def modes(board, below):
    """Poles slower than `below` rad/s with the residues of the response there: eigenvalues, then
    refined by Rayleigh quotients of the null vectors of the unreduced equations."""
    found = []
    for pole in linalg.eigvals(board.states()[0]):
        if abs(pole) > below:
            continue
        for _ in range(12):
            matrix = board.g + pole * board.c
            size = numpy.abs(matrix).max(axis=1)
            left, _, right = linalg.svd(matrix / size[:, None])
            x, y = right[-1].conj(), left[:, -1].conj() / size
            change = (y @ matrix @ x) / (y @ board.c @ x)
            pole = pole - change
            if abs(change) < 1e-14 * abs(pole):
                break
        found.append((pole, x[board.output] * (y @ board.b) / (y @ board.c @ x)))
    return numpy.array(found).T


def left(board, pitch, time):
    """Logarithm of the envelope of a cut tone over its settled value at a time, and its slope over
    the logarithm of time, from slow poles and residues: what is a hundred times faster than the
    pitch is over by then."""
    tone = 2j * numpy.pi * pitch
    poles, residues = modes(board, 100 * abs(tone))
    terms = residues / (tone - poles) * numpy.exp(poles * time)
    rate = (poles * terms).sum() / terms.sum()
    return numpy.log(abs(terms.sum() / board.gain(pitch)[0])), rate.real * time


def test_every_part(planned, tolerance):
    """Gain, centre, widths and tail against every value of planned boards; a part that is not
    told moves nothing."""
    for board, told in planned:
        watched = Watched(board, told)
        said = {entry["ref"]: entry for entry in told["sensitivities"]}
        for part in board.file["part"]:
            if part["kind"] not in ("resistor", "capacitor"):
                assert part["ref"] not in said
                continue
            wanted = watched.slopes(part["ref"])
            found = said.get(part["ref"], dict.fromkeys(FIGURES, 0.0))
            for key, slope in zip(FIGURES, wanted, strict=True):
                compare(f"{part['ref']} {key}", found[key], slope, tolerance)


class Stage:
    """A stage with ideal op-amps by its transfer function in letters, with forty digits."""

    def __init__(self, circuit, pitch_hz, tail_s):
        (over, under), values = symbolic.in_letters(copy.deepcopy(circuit))
        self.pitch, self.tail = mpmath.mpf(pitch_hz), tail_s
        self.values = {name: mpmath.mpf(value) for name, value in values.items()}
        self.sides = [
            sympy.lambdify([sympy.Symbol(name, positive=True) for name in values], p, "mpmath")
            for p in (side.all_coeffs() for side in (over, under))
        ]
        grid = numpy.geomspace(20, 20_000, 4001)
        sides = [[float(c) for c in side] for side in self.of(self.values)]
        over, under = (numpy.polyval(side, 1j * TAU * grid) for side in sides)
        levels = 20 * numpy.log10(numpy.abs(over / under))
        best = int(levels.argmax())
        self.top = grid[best] if 0 < best < len(grid) - 1 else None
        self.near = {}
        for down in ("3", "6"):
            inside = numpy.nonzero(levels >= levels[best] - float(DOWN[down]))[0]
            whole = self.top and inside[0] > 0 and inside[-1] < len(grid) - 1
            ends = (inside[0], inside[-1] + 1)
            self.near[down] = [(grid[i - 1], grid[i]) for i in ends] if whole else None

    def of(self, values):
        """Coefficients above and below, highest power of s first."""
        return [side(*values.values()) for side in self.sides]

    def at(self, sides, f_hz):
        """The response at a frequency."""
        over, under = (mpmath.polyval(side, 2j * mpmath.pi * f_hz) for side in sides)
        return over / under

    def level(self, sides, f_hz):
        """The same in decibels."""
        return 20 * mpmath.log10(abs(self.at(sides, mpmath.mpf(f_hz))))

    def figures(self, drift=None):
        """Logarithms of gain at the pitch, centre, both widths and tail; None where there is none."""
        sides = self.of({name: v * (drift or {}).get(name, 1) for name, v in self.values.items()})
        found = [mpmath.log(abs(self.at(sides, self.pitch))), None, None, None, None]
        for index, (down, near) in enumerate(self.near.items(), start=2):
            if near is None:
                continue
            slope = lambda f: mpmath.diff(lambda g: self.level(sides, g), f)
            peak = self.level(sides, mpmath.findroot(slope, self.top))
            edges = [
                mpmath.findroot(
                    lambda f: self.level(sides, f) - peak + DOWN[down], ends, solver="anderson"
                )
                for ends in near
            ]
            found[index] = mpmath.log(edges[1] - edges[0])
            if down == "3":
                found[1] = mpmath.log(edges[0] * edges[1]) / 2
        if self.tail:
            found[4] = mpmath.log(self.crossing(sides))
        return found

    def crossing(self, sides):
        """When what a cut tone leaves crosses a tenth, by residues."""
        over, under = sides
        poles, tone = mpmath.polyroots(under, maxsteps=200, extraprec=100), 2j * mpmath.pi * self.pitch
        slope = [c * (len(under) - 1 - k) for k, c in enumerate(under[:-1])]
        weights = [mpmath.polyval(over, p) / mpmath.polyval(slope, p) / (tone - p) for p in poles]
        settled = abs(self.at(sides, self.pitch))

        def over_a_tenth(time):
            """Nepers over the level."""
            total = sum(w * mpmath.exp(p * time) for w, p in zip(weights, poles, strict=True))
            return mpmath.log(abs(total) / settled * 10)

        return mpmath.findroot(over_a_tenth, self.tail)


def test_every_part_of_an_ideal_stage(designed_stage, tolerance):
    """The same for every topology as designed. Trust: transfer functions in letters [LCAPY] and
    differences so small that forty digits leave the slope twenty [MPMATH]."""
    stage, told = designed_stage, designed_stage["sensitivities"]
    with mpmath.workdps(40):
        judge = Stage(stage["circuit"], told["pitch_hz"], told["tail_20db_s"])
        tail = judge.figures()[4]
        if tail is not None:
            tolerance.near("tail_exact", told["tail_20db_s"], float(mpmath.exp(tail)), "tail")
        step = mpmath.mpf(10) ** -12
        said = {entry["ref"]: entry for entry in told["parts"]}
        for name, part in zip(judge.values, passive(stage["circuit"]), strict=True):
            up, down = (judge.figures({name: mpmath.exp(sign * step)}) for sign in (1, -1))
            for key, more, less in zip(FIGURES, up, down, strict=True):
                wanted = None if more is None else float((more - less) / (2 * step))
                compare(f"{part['ref']} {key}", said[part["ref"]][key], wanted, tolerance)


def passive(circuit):
    """The parts that have a value."""
    return [part for part in circuit["parts"] if part["kind"] in ("resistor", "capacitor")]


def compare(what, found, wanted, tolerance):
    """One slope; both must be there, or neither."""
    assert (found is None) == (wanted is None), f"{what}: {found} for {wanted}"
    if wanted is not None:
        assert abs(found - wanted) < tolerance["sensitivity"], f"{what}: {found} for {wanted}"
