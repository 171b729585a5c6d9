"""Numerator and denominator of a netlist's transfer function without rounding, and their roots.

The determinant of the nodal equations is a polynomial in s whose coefficients are fractions of
the part values as they are written in decimals. It is found from its values at enough whole multiples of a scale by exact
interpolation; the roots then come with high precision from [MPMATH]. This decides where a
library's eigenvalues and ours differ.
"""

from fractions import Fraction
from functools import cache
import json

import mpmath
import nodal

DIGITS = 60
# Near the geometric middle of the poles of such circuits, rad/s: keeps the fractions short.
SCALE = 4096


def determinant(rows):
    """Determinant of a matrix of fractions by elimination; the shortest pivot each time."""
    rows = [{at: Fraction(value) for at, value in row.items()} for row in rows]
    product, left = Fraction(1), list(range(len(rows)))
    for column in range(len(rows)):
        able = [row for row in left if rows[row].get(column)]
        if not able:
            return Fraction(0)
        pivot = min(able, key=lambda row: len(rows[row]))
        if left.index(pivot) % 2:
            product = -product
        left.remove(pivot)
        head = rows[pivot][column]
        product *= head
        for row in able:
            if row == pivot:
                continue
            factor = rows[row].pop(column) / head
            for other, value in rows[pivot].items():
                if other > column:
                    rest = rows[row].get(other, 0) - factor * value
                    if rest:
                        rows[row][other] = rest
                    else:
                        rows[row].pop(other, None)
    return product


def interpolate(values):
    """Coefficients, lowest first, of the polynomial with these values at 0, 1, 2, …"""
    # Newton's divided differences, then multiplied out.
    differences = list(values)
    for order in range(1, len(values)):
        for index in range(len(values) - 1, order - 1, -1):
            differences[index] = (differences[index] - differences[index - 1]) / order
    coefficients = [Fraction(0)]
    for index in range(len(values) - 1, -1, -1):
        shifted = [Fraction(0)] + coefficients
        for power, value in enumerate(coefficients):
            shifted[power] -= index * value
        shifted[0] += differences[index]
        coefficients = shifted
    while len(coefficients) > 1 and coefficients[-1] == 0:
        coefficients.pop()
    return coefficients


@cache
def polynomials_of(text):
    """Numerator and denominator of the output over the source, in s/SCALE, lowest first."""
    circuit = json.loads(text)
    equations = nodal.Equations(circuit, number=nodal.exactly)
    output = equations.node(circuit["output"])
    dynamic = sum(1 for part in circuit["parts"] if part["kind"] == "capacitor")
    dynamic += sum(2 for part in circuit["parts"] if part["kind"] == "opamp")
    over, under = [], []
    for point in range(dynamic + 1):
        s = SCALE * point
        rows = [
            {column: c + s * d for column, (c, d) in entries.items() if c + s * d}
            for entries in equations.rows
        ]
        under.append(determinant(rows))
        # Cramer's rule: the drive in place of the output's column.
        for index, row in enumerate(rows):
            row.pop(output, None)
            if index in equations.drive:
                row[output] = equations.drive[index]
        over.append(determinant(rows))
    return interpolate(over), interpolate(under)


def polynomials(circuit):
    """The same from a netlist as the testimony gives it."""
    return polynomials_of(json.dumps(circuit))


def roots(coefficients):
    """Roots in rad/s of a polynomial in s/SCALE, as mpmath numbers."""
    return list(roots_of(tuple(coefficients)))


@cache
def roots_of(coefficients):
    """The same, worked out once for each polynomial."""
    with mpmath.workdps(DIGITS):
        numbers = [mpmath.mpf(c.numerator) / c.denominator for c in reversed(coefficients)]
        zeros_at_origin = 0
        while len(numbers) > 1 and numbers[-1] == 0:
            numbers.pop()
            zeros_at_origin += 1
        found = mpmath.polyroots(numbers, maxsteps=2000, extraprec=2000) if len(numbers) > 1 else []
        return [SCALE * root for root in found] + [mpmath.mpc(0)] * zeros_at_origin


def evaluate(coefficients, s):
    """A polynomial in s/SCALE at s."""
    numbers = [mpmath.mpf(c.numerator) / c.denominator for c in reversed(coefficients)]
    return mpmath.polyval(numbers, s / SCALE)


def response(circuit, f_hz):
    """Output over source at a frequency, complex."""
    over, under = polynomials(circuit)
    with mpmath.workdps(DIGITS):
        s = mpmath.mpc(0, 2 * mpmath.pi * mpmath.mpf(f_hz))
        return complex(evaluate(over, s) / evaluate(under, s))
