"""What `narrows plan` tells of the circuits it plans, against the same circuits analysed anew.

The program runs as users run it. Of its answer only the circuit files are read by `board`, which
writes its own equations of them and solves them its own way: every source alone for noise, matrix
exponentials for a keyed tone, sampled keying for gaps. Figures are then compared one by one.
"""

import exact
import numpy
from band import EDGES, audible, top
from board import TAU
from scipy import linalg, optimize
from test_circuits import roots_agree_with

EDGE_S = 5e-3


def crossings(board, level):
    """The outermost frequencies at a level, None where it is not reached in the band."""
    grid = numpy.linspace(*EDGES, 2001)
    over = numpy.nonzero(board.level(numpy.exp(grid)) >= level)[0]
    found = []
    for inside, outside in [(over[0], over[0] - 1), (over[-1], over[-1] + 1)]:
        if not 0 <= outside < len(grid):
            return None
        root = optimize.brentq(
            lambda x: board.level(numpy.exp(x))[0] - level, grid[inside], grid[outside], xtol=1e-13
        )
        found.append(numpy.exp(root))
    return found


def settled(board, pitch):
    """The storing part of a board, its state under a settled tone, and the gain."""
    a, b, c, d = board.states()
    state = numpy.linalg.solve(2j * numpy.pi * pitch * numpy.eye(len(a)) - a, b.astype(complex))
    return (a, b, c, d), state, board.gain(pitch)[0]


def left(a, c, state, step_s, count):
    """What a dying state leaves at the output, step by step."""
    step, values = linalg.expm(a * step_s), []
    for _ in range(count):
        values.append(c @ state)
        state = step @ state
    return numpy.array(values)


def delay(board, f_hz):
    """Group delay, s: the slope of the phase by five points. Of a phase known to 1e-13 rad over a
    ten-thousandth of the frequency: 1e-9 of a period."""
    h = f_hz * 1e-4
    first, second, third, fourth = numpy.unwrap(
        numpy.angle(board.gain(f_hz + h * numpy.array([-2, -1, 1, 2])))
    )
    return -(first - 8 * second + 8 * third - fourth) / (12 * h) / TAU


def test_response(planned, tolerance):
    """Peak, gain, widths, shape, noise width. Trust: independent routes to one equation."""
    for board, told in planned:
        said, (peak, peak_hz) = told["response"], top(board)
        assert abs(said["peak_db"] - peak) < tolerance["figure_db"]
        tolerance.near("edge", said["peak_hz"], peak_hz, "peak")
        at_pitch = board.level(told["pitch_hz"])[0]
        assert abs(said["gain_at_pitch_db"] - at_pitch) < tolerance["figure_db"]
        widths = {}
        for name, down in [("3", 10 * numpy.log10(2)), ("6", 6), ("30", 30), ("60", 60)]:
            edges = crossings(board, peak - down)
            key = f"width_{name}db_hz"
            if edges is None:
                assert said[key] is None, key
                continue
            widths[name] = edges[1] - edges[0]
            tolerance.near("edge", said[key], widths[name], key)
            if name == "3":
                tolerance.near("edge", said["centre_hz"], numpy.sqrt(edges[0] * edges[1]), "centre")
            if name == "6":
                tolerance.near("edge", said["edges_6db_hz"], edges, "edges")
        if "60" in widths:
            tolerance.near("edge", said["shape_factor"], widths["60"] / widths["6"], "shape")
        f_hz, weights = audible()
        area = (numpy.abs(board.gain(f_hz)) ** 2 * weights).sum()
        tolerance.near("edge", said["noise_width_hz"], area / 10 ** (peak / 10), "noise width")
        tolerance.near("edge", said["delay_at_pitch_s"], delay(board, told["pitch_hz"]), "delay")


