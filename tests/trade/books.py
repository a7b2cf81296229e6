"""Invented books of one engine for property tests: any readings, corrections, strikes and decisions.

Nothing here is a check value; the properties hold whatever the numbers are.
"""

import json
from typing import Any

from hypothesis import strategies as st

from standbook.trade.build import Build
from standbook.trade.holds import HOLDS
from standbook.trade.limits import TABLE_SHA256
from standbook.trade.steps import STEPS

BUILD = "0193597e-0000-7000-8000-000000000000"
PEOPLE = ("0193597e-1111-7000-8000-000000000001", "0193597e-1111-7000-8000-000000000002")
DEVICES = ("0193597e-2222-4000-8000-000000000001", "0193597e-2222-4000-8000-000000000002")
GAUGE = {
    "id": "g1",
    "kind": "micrometer",
    "name": "Micrometer 1",
    "step": {"text": "0.0001", "unit": "in"},
    "trust": {"text": "0.0001", "unit": "in"},
    "dial": False,
    "calibration_due": None,
}
#: One whose zero wanders: it is looked at again after a row of readings.
BORE_GAUGE = GAUGE | {"id": "g2", "kind": "dial_bore_gauge", "name": "Bore gauge 1"}
SPECIFICATION: dict[str, Any] = {
    "cylinders": {"text": "4", "unit": "1"},
    "layout": "inline",
    "numbering": [[1, 2, 3, 4]],
    "firing_order": [1, 3, 4, 2],
    "rotation": "cw_from_front",
    "bore": {"text": "3.500", "unit": "in"},
    "stroke": {"text": "3.250", "unit": "in"},
    "main_bearings": {"text": "3", "unit": "1"},
    "main_journal_diameter": {"text": "2.3000", "unit": "in"},
    "rod_journal_diameter": {"text": "2.0000", "unit": "in"},
    "main_housing_diameter": {"text": "2.4900", "unit": "in"},
    "block_material": "iron",
    "head_material": "aluminium",
    "head_bolt_rows": [[1, 2, 3], [4, 5]],
    "main_bolts": {"text": "2", "unit": "1"},
    "rod_bolt_method": "stretch",
    "lifter_kind": "flat_solid",
    "lash_hot_intake": {"text": "0.022", "unit": "in"},
    "lash_hot_exhaust": {"text": "0.024", "unit": "in"},
    "intake_opens": {"text": "30", "unit": "deg"},
    "intake_closes": {"text": "74", "unit": "deg"},
    "exhaust_opens": {"text": "78", "unit": "deg"},
    "exhaust_closes": {"text": "30", "unit": "deg"},
    "seat_basis": {"text": "0.006", "unit": "in"},
}
SIZES = {"MH": 2.49, "MJ": 2.3, "MB": 2.302, "RJ": 2.0}
"""About where the readings of a family lie, inches, so that some are in, some out, and some are slips."""


def uuid7(number: int) -> str:
    """An id that sorts by number."""
    return f"0193597e-4444-7000-8000-{number:012x}"


def entry(number: int, kind: str, body: dict[str, Any], device: int = 0, **more: Any) -> dict[str, Any]:
    """One entry as a device writes it; `number` is its number on that device and within the test."""
    written = {
        "id": uuid7(number),
        "build": BUILD,
        "kind": kind,
        "step": None,
        "place": None,
        "why": None,
        "body": {"v": 1, **body},
        "person": PEOPLE[device],
        "device": DEVICES[device],
        "device_no": number,
        "made_at": f"2026-11-25T08:{number // 60 % 60:02d}:{number % 60:02d}.000Z",
        "seen": 0,
        "trade_version": "2026.11.1",
    }
    return {**written, **more}


def opening() -> list[dict[str, Any]]:
    """The entries with which every book here begins: opened, limits frozen, specification."""
    entries = [
        entry(1, "build_opened", {"job": "J-1", "title": "Test engine", "note": ""}),
        entry(2, "limits_frozen", {"defaults": TABLE_SHA256, "cards": []}),
    ]
    for field, value in SPECIFICATION.items():
        body = {"field": field, "value": value, "basis": "nominal"}
        entries.append(entry(len(entries) + 1, "engine_value", body))
    return entries


