"""Final marks under the real springs: pushrods by size, marks and clearances on the finished engine.

Limits and meanings are *common practice*; the mark's width, middle and margin are those of the vectors of the trade
(`vectors.json`), the caliper's way to an ordered length is geometry of a sphere, held by its vector elsewhere.
"""

import json
from typing import Any

import pytest

from standbook.trade import calls
from standbook.trade.build import Build
from standbook.trade.preview import preview
from tests.micropython import Brain

from .book_maker import BUILD, typed
from .checker_goes import HALF_STEM, ROLLERS, SHAFT, STAMPED, VALVES, Checker, ends, finished
from .joint_maker import ROWS
from .test_alike import assert_alike
from .test_pushrod_length import vector

STEP = "final_marks"
HEADS = {"head_bolt_rows": ROWS}
CLEAR = ("slot", "retainer", "hole")


class Marked(Checker):
    """A book whose pushrods are ordered; what was torqued, measured and marked since is told to it."""

    def __init__(self, engine: dict[str, Any] | None = None) -> None:
        super().__init__(engine or ROLLERS | HEADS)

    def torqued(self, *heads: str) -> "Marked":
        for head in heads:
            self.reading("head_bolts", f"{head}.final", "all", None, "measured_again")
        return self

    def mark(self, valve: str, *, length: str = "7.5500", inner: float = -0.010, outer: float = 0.022) -> "Marked":
        """Edges signed from the stem's centre."""
        for place, text in (
            ("length", length),
            ("inner", f"{HALF_STEM + inner:.6f}"),
            ("outer", f"{HALF_STEM + outer:.6f}"),
        ):
            self.reading(STEP, f"{valve}.{place}", text, why="measured_again")
        for place in CLEAR:
            self.reading(STEP, f"{valve}.{place}", "0.060", why="measured_again")
        return self

    def asked(self) -> list[str]:
        """Words of the open flags of this step."""
        return [flag["words"] for flag in self.build.step(STEP)["flags"] if flag["open"]]


def ordered(engine: dict[str, Any] | None = None, flat: str = "0") -> Marked:
    """Best length 7.550 in by caliper on every valve; on complete balls that is a length that is sold."""
    maker = Marked(engine)
    maker.ready()
    finished(maker, dict.fromkeys(VALVES, "7.5500"))
    ends(maker, "overall", flat=flat)
    return maker


def test_width_middle_and_margin_are_those_of_the_vectors_and_are_judged() -> None:
    """Stem 0.3415 in, edges 0.118 and 0.158 in, chamfer 0.020 in: width 0.040, 0.03275 in inboard, margin 0.098 in."""
    given, expected = vector(92)
    margin = vector(129)[1]["edge_margin_in"]
    maker = ordered()
    maker.reading(STEP, "1I.inner", f"{given['inner_edge_in']}")
    maker.reading(STEP, "1I.outer", f"{given['outer_edge_in']}")
    values = {one.value.id: one.value.number / 25.4 for one in maker.build.work(STEP).values if one.value.number}
    assert values["1I.width"] == pytest.approx(expected["width_in"], abs=1e-6)
    assert values["1I.offset"] == pytest.approx(expected["offset_in"], abs=1e-6)
    assert values["1I.margin"] == pytest.approx(margin, abs=1e-6)
    verdicts = [maker.value(STEP, f"1I.{what}")["verdict"] for what in ("width", "offset", "margin")]
    assert verdicts == ["in", "out", "in"]


def test_a_whole_step_comes_out_green_and_is_signed() -> None:
    """An engine whose head bolts are not in the book: its mock-up is all that comes before."""
    maker = ordered(ROLLERS)
    maker.sign("pushrod_length")
    maker.reading(STEP, "springs", "yes", None)
    for valve in VALVES:
        maker.mark(valve)
    assert maker.asked() == []
    assert maker.value(STEP, "1I.length.off")["shown"]["text"] in ("0.0000", "0.000")
    maker.sign(STEP)
    assert maker.build.step(STEP)["state"] == "accepted"


