"""How loud boards are inside and in the phones: gains, clipping, slewing, hiss, sound pressure.

Trust: closed forms on an independent response; every op-amp is looked at, not the stages.
"""

import re

import numpy
from band import quadrature, top
from board import TAU, si
from rest import Rest

RECEIVER_HZ = (300, 2700)  # over which hiss is counted, so our file on levels says


def swings(board, told, tolerance):
    """How far each op-amp's output can go from rest to the nearer end, on the lowest supply."""
    lowest = si(board.file["supply"]["lowest"])
    rest = Rest(board.file, lowest)
    nodes = [amplifier.pins[2] for amplifier in board.amplifiers]
    return [
        min(lowest - a.swing[0] - rest.at(node), rest.at(node) - a.swing[1])
        for a, node in zip(board.amplifiers, nodes, strict=True)
    ]


def test_stages(sounding, tolerance):
    """Gain at the pitch and greatest gain, and where, at every op-amp's output. A flat top is found
    to the root of what a level is good to."""
    for board, told in sounding:
        for amplifier, stage in zip(board.amplifiers, told["levels"]["stages"], strict=True):
            node = amplifier.pins[2]
            assert stage["node"] == node
            (peak, peak_hz), here = top(board, node), board.level(told["pitch_hz"], node)[0]
            assert abs(stage["peak_gain_db"] - peak) < tolerance["figure_db"]
            assert abs(stage["gain_at_pitch_db"] - here) < tolerance["figure_db"]
            tolerance.near("peak", stage["peak_gain_hz"], peak_hz, f"peak at {node}")


def test_clipping_and_slewing(sounding, tolerance):
    """The source voltage that first makes an op-amp clip: at the pitch, at the worst tone, at a
    neighbour; and whether all follow the strongest tone of any pitch, or what clips before."""
    for board, told in sounding:
        said, swing = told["levels"]["clips_at_input_v_peak"], swings(board, told, tolerance)
        nodes = [amplifier.pins[2] for amplifier in board.amplifiers]

        def least(gains_db):
            """The smallest source voltage for these gains to the outputs."""
            return min(s / 10 ** (g / 20) for s, g in zip(swing, gains_db, strict=True))

        pitch = told["pitch_hz"]
        tops = [top(board, node) for node in nodes]
        tolerance.near("edge", said["at_pitch"], least(board.level(pitch, n)[0] for n in nodes))
        tolerance.near("edge", said["worst"], least(peak for peak, _ in tops))
        first = numpy.argmin([s / 10 ** (g / 20) for s, (g, _) in zip(swing, tops, strict=True)])
        tolerance.near("peak", said["worst_hz"], tops[first][1], "worst tone")
        offsets = [si(n["offset"]) for n in board.file["listening"]["neighbours"]]
        beside = [least(board.level(pitch + d, n)[0] for n in nodes) for d in offsets]
        tolerance.near("edge", said["at_neighbours"], min(beside))
        strongest = min(numpy.sqrt(2) * si(board.file["levels"]["strongest"]), said["worst"])
        f_hz = numpy.geomspace(20, 20_000, 4001)
        follows = [
            (numpy.abs(board.gain(f_hz, node)) * TAU * f_hz).max() * strongest <= amplifier.slew
            for amplifier, node in zip(board.amplifiers, nodes, strict=True)
        ]
        assert told["levels"]["slew_ok"] == all(follows)


def test_hiss(sounding, tolerance):
    """Hiss before and behind, bare and through the ear's filter [GM1990, PATTERSON1982]."""
    for board, told in sounding:
        pitch, said = told["pitch_hz"], told["listener"]
        low, high = RECEIVER_HZ
        pieces = [quadrature(low, pitch, 60), quadrature(pitch, high, 240)]
        f_hz, weights = numpy.concatenate(pieces, axis=1)
        power = numpy.abs(board.gain(f_hz) / board.gain(pitch)[0]) ** 2
        band = 24.7 * (4.37 * pitch / 1000 + 1)
        off = 4 * numpy.abs(f_hz - pitch) / band
        for key, ear in [("hiss_drop_db", 1 + 0 * off), ("ear_gain_db", (1 + off) * numpy.exp(-off))]:
            drop = 10 * numpy.log10((ear * weights).sum() / (ear * power * weights).sum())
            assert abs(said[key] - drop) < tolerance["figure_db"], key


def test_phones(sounding, tolerance):
    """Sound pressure of the comfortable signal, and of the most that rails and output currents
    allow; two drivers side by side share the current."""
    shared = 0
    for board, told in sounding:
        pitch, said = told["pitch_hz"], told["listener"]
        phones = board.file["levels"]["phones"]
        ohm, sensitivity = si(phones["impedance"]), si(phones["sensitivity"])

        def pressure(rms):
            """SPL of so many volts [IEC 60268-7, from memory]."""
            return sensitivity + 10 * numpy.log10(1e3 * rms**2 / ohm)

        comfortable = si(board.file["levels"]["signal"]) * abs(board.gain(pitch)[0])
        assert abs(said["comfortable_spl_db"] - pressure(comfortable)) < tolerance["figure_db"]
        drivers = drivers_of(board)
        shared += len(drivers) > 1
        swing = (si(board.file["supply"]["voltage"]) - sum(drivers[0].swing)) / 2
        through = abs(board.gain(pitch) / board.gain(pitch, drivers[0].pins[2]))[0]
        peak = min(swing * through, sum(a.limit for a in drivers) * ohm)
        assert abs(said["loudest_spl_db"] - pressure(peak / numpy.sqrt(2))) < tolerance["figure_db"]
    wanted = len(sounding) if "Loud phones" in sounding[0][1]["title"] else 0
    assert shared == wanted, "boards with two drivers"


def drivers_of(board):
    """The op-amps that the file says drive the phones; the last if it says so of none."""
    roles = {part["ref"]: part["role"] for part in board.file["part"]}
    found = [a for a in board.amplifiers if "driver" in roles[a.ref]]
    return found or [board.amplifiers[-1]]


def test_bypass(sounding):
    """A step of over 1 dB between filter and bypass is told, to the tenth of a decibel: bypass is
    the phones straight at the source."""
    for board, told in sounding:
        ohm = si(board.file["levels"]["phones"]["impedance"])
        straight = 20 * numpy.log10(ohm / (ohm + board.source_ohm))
        step = board.level(told["pitch_hz"])[0] - straight
        texts = [f["text"] for f in told["findings"] if f["id"] == "bypass_match"]
        assert len(texts) == (abs(step) > 1), f"{step} dB: {texts}"
        for text in texts:
            size, way = re.search(r"plays (\S+) dB (louder|quieter)", text).groups()
            assert abs(float(size) - abs(step)) <= 0.05 + 1e-9
            assert (way == "louder") == (step > 0)
