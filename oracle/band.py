"""The band that is heard, 20 Hz to 20 kHz: integrals over it and the greatest level in it."""

import numpy
from scipy import optimize

EDGES = numpy.log([20, 20_000])


def quadrature(low, high, pieces):
    """Nodes and weights of Gauss–Legendre, eight to a piece."""
    nodes, weights = numpy.polynomial.legendre.leggauss(8)
    edges = numpy.linspace(low, high, pieces + 1)
    half = numpy.diff(edges)[:, None] / 2
    return ((edges[1:] + edges[:-1])[:, None] / 2 + half * nodes).ravel(), (half * weights).ravel()


def audible(pieces=120):
    """Frequencies from 20 Hz to 20 kHz and what each counts for in an integral over them."""
    x, weights = quadrature(*EDGES, pieces)
    return numpy.exp(x), weights * numpy.exp(x)


def top(board, node=None):
    """The greatest level from 20 Hz to 20 kHz and its frequency: a grid, then refined."""
    grid = numpy.linspace(*EDGES, 2001)
    best = int(numpy.argmax(board.level(numpy.exp(grid), node)))
    sides = grid[max(best - 1, 0)], grid[min(best + 1, 2000)]
    found = optimize.minimize_scalar(
        lambda x: -board.level(numpy.exp(x), node)[0], bounds=sides, method="bounded",
        options={"xatol": 1e-10},
    )
    return -found.fun, numpy.exp(found.x)
