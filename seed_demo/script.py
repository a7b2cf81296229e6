"""What a demo engine is written in: the specification, the card, and the readings in the order they were taken."""

from collections.abc import Sequence
from typing import Any, NamedTuple

Typed = dict[str, str | None]


class Reading(NamedTuple):
    """One reading. `key`: a name by which a later one can point back; `corrects`: such a name."""

    place: str
    value: Typed
    instrument: str | None = None
    why: str = "first"
    note: str = ""
    confirmed: Sequence[str] = ()
    key: str = ""
    corrects: str = ""
    #: How many fasteners the torque wrench pulled for it, where that is not one.
    pulls: int | None = None


class Stretch(NamedTuple):
    """One person's spell of work on one step. `signed`: the note of the signature that ends it."""

    step: str
    person: str
    readings: Sequence[Reading]
    signed: str | None = None


class Build(NamedTuple):
    """`age_hours`: how long before now it was opened. `phone`: the name of the device at the stand."""

    job: str
    title: str
    note: str
    phone: str
    age_hours: float
    engine: dict[str, Any]
    card: dict[str, Any]
    work: Sequence[Stretch]


def typed(text: str, unit: str | None = None) -> Typed:
    return {"text": text, "unit": unit}


def count(number: int) -> Typed:
    return typed(str(number), "1")


def words(place: str, text: str) -> Reading:
    """A choice, a flag or free text."""
    return Reading(place, typed(text))


def row(places: Sequence[str], texts: str, unit: str, instrument: str) -> list[Reading]:
    """Places and their readings side by side; "-" leaves a place empty."""
    values = texts.split()
    pairs = zip(places, values, strict=True)
    return [Reading(place, typed(text, unit), instrument) for place, text in pairs if text != "-"]


def housing(n: int) -> list[str]:
    return [f"MH{n}.{plane}.{end}" for end in "FR" for plane in ("V", "P1", "P2")]


def journal(name: str) -> list[str]:
    return [f"{name}.{end}.{angle}" for end in "FR" for angle in ("0", "90")]


def bearing(n: int) -> list[str]:
    return [f"MB{n}.{plane}" for plane in ("V", "P1", "P2")]


def go(at: str, turns: int, caliper: str, marks: str) -> list[Reading]:
    """One go of the checking pushrod: contacts closed and at full lift, both again, then the edges of the mark."""
    places = ("closed", "open", "closed2", "open2", "inner", "outer")
    turned = [Reading(f"{at}.turns", count(turns)), words(f"{at}.eighths", "0")]
    sizes = zip(places, marks.split(), strict=True)
    read = [Reading(f"{at}.cal", typed(caliper, "in"))] + [Reading(f"{at}.{p}", typed(x, "in")) for p, x in sizes]
    return turned + read


def found_at_once(valve: str, lift: str, marks: str) -> list[Reading]:
    """A valve whose first go, 14 turns out, was good enough; its clearances after it."""
    read = go(f"{valve}.1", 14, "7.5005", marks)
    return [Reading(f"{valve}.lift", typed(lift, "in")), *read, *clearances(valve)]


def clearances(valve: str) -> list[Reading]:
    return [Reading(f"{valve}.{place}", typed("0.060", "in")) for place in ("slot", "retainer", "hole")]


def final_mark(valve: str, length: str, inner: str, outer: str, note: str = "") -> list[Reading]:
    """The delivered pushrod by caliper, both edges of its mark, the clearances.

    A `note`: the mark is out, lies far from the others, and was found so.
    """
    first = Reading(f"{valve}.inner", typed(inner, "in"), confirmed=("far",) if note else ())
    last = Reading(f"{valve}.outer", typed(outer, "in"), note=note, confirmed=("far", "out") if note else ())
    return [Reading(f"{valve}.length", typed(length, "in")), first, last, *clearances(valve)]
