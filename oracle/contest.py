"""The other side of the contest: [NUMPY]'s batched dense solution of the same matrices.

`python oracle/contest.py FOLDER` reads what the program `contest` of `testkit` left there, solves
every matrix it wrote down, checks that the answers are ours within 1e-9, and prints the figures as
a fragment of Markdown.
"""

import json
import pathlib
import platform
import sys
import time

import numpy

# Agreement promised, as a share of each answer.
AGREEMENT = 1e-9


def processor():
    """What the machine calls itself."""
    try:
        lines = pathlib.Path("/proc/cpuinfo").read_text().splitlines()
    except OSError:
        return platform.processor() or platform.machine()
    names = [line.split(":", 1)[1].strip() for line in lines if line.startswith("model name")]
    return names[0] if names else platform.machine()


def solved(matrices, source):
    """Every unknown of every matrix, and the best time of three, s."""
    right = numpy.zeros((*matrices.shape[:2], 1), dtype=complex)
    right[:, source] = 1
    best = float("inf")
    for _ in range(3):
        start = time.perf_counter()
        found = numpy.linalg.solve(matrices, right)
        best = min(best, time.perf_counter() - start)
    return found[..., 0], best


def main(folder):
    ours = json.loads((folder / "contest.json").read_text())
    size = ours["unknowns"]
    matrices = numpy.fromfile(folder / "matrices.bin", dtype="<c16").reshape(-1, size, size)
    answers = numpy.fromfile(folder / "answers.bin", dtype="<c16")
    found, seconds = solved(matrices, ours["source"])
    theirs = found[:, ours["output"]]
    worst = float(numpy.max(abs(answers - theirs) / abs(theirs)))
    if not worst <= AGREEMENT:
        sys.exit(f"the answers differ by {worst:.1e}, more than {AGREEMENT:.0e}")
    count = ours["variants"] * ours["frequencies"]
    each = ours["median_s"] / count
    rate = ours["operations"] * count / ours["median_s"]
    print(f"""\
{ours["variants"]} variants of a four-stage box ({ours["parts"]} parts, full op-amp models, \
{size} unknowns) at {ours["frequencies"]} frequencies,
{processor()}, {ours["threads"]} threads, vectors of {ours["vectors"]}:

| what | measured | promise |
|---|---|---|
| all variants at all frequencies, median of fifteen | {1e3 * ours["median_s"]:.0f} ms | 150 ms |
| the same, fastest | {1e3 * ours["best_s"]:.0f} ms | |
| one variant at one frequency, both threads at work | {1e9 * each:.0f} ns | |
| the same matrix by numpy's batched dense solution, one thread | {1e6 * seconds / len(matrices):.1f} µs | |
| how many times faster than numpy | {seconds / len(matrices) / each:.0f} | 100 |
| the same, thread for thread | {seconds / len(matrices) / each / ours["threads"]:.0f} | |
| real operations of one evaluation, refinement included | {ours["operations"]} | |
| the machine's multiplications and additions, all threads | \
{ours["peak_per_s"] / 1e9:.0f} thousand million a second | |
| time against that of the operations alone | {ours["peak_per_s"] / rate:.1f} | 3 |
| largest difference from numpy, share of the answer | {worst:.0e} | 1e-9 |
| answers done again with pivots of their own | {ours["redone"]} | |
| eliminating once on symbols | {1e6 * ours["recording_s"]:.0f} µs | |""")


if __name__ == "__main__":
    main(pathlib.Path(sys.argv[1]))
