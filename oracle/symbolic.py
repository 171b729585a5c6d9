"""The transfer function of a netlist by symbolic nodal analysis [LCAPY], in exact fractions.

Every value becomes the fraction its double-precision number is; every ideal op-amp a controlled
source of gain A, and the limit for endless A is taken at the end by comparing the highest powers
of A above and below. Nothing is rounded until the fractions are evaluated with fifty digits.
"""

import json
import warnings
from fractions import Fraction
from functools import cache

import mpmath
import sympy


def exact(value):
    """The value as lcapy reads an exact fraction."""
    fraction = Fraction(value)
    return f"{{{fraction.numerator}/{fraction.denominator}}}"


def netlist(circuit, letters=False):
    """The lines lcapy reads, and its names of our nodes; with letters for the values if asked."""
    names = {"0": "0"}

    def node(name):
        """The number of a node."""
        return names.setdefault(name, str(len(names)))

    lines = []
    for index, part in enumerate(circuit["parts"], start=1):
        kind = part["kind"]
        if kind == "resistor":
            a, b = map(node, part["between"])
            lines.append(f"R{index} {a} {b}" + ("" if letters else f" {exact(part['ohm'])}"))
        elif kind == "capacitor":
            a, b = map(node, part["between"])
            lines.append(f"C{index} {a} {b}" + ("" if letters else f" {exact(part['farad'])}"))
        elif kind == "opamp":
            assert part["dc_gain"] is None and part["output_ohm"] == 0, "only ideal ones"
            plus, minus, out = (node(part[pin]) for pin in ("plus", "minus", "out"))
            lines.append(f"E{index} {out} 0 opamp {plus} {minus} A")
        else:
            raise AssertionError(f"no stage has a {kind}")
    return lines, names


def transfer(circuit):
    """Numerator and denominator of output over input as polynomials in s, with exact fractions."""
    return transfer_of(json.dumps(circuit))


def in_letters(circuit):
    """The same with a letter for every value, worked out once for all circuits wired alike; and
    the values by their letters."""
    keys = {"resistor": ("R", "ohm"), "capacitor": ("C", "farad")}
    values = {}
    for index, part in enumerate(circuit["parts"], start=1):
        if part["kind"] in keys:
            letter, key = keys[part["kind"]]
            values[f"{letter}{index}"] = part.pop(key)
    return transfer_of(json.dumps(circuit), letters=True), values


@cache
def transfer_of(text, letters=False):
    """The same for a netlist as text, worked out once."""
    from lcapy import Circuit

    circuit = json.loads(text)
    lines, names = netlist(circuit, letters)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        drawn = Circuit()
        for line in lines:
            drawn.add(line)
        ratio = drawn.transfer(names[circuit["input"]], "0", names[circuit["output"]], "0")
    expression = sympy.together(ratio.sympy)
    gain = next((x for x in expression.free_symbols if x.name == "A"), None)
    s = next(x for x in expression.free_symbols if x.name == "s")
    over, under = sympy.fraction(sympy.cancel(expression))
    if gain is not None:
        over, under = sympy.Poly(over, gain), sympy.Poly(under, gain)
        assert over.degree() <= under.degree(), "the loop is open"
        over = over.coeff_monomial(gain ** under.degree())
        under = under.LC()
    return sympy.Poly(over, s), sympy.Poly(under, s)


def evaluate(polynomials, f_hz):
    """The ratio at a frequency, with fifty digits, as a complex number."""
    with mpmath.workdps(50):
        s = mpmath.mpc(0, 2 * mpmath.pi * mpmath.mpf(f_hz))
        over, under = (
            mpmath.polyval([mpmath.mpf(c.p) / mpmath.mpf(c.q) for c in p.all_coeffs()], s)
            for p in polynomials
        )
        return complex(over / under)