def test_points_and_delay(planned, tolerance):
    """Gain, phase, and delay as the slope of the phase. Trust: independent routes."""
    for board, told in planned:
        points = told["response"]["points"][::12]
        for point in points:
            at = point["f_hz"]
            assert abs(point["gain_db"] - board.level(at)[0]) < tolerance["figure_db"]
            turn = point["phase_deg"] - numpy.degrees(numpy.angle(board.gain(at)[0]))
            assert abs((turn + 180) % 360 - 180) < 1e-6
            wanted = delay(board, at)
            assert abs(point["delay_s"] - wanted) < 1e-6 * abs(wanted) + 1e-9 / at


def test_ringing(planned, tolerance):
    """Tails and overshoot of a tone cut off. Trust: independent routes; here a simulation by
    matrix exponentials, there poles and residues."""
    for board, told in planned:
        said, pitch = told["ringing"], told["pitch_hz"]
        (a, _, c, _), state, gain = settled(board, pitch)
        step = 5e-5
        slow = left(a, c, state, step, 6000) / gain
        for down in (20, 40):
            level, tail = 10 ** (-down / 20), said[f"tail_{down}db_s"]
            assert abs(numpy.nonzero(numpy.abs(slow) >= level)[0][-1] * step - tail) <= step
            slack = tolerance["tail_exact"]
            before, after = (
                abs(c @ linalg.expm(a * tail * (1 + sign * slack)) @ state / gain)
                for sign in (-1, 1)
            )
            assert after < level < before, f"{before} {level} {after} about {tail} s"
        dit = 1.2 / said["speed_wpm"]
        tolerance.near("edge", said["tail_20db_dits"], said["tail_20db_s"] / dit, "dits")
        tone = numpy.exp(1j * TAU * pitch * step * numpy.arange(len(slow)))
        rise = 20 * numpy.log10(numpy.abs(tone - slow).max())
        assert abs(said["overshoot_db"] - max(rise, 0)) < tolerance["figure_db"]


def test_gap(planned, tolerance):
    """Dits without end, stepped through the states in a frame that turns with the tone. Trust:
    independent routes; here time, there lines of a spectrum."""
    for board, told in planned:
        said, pitch = told["ringing"], told["pitch_hz"]
        (a, b, c, d), _, _ = settled(board, pitch)
        dit, count, size = 1.2 / said["speed_wpm"], 4000, len(a)
        step = 2 * dit / count
        # Keying taken as straight lines between instants: both integrals from one exponential.
        system = numpy.zeros((size + 2, size + 2), complex)
        system[:size, :size] = (a - 2j * numpy.pi * pitch * numpy.eye(size)) * step
        system[:size, size], system[size, size + 1] = b * step, 1
        whole = linalg.expm(system)
        turn, level, slope = whole[:size, :size], whole[:size, size], whole[:size, size + 1]
        # Distance into the mark from its middle, which lies at the start of the period.
        away = numpy.abs((numpy.arange(count + 1) * step + dit) % (2 * dit) - dit) - dit / 2
        key = 0.5 - 0.5 * numpy.sin(numpy.pi * numpy.clip(away / EDGE_S, -0.5, 0.5))
        state, heard = numpy.zeros(size, complex), []
        for _ in range(2):
            heard = []
            for now, then in zip(key, key[1:], strict=False):
                heard.append(abs(c @ state + d * now))
                state = turn @ state + level * now + slope * (then - now)
            # What one period leaves of its start tells where a period begins that repeats.
            once = numpy.linalg.matrix_power(turn, count)
            state = numpy.linalg.solve(numpy.eye(size) - once, state)
        heard = numpy.array(heard)
        quiet = 2 * (heard <= 0.1 * heard.max()).mean()
        tolerance.near("gap", said["gap_quiet_share"], min(quiet, 1), "gap")


def test_neighbours_and_bound(planned, tolerance):
    """How far down neighbours are, and the tail against the least possible. Trust: closed form on
    an independent response [DOLPH]."""
    for board, told in planned:
        pitch, tail = told["pitch_hz"], told["ringing"]["tail_40db_s"]
        ratios = []
        for neighbour in told["neighbours"]:
            offset = neighbour["offset_hz"]
            down = (board.level(pitch) - board.level(pitch + offset))[0]
            assert abs(neighbour["down_db"] - down) < tolerance["figure_db"]
            ratios.append(tail * abs(offset) * numpy.pi / numpy.arccosh(10 ** (down / 20)))
        tolerance.near("edge", told["ringing"]["limit_ratio"], min(ratios), "limit ratio")


