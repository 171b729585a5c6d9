"""The equations of a netlist, written down node by node from the definition of each part.

Unknowns are every node's voltage but that of node 0, the current of every op-amp's output, and
every op-amp's inner voltage before its output resistance, whose one pole is
inner (1/A0 + s/(2 pi GBW)) = plus - minus. The supply is a short circuit to a signal: both rails
are node 0. Entries are pairs (constant, with s); a reader may take them as floats or fractions.
"""

from fractions import Fraction

import numpy

BOLTZMANN = 1.380649e-23  # J/K, exact [SI2019]


class Equations:
    """Rows of {column: [constant, coefficient of s]} and what drives each row."""

    def __init__(self, circuit, number=float):
        self.circuit, self.number = circuit, number
        self.place, self.rows, self.drive = {"0": None, "vcc": None}, [], {}
        self.turn = 2 * numpy.pi
        self.noise = []
        for part in circuit["parts"]:
            getattr(self, part["kind"])(part)
        self.source_and_load()

    def node(self, name):
        """The row of a node, None for the rails."""
        if name not in self.place:
            self.place[name] = self.grow()
        return self.place[name]

    def grow(self):
        """One more unknown with an empty row."""
        self.rows.append({})
        return len(self.rows) - 1

    def add(self, row, column, constant=0, with_s=0):
        """Adds to one entry; rails have neither row nor column."""
        if row is None or column is None:
            return
        entry = self.rows[row].setdefault(column, [0, 0])
        entry[0] += constant
        entry[1] += with_s

    def admittance(self, a, b, constant=0, with_s=0):
        """A two-pole between two rows."""
        for row, column, sign in [(a, a, 1), (b, b, 1), (a, b, -1), (b, a, -1)]:
            self.add(row, column, sign * constant, sign * with_s)

    def conductance(self, ohm):
        """One over a resistance, as the number wanted."""
        return 1 / self.number(ohm)

    def resistor(self, part):
        """Ohm's law, and its thermal noise as a current between its ends."""
        a, b = map(self.node, part["between"])
        self.admittance(a, b, self.conductance(part["ohm"]))
        self.noise.append((part["ref"], "thermal", a, b, part["ohm"]))

    def capacitor(self, part):
        """i = C dv/dt."""
        a, b = map(self.node, part["between"])
        self.admittance(a, b, 0, self.number(part["farad"]))

    def opamp(self, part):
        """Input resistance and capacitance, one pole, output resistance."""
        plus, minus, out = (self.node(part[pin]) for pin in ("plus", "minus", "out"))
        inner, current = self.grow(), self.grow()
        if part["input_ohm"] is not None:
            self.admittance(plus, minus, self.conductance(part["input_ohm"]))
        self.admittance(plus, minus, 0, self.number(part["input_farad"]))
        # The row of the inner voltage: inner (1/A0 + s/w) - (plus - minus) = 0.
        slow = 0
        if part["gain_bandwidth_hz"] is not None:
            slow = 1 / self.number(self.turn * part["gain_bandwidth_hz"])
        weak = 0 if part["dc_gain"] is None else self.conductance(part["dc_gain"])
        self.add(inner, inner, weak, slow)
        self.add(inner, plus, -1)
        self.add(inner, minus, 1)
        # The row of the current: inner - out - R i = 0; the current enters the output node.
        self.add(current, inner, 1)
        self.add(current, out, -1)
        self.add(current, current, -self.number(part["output_ohm"]))
        self.add(out, current, -1)
        self.noise.append((part["ref"], "voltage", inner, None, part["voltage_noise"]))
        self.noise.append((part["ref"], "current", plus, None, part["current_noise"]))
        self.noise.append((part["ref"], "current", minus, None, part["current_noise"]))

    def source_and_load(self):
        """The source behind its impedance drives the input node; the load hangs on the output."""
        entry = self.node(self.circuit["input"])
        if self.circuit["source_ohm"] == 0:
            current = self.grow()
            self.add(current, entry, 1)
            self.add(entry, current, -1)
            self.drive[current] = self.number(1)
        else:
            through = self.conductance(self.circuit["source_ohm"])
            self.admittance(entry, None, through)
            self.drive[entry] = through
            self.noise.append(("source", "thermal", entry, None, self.circuit["source_ohm"]))
        load = self.circuit["load_ohm"]
        if load is not None:
            output = self.node(self.circuit["output"])
            self.admittance(output, None, self.conductance(load))
            self.noise.append(("load", "thermal", output, None, load))

    def matrices(self):
        """The constant matrix and the one that goes with s, as floats."""
        size = len(self.rows)
        constant, with_s = numpy.zeros((size, size)), numpy.zeros((size, size))
        for row, entries in enumerate(self.rows):
            for column, (c, s) in entries.items():
                constant[row, column], with_s[row, column] = c, s
        return constant, with_s


def response(circuit, nodes, frequencies):
    """Voltages of nodes over the source's, a row for each node, by numpy's dense solver.

    Rows are scaled to a greatest entry of 1, which changes nothing but the rounding.
    """
    equations = Equations(circuit)
    constant, with_s = equations.matrices()
    drive = numpy.zeros(len(constant))
    for row, value in equations.drive.items():
        drive[row] = value
    columns = [equations.node(name) for name in nodes]
    found = []
    for f in frequencies:
        matrix = constant + 2j * numpy.pi * f * with_s
        scale = numpy.abs(matrix).max(axis=1)
        found.append(numpy.linalg.solve(matrix / scale[:, None], drive / scale)[columns])
    return numpy.array(found).T


def noise(circuit, frequencies, temperature_k):
    """Density at the output in V²/Hz, a row for each source and its owner's name beside it.

    Every source drives the circuit alone, one after the other: no transposed equations. A
    resistor makes 4kT/R in A²/Hz [JOHNSON]; an op-amp its voltage noise in series with the inputs
    and its current noise at each, white² (1 + corner/f) each.
    """
    equations = Equations(circuit)
    constant, with_s = equations.matrices()
    output = equations.node(circuit["output"])
    drives = numpy.zeros((len(constant), len(equations.noise)))
    white, corner = numpy.zeros((2, len(equations.noise)))
    for index, (_, kind, a, b, numbers) in enumerate(equations.noise):
        for row, sign in [(a, 1), (b, -1)]:
            if row is not None:
                drives[row, index] += sign
        if kind == "thermal":
            white[index] = 4 * BOLTZMANN * temperature_k / numbers
        else:
            white[index], corner[index] = numbers[0] ** 2, numbers[1]
    densities = []
    for f in frequencies:
        matrix = constant + 2j * numpy.pi * f * with_s
        scale = numpy.abs(matrix).max(axis=1)[:, None]
        gains = numpy.linalg.solve(matrix / scale, drives / scale)[output]
        densities.append(numpy.abs(gains) ** 2 * white * (1 + corner / f))
    return [entry[0] for entry in equations.noise], numpy.array(densities).T


def exactly(value):
    """The number as it is written in decimals, as a fraction: 4.7e-9 is 47/10^10, which no double
    is, and what balances on paper balances. Within rounding of the double."""
    return Fraction(repr(float(value)))
