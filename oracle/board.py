"""A board from its circuit file, and what it does to a signal, written down anew.

Read from nothing but the file and the table of op-amps: no figure of the program comes in here.
Unknowns are the voltages of the nodes but those of 0 and vcc, and of every op-amp the voltage
inside, before its output resistance: inside (1/A0 + s/(2 pi GBW)) = plus - minus.
"""

import re
import tomllib
from pathlib import Path

import numpy
from scipy import linalg

TAU = 2 * numpy.pi
ROOM_K = 298.15
BOLTZMANN, CHARGE = 1.380649e-23, 1.602176634e-19  # exact [SI2019]
PREFIXES = {"f": -15, "p": -12, "n": -9, "µ": -6, "u": -6, "m": -3, "": 0, "R": 0, "k": 3,
            "M": 6, "G": 9, "T": 12}
TABLE = Path(__file__).parent.parent / "crates/parts/data/opamps.toml"


def si(text):
    """The number a quantity stands for, its unit dropped: 4k7, 6n8, 1.2 kHz, -45 nA, 100 dB."""
    found = re.fullmatch(r"([+-]?\d+)([.pnµumRkMGT]?)(\d*)\s*([fpnµumkMGT]?)(\D.*)?", text.strip())
    whole, between, rest, prefix, _ = found.groups()
    inner = between if between != "." else ""
    if text.endswith(("dB", "dB/mW")) or not (inner or prefix):
        prefix = ""
    return float(f"{whole}.{rest or 0}e{PREFIXES[inner or prefix]}")


def opamps():
    """The families of the table by the names of their types."""
    with TABLE.open("rb") as file:
        families = tomllib.load(file)["family"]
    return {name: f for f in families for name in [*f["types"].values(), *f.get("aliases", [])]}


class Amplifier:
    """The numbers of one op-amp of a board."""

    def __init__(self, part, family):
        self.ref, self.pins = part["ref"], [part[pin] for pin in ("plus", "minus", "out")]
        ends, out, noise = family["input"], family["output"], family["noise"]
        self.gain, self.bandwidth = 10 ** (si(family["gain"]) / 20), si(family["bandwidth"])
        self.slew = si(family["slew"].removesuffix("/µs")) * 1e6
        self.input_ohm, self.input_farad = si(ends["resistance"]), si(ends["capacitance"])
        self.offset, self.bias = si(ends["offset"]), si(ends["bias"])
        self.common = [si(ends[end]) for end in ("below_positive", "above_negative")]
        self.ohm, self.limit = si(out["resistance"]), si(out["limit"])
        self.swing = [si(out[end]) for end in ("below_positive", "above_negative")]
        self.current = si(family["supply"]["current"])
        self.noise = {kind: (si(noise[kind].removesuffix("/√Hz")), si(noise[f"{kind}_corner"]))
                      for kind in ("voltage", "current")}


