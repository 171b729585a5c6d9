"""What every test of the oracle starts from: the testimony, and the tolerances it carries.

The testimony is what our code says, written by `testimony` of the crate `testkit`; its path is in
NARROWS_TESTIMONY, and that of the program users run in NARROWS_PROGRAM. `cargo xtask oracle` does
all that. The tests compute the same figures from the inputs given beside them, with libraries
that share no line with ours. Planned boards come from the program itself, run as users run it.
"""

import json
import os
import subprocess
from functools import cache
from pathlib import Path

import numpy
import pytest
from board import Board

HERE = Path(__file__).parent
NEEDS = [HERE.parent / "examples/attic/need.toml", HERE / "needs/low.toml", HERE / "needs/high.toml"]
# Amplifiers whose output resistance and slowness put zeros where eigenvalues lose them.
OLD_NEEDS = [HERE / "needs/lm358.toml", HERE / "needs/741.toml"]
# Phones that take two drivers side by side.
LOUD = HERE / "needs/loud.toml"
DESIGNS = 3  # of each need, in their rank


def pytest_configure(config):
    """Reads the testimony once, and refuses to run without one."""
    path = os.environ.get("NARROWS_TESTIMONY")
    if not path or not os.environ.get("NARROWS_PROGRAM"):
        raise pytest.UsageError(
            "NARROWS_TESTIMONY and NARROWS_PROGRAM are not both set: run `cargo xtask oracle`"
        )
    with open(path, encoding="utf-8") as file:
        config.testimony = json.load(file)


def pytest_generate_tests(metafunc):
    """Gives a test that takes `prototype`, `band_pass`, … one run for each entry of that list."""
    lists = {
        "prototype": "prototypes",
        "bell": "bells",
        "band_pass": "band_passes",
        "stage": "stages",
        "designed_stage": "stages",
        "network": "circuits",
        "cascade": "filters",
        "equivalent": "calm_equivalents",
        "calm_band": "calm_bands",
    }
    for argument, key in lists.items():
        if argument in metafunc.fixturenames:
            entries = metafunc.config.testimony[key]
            if argument == "designed_stage":
                entries = [entry for entry in entries if entry["designed"]]
            assert entries, f"the testimony has no {key}"
            metafunc.parametrize(argument, entries, ids=[name(entry) for entry in entries])


def name(entry):
    """A name for one entry of the testimony."""
    if "topology" in entry:
        kind = "as designed" if entry["designed"] else "values off"
        return f"{entry['topology']}, {entry['wanted']['f0_hz']:g} Hz, {kind}"
    words = [entry.get("family", "invented")]
    keys = ["ripple_db", "phase_error_deg", "level_db", "rejection_db", "order", "notches"]
    for key in [*keys, "centre_hz", "width_hz", "pitch_hz"]:
        if key in entry:
            words.append(f"{entry[key]:g}")
    return " ".join(words)


class Tolerances:
    """The one table, as the testimony carries it."""

    def __init__(self, table):
        self.table = table

    def __getitem__(self, name):
        return self.table[name]["value"]

    def near(self, name, found, wanted, what=""):
        """Asserts that every figure is as near as the entry asks; relative ones by magnitude."""
        entry = self.table[name]
        found, wanted = numpy.atleast_1d(found), numpy.atleast_1d(wanted)
        assert found.shape == wanted.shape, f"{what}: {found.shape} for {wanted.shape}"
        distance = numpy.abs(found - wanted)
        if entry["measure"] == "relative":
            distance = distance / numpy.abs(wanted)
        worst = int(numpy.argmax(distance))
        assert distance[worst] <= entry["value"], (
            f"{what}: found {found[worst]}, wanted {wanted[worst]}, off by {distance[worst]:.3g}; "
            f"{name} allows {entry['value']} ({entry['reason']})"
        )


@pytest.fixture
def tolerance(request):
    """The table of tolerances."""
    return Tolerances(request.config.testimony["tolerances"])


@pytest.fixture
def testimony(request):
    """Everything our code says."""
    return request.config.testimony


@cache
def plan(need):
    """The first designs of a need: boards read from their files, and what the program says."""
    asked = [os.environ["NARROWS_PROGRAM"], "plan", str(need), "--json"]
    answer = json.loads(subprocess.run(asked, check=True, capture_output=True, timeout=60).stdout)
    designs = answer["designs"][:DESIGNS]
    return [(Board(design["circuit_toml"]), design["check"]) for design in designs]


@pytest.fixture(params=NEEDS, ids=lambda need: f"{need.parent.name} {need.stem}")
def planned(request):
    """Boards and what the program says of them, for one need."""
    boards = plan(request.param)
    assert len(boards) == DESIGNS, f"{request.param.name} has {len(boards)} designs only"
    return boards


@pytest.fixture(params=OLD_NEEDS, ids=lambda need: need.stem)
def planned_with_old_opamps(request):
    """Boards of up to three stages with old op-amps, and what the program says of them."""
    boards = plan(request.param)
    assert boards, f"no design for {request.param.name}"
    return boards


@pytest.fixture(params=[*NEEDS, LOUD], ids=lambda need: f"{need.parent.name} {need.stem}")
def sounding(request):
    """Boards whose levels are looked at."""
    boards = plan(request.param)
    assert len(boards) == DESIGNS, f"{request.param.name} has {len(boards)} designs only"
    return boards