def test_light_springs_hold_it() -> None:
    maker = ordered()
    maker.reading(STEP, "springs", "no", None)
    assert any("real springs and the delivered pushrods" in words for words in maker.asked())


@pytest.mark.parametrize(("torqued", "asked"), [((), True), (("H1",), False), (("H2",), True)])
def test_a_mark_older_than_its_heads_last_pass_is_asked_for_anew(torqued: tuple[str, ...], asked: bool) -> None:
    """Cylinder 1 is on the left bank, whose head is the first joint."""
    maker = ordered().torqued(*torqued).mark("1I")
    said = [words for words in maker.asked() if "was torqued for the last time" in words]
    assert bool(said) == asked
    assert all(words.startswith("Intake 1: marked before left head") for words in said)


def test_a_head_torqued_again_after_the_mark_asks_for_it_anew() -> None:
    maker = ordered().torqued("H1", "H2").mark("1I").mark("2E")
    assert not any("for the last time" in words for words in maker.asked())
    maker.torqued("H2")
    (asked,) = [words for words in maker.asked() if "for the last time" in words]
    assert asked.startswith("Exhaust 2: marked before right head")


@pytest.mark.parametrize(("length", "asked"), [("7.5500", False), ("7.5740", False), ("7.600", True), ("7.500", True)])
def test_a_pushrod_nearer_to_another_length_that_is_sold_is_another_one(length: str, asked: bool) -> None:
    maker = ordered().torqued("H1", "H2").mark("1I", length=length)
    said = [words for words in maker.asked() if "another length than the ordered one, which reads 7.550 in" in words]
    assert bool(said) == asked


def test_another_length_is_asked_about_before_it_is_kept_and_found_so_it_still_holds() -> None:
    """The wrong sort of pushrod is no slip of the thumb: whoever keeps it leaves it to the lead (common practice)."""
    maker = ordered().torqued("H1", "H2")
    asked = preview(maker.build.work(STEP), "2E.length", typed("7.600"), None)
    (slip,) = asked["slips"]
    assert (slip["id"], slip["sort"], asked["ask"]) == ("finding.other_length.2E", "joint", True)
    maker.reading(STEP, "2E.length", "7.600", confirmed=[slip["id"]])
    (flag,) = [flag for flag in maker.build.step(STEP)["flags"] if "other_length" in flag["id"]]
    assert (flag["severity"], flag["open"], flag["answer"]) == ("HOLD", True, "found so: no note")
    maker.decide("accept", flag["about"], "the cam was changed for it", step=STEP)
    (flag,) = [flag for flag in maker.build.step(STEP)["flags"] if "other_length" in flag["id"]]
    assert not flag["open"]


def test_what_a_caliper_reads_over_flats_is_what_the_order_is_held_against() -> None:
    """Balls of 5/16 in with 0.100 in flats lose 0.00822 in at each end (vector of the ball ends): the ordered overall
    length of 7.550 in reads 7.5336 in by caliper."""
    crown = vector(94)[1]["crown_per_end"]
    maker = ordered(flat="0.100").mark("1I", length="7.5336")
    off = next(one.value.number for one in maker.build.work(STEP).values if one.value.id == "1I.length.off")
    assert off / 25.4 == pytest.approx(7.5336 - (7.55 - 2 * crown), abs=1e-5)