class Board:
    """The equations (G + s C) x = b of a board, and what makes noise in it."""

    def __init__(self, text, drift=None):
        """From the text of the file; `drift` multiplies the values of the parts it names."""
        self.text, self.file, drift = text, tomllib.loads(text), drift or {}
        self.place, self.amplifiers, self.hiss = {}, [], []
        table, entries = opamps(), []
        for part in self.file["part"]:
            value = si(part.get("value", "1")) * drift.get(part["ref"], 1)
            match part["kind"]:
                case "resistor":
                    entries.append((*part["between"], 1 / value, 0))
                    self.thermal(part["ref"], *part["between"], value)
                case "capacitor":
                    entries.append((*part["between"], 0, value))
                case "opamp":
                    self.amplifiers.append(Amplifier(part, table[part["type"]]))
                case "diode":
                    assert {part["anode"], part["cathode"]} == {"0", "vcc"}
        self.source_ohm = si(self.file["source"]["impedance"])
        load = si(self.file["load"]["impedance"])
        for ref, node, ohm in [("source", self.file["input"], self.source_ohm),
                               ("load", self.file["output"], load)]:
            entries.append((node, "0", 1 / ohm, 0))
            self.thermal(ref, node, "0", ohm)
        for amplifier in self.amplifiers:
            plus, minus, out = amplifier.pins
            entries.append((plus, minus, 1 / amplifier.input_ohm, amplifier.input_farad))
            entries.append((out, f"inside {amplifier.ref}", 1 / amplifier.ohm, 0))
            self.hiss.append((amplifier.ref, "voltage", None, None, amplifier))
            self.hiss += [(amplifier.ref, "current", pin, None, amplifier) for pin in (plus, minus)]
        self.fill(entries)
        self.b = self.unit(self.file["input"]) / self.source_ohm
        self.output = self.row(self.file["output"])

    def netlist(self):
        """The board as `nodal` reads it; the diode across the supply carries no signal."""
        parts = []
        for part in self.file["part"]:
            kind = {"resistor": "ohm", "capacitor": "farad"}.get(part["kind"])
            if kind:
                parts.append({"kind": part["kind"], "ref": part["ref"],
                              "between": part["between"], kind: si(part["value"])})
        for amplifier in self.amplifiers:
            plus, minus, out = amplifier.pins
            parts.append({
                "kind": "opamp", "ref": amplifier.ref, "plus": plus, "minus": minus, "out": out,
                "input_ohm": amplifier.input_ohm, "input_farad": amplifier.input_farad,
                "gain_bandwidth_hz": amplifier.bandwidth, "dc_gain": amplifier.gain,
                "output_ohm": amplifier.ohm, "voltage_noise": (0, 0), "current_noise": (0, 0),
            })
        return {"input": self.file["input"], "output": self.file["output"], "parts": parts,
                "source_ohm": self.source_ohm, "load_ohm": si(self.file["load"]["impedance"])}

    def thermal(self, ref, a, b, ohm):
        """The thermal noise of a resistance [JOHNSON]."""
        self.hiss.append((ref, "thermal", a, b, ohm))

    def row(self, node):
        """The unknown of a node, None for the two that are held."""
        if node in ("0", "vcc"):
            return None
        return self.place.setdefault(node, len(self.place))

    def unit(self, node):
        """A right-hand side of one at a node."""
        return numpy.eye(len(self.place))[self.row(node)]

    def fill(self, entries):
        """Both matrices from two-poles (a, b, conductance, capacitance) and the op-amps."""
        rows = [(self.row(a), self.row(b), g, c) for a, b, g, c in entries]
        size = len(self.place)
        self.g, self.c = numpy.zeros((size, size)), numpy.zeros((size, size))
        for a, b, g, c in rows:
            for i, j, sign in [(a, a, 1), (b, b, 1), (a, b, -1), (b, a, -1)]:
                if i is not None and j is not None:
                    self.g[i, j] += sign * g
                    self.c[i, j] += sign * c
        for amplifier in self.amplifiers:
            inside = self.row(f"inside {amplifier.ref}")
            self.g[inside], self.c[inside] = 0, 0
            self.g[inside, inside] = 1 / amplifier.gain
            self.c[inside, inside] = 1 / (TAU * amplifier.bandwidth)
            for pin, sign in zip(amplifier.pins, (-1, 1), strict=False):
                if self.row(pin) is not None:
                    self.g[inside, self.row(pin)] += sign

    def solve(self, f_hz, right):
        """All unknowns at frequencies, a row each, for one right-hand side or several."""
        s = 2j * numpy.pi * numpy.atleast_1d(f_hz)
        matrix = self.g + s[:, None, None] * self.c
        scale = numpy.abs(matrix).max(axis=2, keepdims=True)
        right = right.reshape(len(right), -1)
        return numpy.linalg.solve(matrix / scale, right / scale)

    def gain(self, f_hz, node=None):
        """Phasor of a node, the output's if none is named, over the open source's."""
        column = self.output if node is None else self.row(node)
        return self.solve(f_hz, self.b)[:, column, 0]

    def level(self, f_hz, node=None):
        """The same in decibels."""
        return 20 * numpy.log10(numpy.abs(self.gain(f_hz, node)))

    def states(self):
        """`x' = A x + B u`, `y = C x` of the storing part, by splitting the C matrix (its
        singular vectors) into what stores and what must follow at once."""
        scale = numpy.abs(self.g).max(axis=1, keepdims=True)
        g, c, b = self.g / scale, self.c / scale, self.b / scale[:, 0]
        left, sizes, right = linalg.svd(c)
        rank = int((sizes > 1e-13 * sizes[0]).sum())
        inner, drive = left.T @ g @ right.T, left.T @ b
        follow = linalg.solve(inner[rank:, rank:], numpy.c_[inner[rank:, :rank], drive[rank:]])
        a = -(inner[:rank, :rank] - inner[:rank, rank:] @ follow[:, :-1]) / sizes[:rank, None]
        into = (drive[:rank] - inner[:rank, rank:] @ follow[:, -1]) / sizes[:rank]
        seen = right.T[self.output]
        return a, into, seen[:rank] - seen[rank:] @ follow[:, :-1], seen[rank:] @ follow[:, -1]

    def noise(self, f_hz):
        """Owners, and densities at the output in V²/Hz, a row for each source: every source
        drives the board alone, one after the other."""
        size = len(self.place)
        drives, power = numpy.zeros((size, len(self.hiss))), []
        for index, (_, kind, a, b, what) in enumerate(self.hiss):
            if kind == "voltage":
                drives[self.row(f"inside {what.ref}"), index] = 1
            for node, sign in [(a, 1), (b, -1)]:
                if node is not None and self.row(node) is not None:
                    drives[self.row(node), index] += sign
            if kind == "thermal":
                power.append(4 * BOLTZMANN * ROOM_K / what + 0 * f_hz)
            else:
                white, corner = what.noise[kind]
                power.append(white**2 * (1 + corner / f_hz))
        gains = self.solve(f_hz, drives)[:, self.output, :].T
        return [entry[0] for entry in self.hiss], numpy.abs(gains) ** 2 * numpy.array(power)
