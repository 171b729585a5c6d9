"""A transfer function by its roots, and what follows from it by definition.

The roots are exact to sixty digits where they come from a netlist; evaluation on grids is by
numpy, at single instants by mpmath.
"""

import exact
import mpmath
import numpy

TAU = 2 * numpy.pi


class Shape:
    """Gain, zeros and poles, in high precision and as numbers."""

    def __init__(self, gain, zeros, poles):
        self.gain, self.zeros, self.poles = mpmath.mpf(gain), zeros, poles

    @classmethod
    def of_circuit(cls, circuit):
        """From a netlist, without rounding until the roots."""
        over, under = exact.polynomials(circuit)
        with mpmath.workdps(exact.DIGITS):
            lead = over[-1] / under[-1]
            scale = mpmath.mpf(exact.SCALE) ** (len(under) - len(over))
            gain = mpmath.mpf(lead.numerator) / lead.denominator * scale
            return cls(gain, exact.roots(over), exact.roots(under))

    def at(self, f_hz):
        """The response at frequencies in Hz; factors are multiplied in pairs of like size."""
        s = 1j * TAU * numpy.asarray(f_hz, dtype=float)
        logarithm = numpy.log(complex(self.gain)) + 0 * s
        for zero in self.zeros:
            logarithm = logarithm + numpy.log(s - complex(zero))
        for pole in self.poles:
            logarithm = logarithm - numpy.log(s - complex(pole))
        return numpy.exp(logarithm)

    def level(self, f_hz):
        """Response in dB."""
        return 20 * numpy.log10(numpy.abs(self.at(f_hz)))

    def delay(self, f_hz):
        """Group delay in s: the slope of the phase, term by term."""
        s = 1j * TAU * f_hz
        over = sum(1 / (s - complex(zero)) for zero in self.zeros)
        under = sum(1 / (s - complex(pole)) for pole in self.poles)
        return -(over - under).real

    def residues(self, pitch_hz):
        """Per pole p: residue of H there over (j w - p), and the settled output, mpmath."""
        with mpmath.workdps(exact.DIGITS):
            tone = mpmath.mpc(0, 2 * mpmath.pi * mpmath.mpf(pitch_hz))
            weights = []
            for index, pole in enumerate(self.poles):
                weight = self.gain
                for zero in self.zeros:
                    weight *= pole - zero
                for other, second in enumerate(self.poles):
                    if other != index:
                        weight /= pole - second
                weights.append(weight / (tone - pole))
            return weights, sum(weights)

    def envelope(self, pitch_hz, time):
        """Size of the envelope after key-up over its settled value, with high precision."""
        weights, settled = self.residues(pitch_hz)
        with mpmath.workdps(exact.DIGITS):
            terms = (w * mpmath.exp(p * time) for w, p in zip(weights, self.poles, strict=True))
            return float(abs(sum(terms) / settled))

    def slow(self, pitch_hz, times):
        """Complex envelope after key-up at many instants, from the slow poles alone, as numbers.

        Poles over a thousand times faster than the pitch have died before the first sample.
        """
        weights, settled = self.residues(pitch_hz)
        total = numpy.zeros(len(times), dtype=complex)
        for weight, pole in zip(weights, self.poles, strict=True):
            if abs(pole) < 1000 * TAU * pitch_hz:
                total += complex(weight / settled) * numpy.exp(complex(pole) * times)
        return total