def new_build(entries: list[tuple[dict[str, Any], int | None]]) -> Build:
    """A build fed with (entry, shop number) in this order."""
    build = Build(BUILD)
    for data, seq in entries:
        build.add(json.dumps(data), seq)
    return build


def opened() -> Build:
    """A build with nothing recorded yet."""
    return new_build([(data, seq) for seq, data in enumerate(opening(), 1)])


def all_places() -> list[tuple[str, Any]]:
    """(step id, place) of everything that this engine asks for."""
    build = opened()
    return [(step.id, place) for step in STEPS for place in step.places(build.facts().engine)]


PLACES = all_places()
#: Few enough that readings meet, of every step, and with steps that rest on another's readings.
FEW_SIZES = ("MH1.V.F", "MH1.P1.F", "MJ1.F.0", "MJ1.R.90", "MB1.V", "MB1.strip", "1I.lash", "H1.1I.found")
FEW_OF_JOINTS = ("H1.pass1", "H1.final", "H1.check", "H1.bolt2.felt", "MC.thrust", "setting", "wrench")
FEW_OF_RODS = ("RF1.free1", "RF1.stretch1", "RF1.after1", "RF1.second1", "bolts")
FEW_ANSWERS = ("gauge_zero", "method", "state", "caps_tight", "H1.state", "changed")
FEW = (*FEW_SIZES, *FEW_OF_JOINTS, *FEW_OF_RODS, *FEW_ANSWERS)
FEW_PLACES = [pair for pair in PLACES if pair[1].id in FEW]


MEASURED = ("journals", "main_housings", "main_bearing_clearance")


def measured(first: int) -> list[dict[str, Any]]:
    """Readings of everything that bearings rest on, all near the middle: what follows from several is known."""
    written = []
    for step, place in PLACES:
        if step in MEASURED and place.required:
            text = f"{SIZES[place.id[:2]]:.4f}" if place.id[:2] in SIZES else "yes"
            value = {"text": "two_instruments" if place.id == "method" else text, "unit": "in" if place.units else None}
            gauge = GAUGE if step == "journals" else BORE_GAUGE
            body = {"value": value, "not_measured": None, "instrument": gauge, "note": "", "corrects": None}
            more = {"step": step, "place": place.id, "why": "first"}
            written.append(entry(first + len(written), "reading", {**body, "confirmed": [], "cautions": []}, **more))
    return written


@st.composite
def typed_values(draw: st.DrawFn, place: Any) -> dict[str, Any]:
    """Something typed at a place: near the size of its family, or a choice, flag or words."""
    if place.choices:
        return {"text": draw(st.sampled_from([choice for choice, _ in place.choices])), "unit": None}
    if place.kind == "flag":
        return {"text": draw(st.sampled_from(["yes", "no"])), "unit": None}
    if not place.units:
        return {"text": draw(st.sampled_from(["all", "2", "30 wt oil"])), "unit": None}
    unit = draw(st.sampled_from(place.units))
    if place.kind != "length":
        return {"text": str(draw(st.integers(10, 120))), "unit": unit}
    inches = SIZES.get(place.id[:2], 0.016) + draw(st.integers(-30, 30)) / 10000
    text = {"in": f"{inches:.4f}", "thou": f"{inches * 1000:.1f}", "mm": f"{inches * 25.4:.3f}"}[unit]
    return {"text": text, "unit": unit}


