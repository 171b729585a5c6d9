"""Where boards rest: direct voltages of all nodes and pins, supply current, battery life.

Trust: independent routes; `rest` states every law anew and finds the states of op-amps by trial.
"""

import json
import os
import subprocess
import tomllib
from pathlib import Path

import pytest
from board import si
from rest import Rest

BOARDS = sorted((Path(__file__).parent / "boards").glob("*.toml"))
# Our op-amps bend where these break: the output is held back from 50 mV before its end, and a
# current limit gives way by 6.5 % at ten volts of overdrive, so our file on op-amps says.
BEND_V, BEND_SHARE = 0.05, 0.065
STATES = {"bias": {"linear"}, "diodes": {"linear"}, "stuck": {"linear", "high"},
          "overload": {"giving"}}


def agree(file, told, tolerance):
    """Nodes, pins, current and hours of one board; the states of its op-amps."""
    volts = si(file["supply"]["voltage"])
    rest = Rest(file, volts)
    linear = set(rest.states) <= {"linear"}
    for place in [*told["dc"]["nodes"], *told["dc"]["pins"]]:
        wanted = rest.at(place["node"])
        allowed = tolerance["rest"] * volts if linear else max(BEND_V, BEND_SHARE * abs(wanted))
        assert abs(place["volts"] - wanted) < allowed, f"{place} for {wanted} V"
    current = told["supply"]["current_a"]
    allowed = tolerance["edge"] if linear else BEND_SHARE
    assert abs(current - rest.supply_current()) < allowed * rest.supply_current()
    hours = si(file["supply"]["capacity"].removesuffix("h")) / current
    tolerance.near("closed_form", told["supply"]["battery_h"], hours, "hours")
    return set(rest.states)


def test_planned_boards(planned, tolerance):
    """Boards as planned, where every op-amp works as it should."""
    for board, told in planned:
        assert agree(board.file, told, tolerance) == {"linear"}


@pytest.mark.parametrize("path", BOARDS, ids=lambda path: path.stem)
def test_awkward_boards(path, tolerance):
    """Bias currents to be felt, diodes that conduct, an output at its end, one overloaded."""
    asked = [os.environ["NARROWS_PROGRAM"], "check", str(path), "--json"]
    told = json.loads(subprocess.run(asked, check=True, capture_output=True, timeout=60).stdout)
    states = agree(tomllib.loads(path.read_text(encoding="utf-8")), told, tolerance)
    assert states == STATES[path.stem]
    said = " ".join(f["text"] for f in told["findings"] if f["id"] == "at_rest")
    assert ("stuck high" in said) == ("high" in states)
    assert ("all that it can" in said) == ("giving" in states)
