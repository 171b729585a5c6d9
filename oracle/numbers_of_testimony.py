"""Reading the numbers of the testimony."""

import numpy


def complexes(pairs):
    """Complex numbers from a list of `[re, im]`."""
    return numpy.array([complex(re, im) for re, im in pairs])


def matched(found, wanted):
    """The found numbers in the order of the wanted ones they are nearest to, each used once."""
    rest = list(found)
    assert len(rest) == len(wanted), f"{len(rest)} found for {len(wanted)}"
    ordered = []
    for target in wanted:
        nearest = min(range(len(rest)), key=lambda index: abs(rest[index] - target))
        ordered.append(rest.pop(nearest))
    return numpy.array(ordered)