@st.composite
def readings(draw: st.DrawFn, number: int, earlier: list[dict[str, Any]]) -> dict[str, Any]:
    """A reading of one of a few places, so that they meet: first, repeat, corrected, part changed."""
    step, place = draw(st.sampled_from(FEW_PLACES))
    here = [old["id"] for old in earlier if old["place"] == place.id and old["kind"] == "reading"]
    whys = ["first", "repeat", "second_person", "measured_again", "part_changed"] + (["typed_wrong"] if here else [])
    why = draw(st.sampled_from(whys))
    measured = draw(st.integers(0, 9)) > 0
    body = {
        "value": draw(typed_values(place)) if measured else None,
        "not_measured": None if measured else "no gauge for it here",
        "instrument": draw(st.sampled_from([None, GAUGE])),
        "note": "",
        "corrects": draw(st.sampled_from(here)) if why == "typed_wrong" else None,
        "confirmed": [],
        "cautions": [],
    }
    more = {"step": step, "place": place.id, "why": why, "seen": draw(st.integers(0, number))}
    return entry(number, "reading", body, draw(st.integers(0, 1)), **more)


@st.composite
def hold_entries(draw: st.DrawFn, number: int, kind: str, old: list[dict[str, Any]]) -> dict[str, Any]:
    """A Hold signed, some of the time for what it rests on, or opened again."""
    hold = draw(st.sampled_from(HOLDS[:5]))
    device, seen = draw(st.integers(0, 1)), draw(st.sampled_from([0, number - 1]))
    if kind == "hold_opened":
        return entry(number, kind, {"hold": hold.id, "reason": "taken apart"}, device, seen=seen)
    body = {
        "hold": hold.id,
        "signs_as": draw(st.sampled_from(hold.signers)),
        "at": draw(st.sampled_from(["engine", "away"])),
        "shown": "0" * 64,
        "uses": [reading["id"] for reading in draw(st.sampled_from([[], old]))],
        "steps": draw(st.sampled_from([[], ["journals"]])),
        "lines": [{"line": line.no, "words": line.words, "answer": "done", "note": ""} for line in hold.lines],
        "note": "",
    }
    return entry(number, kind, body, device, seen=seen)


@st.composite
def later_entries(draw: st.DrawFn, number: int, earlier: list[dict[str, Any]]) -> dict[str, Any]:
    """A reading most of the time; else a strike, a decision, a signature, a Hold or another specification value."""
    old = [data for data in earlier if data["kind"] == "reading"]
    others = ["struck_out", "decision", "engine_value", "step_signed", "hold_signed", "hold_opened"]
    kind = draw(st.sampled_from(["reading"] * 6 + others))
    if kind in ("hold_signed", "hold_opened"):
        return draw(hold_entries(number, kind, old))
    if kind == "engine_value":
        text = f"2.{draw(st.integers(3000, 3010))}"
        body = {"field": "main_journal_diameter", "value": {"text": text, "unit": "in"}, "basis": "measured"}
        return entry(number, kind, body)
    if kind == "reading" or not old:
        return draw(readings(number, earlier))
    target = draw(st.sampled_from(old))
    if kind == "step_signed":
        body = {"shown": "0" * 64, "uses": [target["id"]], "note": ""}
        return entry(number, kind, body, step=target["step"])
    if kind == "struck_out":
        return entry(number, kind, {"target": target["id"], "reason": "wrong place"})
    word = draw(st.sampled_from(["accept", "measure_again"]))
    body = {"decision": word, "about": target["place"], "reason": "looked at", "value": None, "limit": ""}
    return entry(number, kind, body, step=target["step"], place=target["place"])


@st.composite
def books(draw: st.DrawFn, first: int | None = None) -> list[tuple[dict[str, Any], int | None]]:
    """Entries after the opening with their shop numbers; the last few may still be unsent, from one device."""
    written: list[dict[str, Any]] = []
    first = first or len(opening()) + 1
    for number in range(first, first + draw(st.integers(1, 14))):
        written.append(draw(later_entries(number, written)))
    unsent = draw(st.integers(0, 3))
    sent = max(len(written) - unsent, 0)
    return [(data, first + at if at < sent else None) for at, data in enumerate(written)]


def everything_shown(build: Build) -> str:
    """All that a screen could show of a build, as one text."""
    steps = [build.step(step.id) for step in build.steps()]
    guides = [build.guide(step.id) for step in build.steps() if step.guide is not None]
    holds = [build.hold(hold.id) for hold in HOLDS]
    return json.dumps([build.state(), steps, guides, holds], sort_keys=True)
