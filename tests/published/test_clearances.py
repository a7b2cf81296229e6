"""Clearances and their uncertainty against what stands outside this project.

OC-C1  ISO 286 limits and fits, as data of the library pressfit: a bearing clearance is the same arithmetic,
       largest bore less smallest journal and the other way round.
OC-C2  the library uncertainties, which carries standard deviations through a difference.
"""

import json
from typing import Any

import pressfit
import pytest
from uncertainties import ufloat

from standbook.trade import calls

FITS = {"50 H7/f7": (25, 75), "25 H7/g6": (7, 41), "60 H7/p6": (-51, -2)}
"""Fit to its least and greatest clearance in micrometres, as pressfit 0.1.0 gave them."""


def reckon(name: str, **inputs: str) -> dict[str, Any]:
    """The outputs of one of our calculators, asked the way a screen asks it."""
    answer = json.loads(calls.call("reckon", json.dumps({"name": name, "inputs": inputs})))
    assert "error" not in answer, answer
    outputs: dict[str, Any] = answer["outputs"]
    return outputs


def clearance_um(bore_mm: float, journal_mm: float) -> float:
    outputs = reckon("bearing-clearance", bearing_bore=f"{bore_mm:.4f} mm", journal_diameter=f"{journal_mm:.4f} mm")
    assert outputs["clearance"]["unit"] == "mm"
    return float(outputs["clearance"]["value"]) * 1000


@pytest.mark.parametrize("spec", FITS)
def test_oc_c1_least_and_greatest_clearance_are_those_of_iso_286(spec: str) -> None:
    fit = pressfit.fit(spec)
    least_bore, greatest_bore = fit.hole_limits_mm
    least_journal, greatest_journal = fit.shaft_limits_mm
    ours = (clearance_um(least_bore, greatest_journal), clearance_um(greatest_bore, least_journal))
    assert ours == pytest.approx(fit.clearance_um, rel=0, abs=1e-8)
    assert fit.clearance_um == FITS[spec]


def test_oc_c1_an_interference_fit_is_pointed_out_and_a_running_fit_is_not() -> None:
    tight = reckon("bearing-clearance", bearing_bore="60.000 mm", journal_diameter="60.051 mm")
    running = reckon("bearing-clearance", bearing_bore="50.000 mm", journal_diameter="49.975 mm")
    assert tight["caution"]["value"]
    assert not running["caution"]["value"]


@pytest.mark.parametrize(("first", "second"), [(0.002, 0.002), (0.0051, 0.0025), (0.001, 0.005), (0.0003, 0.0007)])
def test_oc_c2_a_clearance_carries_the_uncertainty_of_both_sizes(first: float, second: float) -> None:
    theirs = (ufloat(60.012, first) - ufloat(59.960, second)).std_dev
    ours = reckon("combined-uncertainty", first_uncertainty=f"{first} mm", second_uncertainty=f"{second} mm")
    assert ours["combined_uncertainty"]["value"] == pytest.approx(theirs, rel=0, abs=1e-7)


def test_oc_c2_two_micrometers_of_two_micrometres_make_the_printed_figure() -> None:
    ours = reckon("combined-uncertainty", first_uncertainty="0.002 mm", second_uncertainty="0.002 mm")
    assert ours["combined_uncertainty"]["value"] == pytest.approx(0.00282843, rel=0, abs=1e-7)
