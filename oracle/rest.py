"""Where a board rests, from its file alone: every law as a row of its own, ideal limits.

Unknowns are the voltages of the nodes but those of 0 and vcc and, of every op-amp, the voltage
inside before its output resistance and the current out of it. An op-amp is in one of five states:
linear, at the high or the low end of its swing, or giving or taking all the current it can. The
states are guessed linear, the equations solved by Newton's method for the diodes, and a state that
contradicts the solution is changed, one at a time. Our own model bends where this one breaks.
"""

import numpy
from board import BOLTZMANN, CHARGE, ROOM_K, Amplifier, opamps, si

THERMAL_V = BOLTZMANN * ROOM_K / CHARGE
SHORT_OHM = 1e-3  # anything less joins its ends
# Which rail an end is near, and on which side of it; which way a limited current flows.
ENDS = {"high": (0, 1), "low": (1, -1)}
LIMITS = {"giving": -1, "taking": 1}


class Rest:
    """A board at rest on a supply of so many volts."""

    def __init__(self, file, volts):
        self.file, self.volts = file, volts
        self.joined, self.resistors, self.diodes, self.amplifiers = {}, [], [], []
        for part in file["part"]:
            getattr(self, part["kind"])(part)
        self.two_pole(file["input"], "0", si(file["source"]["impedance"]))
        if "load" in file:
            self.two_pole(file["output"], "0", si(file["load"]["impedance"]))
        self.held = {self.node("0"): 0.0, self.node("vcc"): volts}
        names = {n for a, b, _ in self.resistors for n in (a, b)}
        names |= {n for a, b, _, _ in self.diodes for n in (a, b)}
        names |= {n for amplifier, _ in self.amplifiers for n in amplifier.pins}
        free = sorted({self.node(name) for name in names} - set(self.held))
        self.place = {name: row for row, name in enumerate(free)}
        self.states = self.settle()

    def node(self, name):
        """The name under which joined nodes go."""
        while name in self.joined:
            name = self.joined[name]
        return name

    def join(self, a, b):
        """Makes one node of two; 0 and vcc keep their names."""
        a, b = self.node(a), self.node(b)
        if a != b:
            kept, gone = (a, b) if a in ("0", "vcc") else (b, a)
            self.joined[gone] = kept

    def two_pole(self, a, b, ohm):
        """A resistance, or a wire."""
        if ohm < SHORT_OHM:
            self.join(a, b)
        else:
            self.resistors.append((a, b, ohm))

    def resistor(self, part):
        """Ohm's law."""
        self.two_pole(*part["between"], si(part["value"]))

    def inductor(self, part):
        """Its wire."""
        self.two_pole(*part["between"], si(part.get("resistance", "0")))

    def capacitor(self, part):
        """Open."""

    def switch(self, part):
        """Closed on one way, or on none."""
        if part["position"]:
            self.join(part["common"], part["ways"][part["position"] - 1])

    def pot(self, part):
        """Two resistances; of linear taper only."""
        assert part.get("taper", "linear") == "linear"
        whole, share = si(part["value"]), si(part["position"]) / 100
        self.two_pole(part["ends"][0], part["wiper"], whole * share)
        self.two_pole(part["wiper"], part["ends"][1], whole * (1 - share))

    def diode(self, part):
        """Shockley's law [SHOCKLEY]."""
        law = si(part["saturation"]), part["ideality"] * THERMAL_V
        self.diodes.append((part["anode"], part["cathode"], *law))

    def opamp(self, part):
        """From the table or by its own numbers."""
        numbers = part["type"]
        numbers = opamps()[numbers] if isinstance(numbers, str) else numbers
        self.amplifiers.append((Amplifier(part, numbers), part.get("power", ["vcc", "0"])))

    def settle(self):
        """The states that contradict nothing."""
        states = ["linear"] * len(self.amplifiers)
        for _ in range(5 * len(states) + 1):
            self.x = self.newton(states)
            wanted = [self.state(k, state) for k, state in enumerate(states)]
            wrong = [k for k, state in enumerate(states) if state != wanted[k]]
            if not wrong:
                return states
            states[wrong[0]] = wanted[wrong[0]]
        raise AssertionError(f"no states agree, last {states}")

    def at(self, name):
        """Voltage of a node."""
        name = self.node(name)
        return self.held[name] if name in self.held else self.x[self.place[name]]

    def reach(self, k):
        """Low end, high end and middle of an op-amp's output."""
        amplifier, (positive, negative) = self.amplifiers[k]
        high, low = self.at(positive), self.at(negative)
        return low + amplifier.swing[1], high - amplifier.swing[0], (high + low) / 2

    def state(self, k, now):
        """The state that the inputs and the load of an op-amp ask for, if it is in one."""
        amplifier, _ = self.amplifiers[k]
        plus, minus, out = (self.at(pin) for pin in amplifier.pins)
        low, high, middle = self.reach(k)
        inside = middle + amplifier.gain * (plus - minus + amplifier.offset)
        end = "high" if inside > high else "low" if inside < low else "linear"
        current = self.x[self.rows(k)[1]]
        if now in LIMITS:
            current = (min(max(inside, low), high) - out) / amplifier.ohm
        # An end comes first: what flows from beyond it never does.
        if abs(current) > amplifier.limit and (now in LIMITS or now == end):
            return "giving" if current > 0 else "taking"
        return end

    def rows(self, k):
        """Unknowns of an op-amp: voltage inside, current out."""
        return len(self.place) + 2 * k, len(self.place) + 2 * k + 1

    def newton(self, states):
        """All unknowns, the states given; a diode's voltage moves at most a tenth of a volt."""
        x = numpy.zeros(len(self.place) + 2 * len(self.amplifiers))
        for _ in range(500):
            self.x = x
            residual, slope = self.equations(states)
            size = numpy.abs(slope).max(axis=1)
            step = -numpy.linalg.solve(slope / size[:, None], residual / size)
            moves = [self.difference(step, a, b) for a, b, _, _ in self.diodes]
            x = x + step * min(1.0, 0.1 / max([1e-9, *map(abs, moves)]))
            if numpy.abs(step).max() < 1e-9 * self.volts:
                return x
        raise AssertionError("Newton's method does not end")

    def difference(self, step, a, b):
        """By how much the voltage between two nodes moves."""
        rows = (self.place.get(self.node(name)) for name in (a, b))
        first, second = (0.0 if row is None else step[row] for row in rows)
        return first - second

    def equations(self, states):
        """Residuals and their slopes: currents leaving each node, then each op-amp's two laws."""
        size = len(self.x)
        residual, slope = numpy.zeros(size), numpy.zeros((size, size))

        def flow(a, b, current, conductance):
            """A current from one node to another that depends on the voltage between them."""
            rows = [self.place.get(self.node(name)) for name in (a, b)]
            for row, sign in zip(rows, (1, -1), strict=True):
                if row is None:
                    continue
                residual[row] += sign * current
                for column, other in zip(rows, (1, -1), strict=True):
                    if column is not None:
                        slope[row, column] += sign * other * conductance

        def law(row, factors, constant):
            """One linear row from factors by node or unknown."""
            residual[row] = constant
            for what, factor in factors:
                if isinstance(what, str):
                    residual[row] += factor * self.at(what)
                    what = self.place.get(self.node(what))
                else:
                    residual[row] += factor * self.x[what]
                if what is not None:
                    slope[row, what] += factor

        for a, b, ohm in self.resistors:
            flow(a, b, (self.at(a) - self.at(b)) / ohm, 1 / ohm)
        for a, b, saturation, volts in self.diodes:
            grown = saturation * numpy.exp((self.at(a) - self.at(b)) / volts)
            flow(a, b, grown - saturation, grown / volts)
        for k, (amplifier, rails) in enumerate(self.amplifiers):
            plus, minus, out = amplifier.pins
            inside, current = self.rows(k)
            between = self.at(plus) - self.at(minus)
            flow(plus, minus, between / amplifier.input_ohm, 1 / amplifier.input_ohm)
            for pin in (plus, minus):
                if (row := self.place.get(self.node(pin))) is not None:
                    residual[row] += amplifier.bias
            if (row := self.place.get(self.node(out))) is not None:
                residual[row] -= self.x[current]
                slope[row, current] -= 1
            if states[k] in ENDS:
                which, sign = ENDS[states[k]]
                at_rail = [(inside, 1), (rails[which], -1)]
                law(inside, at_rail, sign * amplifier.swing[which])
            else:
                middle = [(rail, -0.5 / amplifier.gain) for rail in rails]
                inputs = [(plus, -1), (minus, 1)]
                law(inside, [(inside, 1 / amplifier.gain), *middle, *inputs], -amplifier.offset)
            if states[k] in LIMITS:
                law(current, [(current, 1)], LIMITS[states[k]] * amplifier.limit)
            else:
                law(current, [(inside, 1), (out, -1), (current, -amplifier.ohm)], 0)
        return residual, slope

    def supply_current(self):
        """Everything that leaves vcc: through parts, into op-amps, and what their inputs give back
        to the signal, which comes from there as well."""
        total = 0.0
        for a, b, ohm in self.resistors:
            total += self.share(a, b) * (self.at(a) - self.at(b)) / ohm
        for a, b, saturation, volts in self.diodes:
            current = saturation * numpy.expm1((self.at(a) - self.at(b)) / volts)
            total += self.share(a, b) * current
        for k, (amplifier, rails) in enumerate(self.amplifiers):
            assert self.node(rails[0]) == "vcc"
            total += amplifier.current + max(self.x[self.rows(k)[1]], 0)
            total += 2 * max(-amplifier.bias, 0)
        return total

    def share(self, a, b):
        """1 for a current that leaves vcc, -1 for one that enters it."""
        return (self.node(a) == "vcc") - (self.node(b) == "vcc")