def test_poles(planned, tolerance):
    """Poles are where the board rings by itself, and all lie left. Trust: independent routes; the
    eigenvalues of the states. Those over 100 kHz, of op-amps alone, are only counted."""
    for board, told in planned:
        wanted = linalg.eigvals(board.states()[0])
        found = [complex(p["re_rad_s"], p["im_rad_s"]) for p in told["poles"]]
        found += [p.conjugate() for p in found if p.imag != 0]
        assert len(found) == len(wanted)
        assert max(p.real for p in found) < 0
        for pole in found:
            if abs(pole) < TAU * 1e5:
                nearest = wanted[numpy.abs(wanted - pole).argmin()]
                tolerance.near("pole", pole, nearest, "pole")


def zeros_agree(boards, tolerance):
    """All the zeros up to 100 MHz and no others, those at 0 exactly, against the determinant."""
    beyond = TAU * 100e6
    for board, told in boards:
        wanted = exact.roots(exact.polynomials(board.netlist())[0])
        wanted = [root for root in wanted if abs(root) <= beyond]
        found = [complex(z["re_rad_s"], z["im_rad_s"]) for z in told["zeros"]]
        found += [z.conjugate() for z in found if z.imag != 0]
        assert len(found) == len(wanted), f"{board.file['title']}: {found} for {wanted}"
        assert sum(root == 0 for root in wanted) >= 2, "coupling capacitors make zeros at 0"
        roots_agree_with(found, wanted, tolerance, "zero")


def test_zeros(planned, tolerance):
    """Zeros of planned boards. Trust: the same equations in exact fractions, roots from
    [MPMATH]."""
    zeros_agree(planned, tolerance)


def test_zeros_with_old_opamps(planned_with_old_opamps, tolerance):
    """The same where op-amps have an output resistance that signals get through."""
    zeros_agree(planned_with_old_opamps, tolerance)


def test_noise(planned, tolerance):
    """Noise in all and by part, every source driving alone. Trust: independent routes."""
    for board, told in planned:
        f_hz, weights = audible()
        owners, densities = board.noise(f_hz)
        powers = {}
        for owner, power in zip(owners, densities @ weights, strict=True):
            powers[owner] = powers.get(owner, 0) + power
        said = told["noise"]
        total = numpy.sqrt(sum(powers.values()))
        tolerance.near("noise_total", said["output_v_rms"], total, "noise")
        for part in said["by_part"]:
            share = numpy.sqrt(powers.pop(part["ref"], 0))
            assert abs(part["output_v_rms"] - share) < tolerance["noise_total"] * total
        assert sum(powers.values()) == 0, f"{powers.keys()} make noise too"
        pitch = numpy.array([told["pitch_hz"]])
        density = numpy.sqrt(board.noise(pitch)[1].sum()) / abs(board.gain(pitch)[0])
        tolerance.near("noise_density", said["input_density_v_rthz"], density, "density")


def test_stays_stable(planned):
    """No cable and no batch of op-amps makes a planned board oscillate. Trust: physical invariant.

    1 nF and 10 nF of cable at the output; amplifiers half and twice as fast.
    """
    for board, told in planned:
        for farad, speed in [(0, 1), (1e-9, 1), (1e-8, 1), (0, 0.5), (0, 2)]:
            kept = board.c.copy()
            board.c[board.output, board.output] += farad
            for amplifier in board.amplifiers:
                inside = board.row(f"inside {amplifier.ref}")
                board.c[inside, inside] /= speed
            poles = linalg.eigvals(board.states()[0])
            board.c = kept
            assert poles.real.max() < 0, f"{told['title']}: {farad} F, op-amps x {speed}"