@pytest.mark.parametrize(
    ("place", "text", "asked"),
    [
        ("1I.length", "7.550", None),
        ("1I.length", "75.50", "Ten times off"),
        ("1I.length", "8.050", "Far from the 7.5500 in"),
        ("2E.inner", "0.161", None),
        ("2E.inner", "1.61", "Ten times off"),
        ("2E.inner", "4.09", "millimetres typed as inches"),
        ("2E.retainer", "0.060", None),
        ("2E.retainer", "0.60", "Ten times off"),
    ],
)
def test_a_slip_of_digit_or_unit_is_asked_about_and_what_a_caliper_reads_is_not(
    place: str, text: str, asked: str | None
) -> None:
    maker = ordered().torqued("H1", "H2")
    for valve in ("7I", "7E", "2I"):
        maker.mark(valve)
    slips = preview(maker.build.work(STEP), place, typed(text), None)["slips"]
    said = [slip["message"] for slip in slips if slip["id"] not in ("out", f"finding.other_length.{place[:2]}")]
    assert [message for message in said if asked is None or asked in message] == said
    assert bool(said) == (asked is not None)


@pytest.mark.parametrize(
    ("inner", "outer", "asked"),
    [
        (0.022, -0.010, "swapped, or measured from the outboard edge"),
        (-0.010, 0.200, "beyond the stem"),
        (0.000, 0.012, "engine not turned through, or dye wiped"),
    ],
)
def test_edges_that_cannot_be_right_are_asked_about(inner: float, outer: float, asked: str) -> None:
    maker = ordered().torqued("H1", "H2").mark("1I", inner=inner, outer=outer)
    assert any(asked in words for words in maker.asked())


def test_a_rocker_near_its_retainer_stops_the_work() -> None:
    maker = ordered().torqued("H1", "H2")
    maker.reading(STEP, "1I.retainer", "0.035")
    room = maker.value(STEP, "1I.retainer.room")
    assert (room["verdict"], room["severity"]) == ("out", "STOP")


def test_the_valves_are_those_of_the_mock_up_and_a_fixed_pivot_has_no_slot() -> None:
    def places(engine: dict[str, Any]) -> list[str]:
        return [place["id"] for group in Marked(engine).build.step(STEP)["groups"] for place in group["places"]]

    on_studs, on_shaft = places(ROLLERS), places(SHAFT)
    assert [place for place in on_studs if place.endswith(".length")] == [f"{valve}.length" for valve in VALVES]
    assert "1I.slot" in on_studs
    assert "1I.slot" not in on_shaft
    assert "7E.hole" in places(STAMPED)


def test_the_mark_of_a_pad_has_the_limit_of_a_pad() -> None:
    maker = Marked(STAMPED | {"stem_chamfer": typed("0.010")}).mark("1I", inner=-0.050, outer=0.050)
    assert maker.value(STEP, "1I.width")["verdict"] == "in"
    rollers = Marked().mark("1I", inner=-0.050, outer=0.050)
    assert rollers.value(STEP, "1I.width")["verdict"] == "out"


def told() -> Marked:
    """A book in which everything has something to say."""
    maker = ordered(flat="0.100").torqued("H1").mark("1I", length="7.6000").mark("2E", inner=0.022, outer=-0.010)
    maker.reading(STEP, "springs", "no", None)
    return maker.torqued("H1", "H2").mark("1E", inner=0.0, outer=0.012)


def test_a_book_looked_at_after_every_reading_says_what_one_fed_at_once_says() -> None:
    maker = told()
    looked = Build(BUILD, maker.build.names)
    for seq, text in enumerate(maker.texts, 1):
        looked.add(text, seq)
        looked.step(STEP)
    assert looked.step(STEP) == maker.build.step(STEP)


def test_the_phone_says_the_same() -> None:
    entries = [{"text": text, "seq": seq} for seq, text in enumerate(told().texts, 1)]
    size = {"step": STEP, "place": "7I.length", "typed": typed("75.5"), "why": "first", "instrument": None}
    with Brain() as phone:
        asked: list[tuple[str, dict[str, Any]]] = [("people", {"people": []}), ("open", {"entries": entries})]
        asked += [("state", {}), ("step", {"step": STEP}), ("preview", size), ("close", {})]
        for name, more in asked:
            text = json.dumps({"build": BUILD, **more})
            here = json.loads(calls.call(name, text))
            assert "error" not in here or here["error"] is None, here
            assert_alike(here, json.loads(phone.call(name, text)), name)
