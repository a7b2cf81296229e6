"""What holds of the trade package whatever is typed, measured or built."""

import json
import math
from collections.abc import Container
from decimal import ROUND_HALF_UP, Decimal
from typing import Any

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from standbook.trade import calls, holds, judge, plain, quantity
from standbook.trade.build import Build
from standbook.trade.factors import FACTORS
from standbook.trade.geometry import valve_order
from tests.trade import books

# --- what is typed ----------------------------------------------------------------------------------------------

UNITS = sorted((kind, unit) for kind, units in FACTORS.items() for unit in units)


@st.composite
def typed_numbers(draw: st.DrawFn) -> str:
    """A number as a builder types it: up to 4 digits before and 5 after the mark, point or comma, perhaps a sign."""
    whole = draw(st.integers(0, 9999))
    part = draw(st.text("0123456789", max_size=5))
    mark = draw(st.sampled_from(".,"))
    sign = draw(st.sampled_from(["", "-", "+"]))
    return sign + str(whole) + (mark + part if part else "")


def plainly(text: str) -> str:
    """The same number with a point, no plus, and no sign before zero."""
    bare = text.replace(",", ".").lstrip("+")
    return bare.lstrip("-") if Decimal(bare) == 0 else bare


@given(typed_numbers(), st.sampled_from(UNITS))
def test_a_typed_number_comes_back_from_the_canonical_unit_digit_for_digit(text: str, unit: tuple[str, str]) -> None:
    scale, offset = FACTORS[unit[0]][unit[1]]
    canonical = plain.parse_number(text) * scale + offset
    assert plain.number_text((canonical - offset) / scale, plain.decimals_of(text)) == plainly(text)


@given(typed_numbers(), st.sampled_from(["in", "thou", "mm"]))
def test_a_typed_length_is_shown_as_it_was_typed(text: str, unit: str) -> None:
    shown = quantity.show_typed("length", {"text": text, "unit": unit})
    assert (shown["text"], shown["unit"]) == (text, unit)
    assert shown["words"].startswith(text + " " + quantity.UNIT_WORDS[unit])


@given(typed_numbers())
def test_inches_and_millimetres_echo_each_other_by_exact_decimal_arithmetic(text: str) -> None:
    exact = (Decimal(text.replace(",", ".")) * Decimal("25.4")).quantize(Decimal("0.001"), ROUND_HALF_UP)
    assert quantity.show_typed("length", {"text": text, "unit": "in"})["echo"] == f"{exact if exact else abs(exact)} mm"


@given(st.text(max_size=12) | st.text("0123456789.,+- _eE\u0663\uff11", max_size=8))
def test_any_text_is_the_number_that_it_looks_like_or_is_refused(text: str) -> None:
    try:
        number = plain.parse_number(text)
    except plain.Refusal:
        return
    assert number == float(text.replace(",", ".").replace("\u2212", "-"))
    assert text.replace("\u2212", "-").isascii()
    assert "_" not in text


# --- order and JSON ---------------------------------------------------------------------------------------------


@given(st.lists(st.tuples(st.integers(0, 3), st.integers())), st.booleans())
def test_in_order_is_sorted_and_stable(rows: list[tuple[int, int]], reverse: bool) -> None:
    ours = plain.in_order(rows, key=lambda row: row[0], reverse=reverse)
    assert ours == sorted(rows, key=lambda row: row[0], reverse=reverse)


FINITE = st.floats(allow_nan=False, allow_infinity=False)


@given(st.lists(st.floats(-1e9, 1e9), max_size=50))
def test_total_is_the_exact_sum_but_for_the_last_bit(values: list[float]) -> None:
    exact = math.fsum(values)
    slack = math.ulp(exact) + len(values) ** 2 * 2.0**-104 * math.fsum(abs(x) for x in values)
    assert abs(plain.total(values) - exact) <= slack


SCALARS = st.none() | st.booleans() | st.integers(-(2**62), 2**62) | FINITE
TEXTS = st.text(st.characters(exclude_categories=["Cs"]), max_size=8)
JSON = st.recursive(
    SCALARS | TEXTS,
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(TEXTS, inner, max_size=4),
    max_leaves=12,
)


@given(JSON)
def test_json_comes_back_as_it_was_written_and_is_what_the_json_module_reads(value: Any) -> None:
    text = plain.to_json(value)
    assert plain.from_json(text) == value
    assert json.loads(text) == value


@given(st.dictionaries(TEXTS, st.integers(), max_size=8))
def test_json_does_not_depend_on_the_order_in_which_keys_came(value: dict[str, int]) -> None:
    backwards = dict(reversed(list(value.items())))
    assert plain.to_json(value) == plain.to_json(backwards)


# --- verdicts ---------------------------------------------------------------------------------------------------

RANKS = {
    "quality": ("in", "in, close", "out"),
    "hurts": ("in", "too close, measure again", "out"),
    "abort": ("in", "abort"),
}
LENGTHS = st.integers(-20000, 20000).map(lambda n: n / 100000)
UNCERTAINTIES = st.integers(0, 500).map(lambda n: n / 100000)


def rank(kind: str, value: float, low: float | None, high: float | None, u: float) -> int:
    return RANKS[kind].index(judge.verdict(kind, value, low, high, u))


@given(st.sampled_from(sorted(RANKS)), LENGTHS, LENGTHS, LENGTHS, UNCERTAINTIES)
def test_a_value_further_below_a_lower_limit_is_never_judged_better(
    kind: str, low: float, first: float, second: float, u: float
) -> None:
    assert rank(kind, min(first, second), low, None, u) >= rank(kind, max(first, second), low, None, u)


@given(st.sampled_from(sorted(RANKS)), LENGTHS, LENGTHS, LENGTHS, UNCERTAINTIES)
def test_a_value_further_above_an_upper_limit_is_never_judged_better(
    kind: str, high: float, first: float, second: float, u: float
) -> None:
    assert rank(kind, max(first, second), None, high, u) >= rank(kind, min(first, second), None, high, u)


@given(st.sampled_from(sorted(RANKS)), LENGTHS, LENGTHS, LENGTHS, LENGTHS, UNCERTAINTIES)
def test_a_narrower_band_never_judges_better(kind: str, value: float, a: float, b: float, c: float, u: float) -> None:
    low, middle, high = sorted([a, b, c])
    assert rank(kind, value, low, middle, u) >= rank(kind, value, low, high, u)
    assert rank(kind, value, middle, high, u) >= rank(kind, value, low, high, u)


@given(LENGTHS, LENGTHS, UNCERTAINTIES, UNCERTAINTIES)
def test_a_better_gauge_never_takes_a_good_value_away(value: float, low: float, u: float, worse: float) -> None:
    assume(u <= worse)
    for kind in ("quality", "hurts"):
        if judge.verdict(kind, value, low, None, worse) == "in":
            assert judge.verdict(kind, value, low, None, u) == "in"


@given(st.sampled_from(["quality", "abort"]), LENGTHS, UNCERTAINTIES)
def test_a_value_on_its_limit_is_inside_unless_the_engine_runs(kind: str, value: float, u: float) -> None:
    for low, high in ((value, None), (None, value)):
        word = judge.verdict(kind, value, low, high, u)
        assert word == "abort" if kind == "abort" else word in ("in", "in, close")


# --- setting order ----------------------------------------------------------------------------------------------

EARLY, LATE = st.integers(-40, 180), st.integers(0, 240)
CARDS = st.tuples(EARLY, LATE, LATE, EARLY)
"""Intake opens, intake closes, exhaust opens, exhaust closes: well beyond any cam, so that methods get refused."""

ORDERS = st.integers(1, 16).flatmap(lambda count: st.permutations(list(range(1, count + 1))))
METHODS = {
    "one turn-through": valve_order.one_turn_through,
    "two positions": valve_order.two_positions,
    "own firing top dead centre": valve_order.own_firing_tdc,
}


def lift_interval(side: str, card: tuple[int, int, int, int]) -> tuple[float, float]:
    """Where a valve is open, in degrees after its cylinder's firing top dead centre, from the strokes themselves.

    Power stroke 0 to 180, exhaust 180 to 360, intake 360 to 540, compression 540 to 720.
    """
    opens_intake, closes_intake, opens_exhaust, closes_exhaust = card
    if side == "I":
        return 360.0 - opens_intake, 540.0 + closes_intake
    return 180.0 - opens_exhaust, 360.0 + closes_exhaust


def is_open(side: str, card: tuple[int, int, int, int], after_firing: float) -> bool:
    start, end = lift_interval(side, card)
    return any(start - 1e-9 < after_firing + turn < end + 1e-9 for turn in (-720.0, 0.0, 720.0))


def listed_or_refused(method: str, order: list[int], card: tuple[int, int, int, int]) -> list[Any] | None:
    """The setting list, or None where the method is refused by its own name and by no other fault."""
    try:
        return list(METHODS[method](order, valve_order.SeatEvents(*(float(figure) for figure in card))))
    except plain.Refusal as refusal:
        if refusal.code != "setting_method_refused":
            raise
        return None


@pytest.mark.parametrize("method", METHODS)
@given(order=ORDERS, card=CARDS)
def test_a_setting_order_has_every_valve_once_and_shut_or_is_refused_by_name(
    method: str, order: list[int], card: tuple[int, int, int, int]
) -> None:
    listed = listed_or_refused(method, order, card)
    if listed is None:
        return
    valves = [(cylinder, side) for _, cylinder, side in listed]
    assert sorted(valves) == sorted((cylinder, side) for cylinder in order for side in "EI")
    for angle, cylinder, side in listed:
        fires_at = 720.0 * order.index(cylinder) / len(order)
        assert not is_open(side, card, (angle - fires_at) % 720.0), (angle, cylinder, side)


@given(order=ORDERS, card=CARDS)
def test_a_method_is_refused_only_where_a_valve_would_be_open(
    order: list[int], card: tuple[int, int, int, int]
) -> None:
    moments = {"I": lift_interval("E", card)[0] + 10.0, "E": lift_interval("I", card)[1] - 20.0}
    open_there = any(is_open(side, card, moment % 720.0) for side, moment in moments.items())
    assert (listed_or_refused("one turn-through", order, card) is None) == open_there


@given(order=ORDERS, card=CARDS)
def test_one_turn_through_goes_one_way(order: list[int], card: tuple[int, int, int, int]) -> None:
    listed = listed_or_refused("one turn-through", order, card)
    if listed is None:
        return
    angles = [angle for angle, _, _ in listed]
    assert angles == sorted(angles)
    assert all(0 <= angle < 720 for angle in angles)


def reckon(name: str, order: list[int], card: tuple[int, int, int, int], **more: int) -> dict[str, Any]:
    """The answer of a calculator that takes a firing order and a cam card."""
    keys = ("intake_opens_btdc", "intake_closes_abdc", "exhaust_opens_bbdc", "exhaust_closes_atdc")
    inputs = {"firing_order": order, **dict(zip(keys, card, strict=True)), **more}
    answer: dict[str, Any] = json.loads(calls.call("reckon", json.dumps({"name": name, "inputs": inputs})))
    return answer


def valves_at(order: list[int], card: tuple[int, int, int, int], crank: int, margin: int) -> dict[str, list[int]]:
    """Cylinders by side whose valve may be set at this crank angle, as the calculator has them."""
    outputs = reckon("valves-that-may-be-set", order, card, crank_angle=crank, margin=margin)["outputs"]
    return {"I": outputs["intake_valves"]["value"], "E": outputs["exhaust_valves"]["value"]}


@given(order=ORDERS, card=CARDS, crank=st.integers(-720, 1440), margin=st.integers(0, 40))
def test_the_valves_that_may_be_set_are_those_shut_by_the_margin_and_no_others(
    order: list[int], card: tuple[int, int, int, int], crank: int, margin: int
) -> None:
    free = valves_at(order, card, crank, margin)
    for side in "IE":
        start, end = lift_interval(side, card)
        for place, cylinder in enumerate(order):
            after_firing = (crank - 720.0 * place / len(order)) % 720.0
            beyond = max(
                min(after_firing + turn - (start - margin), end + margin - after_firing - turn)
                for turn in (-720.0, 0.0, 720.0)
            )
            if abs(beyond) > 1e-6:  # to the last bit on the edge it may be either
                assert (cylinder in free[side]) == (beyond < 0), (cylinder, side)


@given(order=ORDERS, card=CARDS)
def test_two_positions_are_refused_where_the_two_lists_together_miss_a_valve(
    order: list[int], card: tuple[int, int, int, int]
) -> None:
    lists = [valves_at(order, card, crank, int(valve_order.MARGIN)) for crank in (0, 360)]
    reached = {(cylinder, side) for free in lists for side in "IE" for cylinder in free[side]}
    assert (listed_or_refused("two positions", order, card) is None) == (len(reached) < 2 * len(order))


@given(order=ORDERS, card=CARDS)
def test_the_setting_order_calculator_answers_with_the_list_or_with_the_reason_and_no_figure(
    order: list[int], card: tuple[int, int, int, int]
) -> None:
    answer = reckon("setting-order", order, card)
    listed = listed_or_refused("one turn-through", order, card)
    if listed is None:
        assert answer["refused"] is True
        assert "on its lobe" in answer["reason"]
        assert answer["outputs"] == {}
    else:
        expected = [[angle, f"{cylinder}{side}"] for angle, cylinder, side in listed]
        assert answer["outputs"]["setting_list"]["value"] == expected


@given(st.lists(st.integers(0, 20), max_size=20))
def test_an_order_that_does_not_name_each_cylinder_once_is_refused(order: list[int]) -> None:
    assume(sorted(order) != list(range(1, len(order) + 1)) or not 1 <= len(order) <= 16)
    with pytest.raises(plain.Refusal, match="firing order"):
        valve_order.one_turn_through(order, valve_order.SeatEvents(30.0, 74.0, 78.0, 30.0))


# --- the book ---------------------------------------------------------------------------------------------------


@given(books.books(), st.randoms(use_true_random=False))
def test_the_book_says_the_same_in_whatever_order_entries_arrive(
    book: list[tuple[Any, int | None]], random: Any
) -> None:
    begun = [(data, seq) for seq, data in enumerate(books.opening(), 1)]
    straight = books.everything_shown(books.new_build(begun + book))
    shuffled = begun + book
    random.shuffle(shuffled)
    assert books.everything_shown(books.new_build(shuffled)) == straight


@given(books.books(), st.randoms(use_true_random=False))
def test_an_entry_that_comes_twice_or_learns_its_number_late_changes_nothing(
    book: list[tuple[Any, int | None]], random: Any
) -> None:
    begun = [(data, seq) for seq, data in enumerate(books.opening(), 1)]
    straight = books.everything_shown(books.new_build(begun + book))
    again = [(data, random.choice([None, seq])) for data, seq in begun + book] + begun + book
    assert books.everything_shown(books.new_build(again)) == straight


@given(books.books(), st.integers(1, 10))
def test_a_book_looked_at_on_the_way_says_the_same_at_the_end(book: list[tuple[Any, int | None]], every: int) -> None:
    begun = [(data, seq) for seq, data in enumerate(books.opening(), 1)]
    looked = books.new_build(begun)
    for at, (data, seq) in enumerate(book):
        if at % every == 0:
            books.everything_shown(looked)
        looked.add(json.dumps(data), seq)
    assert books.everything_shown(looked) == books.everything_shown(books.new_build(begun + book))


GLANCES = ["state", "nothing", *sorted({step for step, _ in books.FEW_PLACES}), "parts_accepted", "crank"]


def glanced(build: Build, what: str) -> Any:
    """What a phone looks at between two entries: the engine at a glance, one step, one Hold, or nothing at all."""
    if what == "nothing":
        return None
    if what in holds.BY_ID:
        return build.hold(what)
    return build.state() if what == "state" else build.step(what)


BEGUN = books.opening() + books.measured(len(books.opening()) + 1)


@given(
    st.sampled_from([books.opening(), BEGUN, BEGUN]).flatmap(
        lambda begun: st.tuples(st.just(begun), books.books(len(begun) + 1))
    ),
    st.lists(st.sampled_from(GLANCES), min_size=14, max_size=14),
    st.booleans(),
)
def test_what_is_remembered_after_any_entry_is_what_is_worked_out_afresh(
    book: tuple[list[Any], list[tuple[Any, int | None]]], looks: list[str], unsent: bool
) -> None:
    """`unsent`: each entry is on the phone first and learns its number from the shop one look later."""
    fed = [(data, seq) for seq, data in enumerate(book[0], 1)]
    looked = books.new_build(fed)
    looked.state()
    for (data, seq), what in zip(book[1], looks, strict=False):
        looked.add(json.dumps(data), None if unsent else seq)
        fed.append((data, None if unsent else seq))
        assert glanced(looked, what) == glanced(books.new_build(fed), what)
        if unsent:
            looked.add(json.dumps(data), seq)
            fed[-1] = (data, seq)
            assert glanced(looked, "state") == glanced(books.new_build(fed), "state")


@st.composite
def preview_questions(draw: st.DrawFn) -> dict[str, Any]:
    """A preview of something fitting, or of anything at all, at some place."""
    step, place = draw(st.sampled_from(books.FEW_PLACES) | st.sampled_from(books.PLACES))
    anything = st.fixed_dictionaries(
        {"text": typed_numbers() | st.text(max_size=6), "unit": st.sampled_from(["in", "mm", "psi", "degF", None])}
    )
    typed = draw(books.typed_values(place) | anything)
    gauge = draw(st.sampled_from([None, books.GAUGE]))
    return {"build": books.BUILD, "step": step, "place": place.id, "typed": typed, "why": "first", "instrument": gauge}


@given(books.books(), preview_questions())
def test_a_preview_never_changes_the_book(book: list[tuple[Any, int | None]], ask: dict[str, Any]) -> None:
    open_by_calls(book)
    never_asked = shown_by_calls()
    open_by_calls(book)
    first = calls.call("preview", json.dumps(ask))
    assert shown_by_calls() == never_asked
    assert calls.call("preview", json.dumps(ask)) == first
    assert shown_by_calls() == never_asked
    calls.call("close", json.dumps({"build": books.BUILD}))


def open_by_calls(book: list[tuple[Any, int | None]]) -> None:
    """Opens the build anew with these entries after its opening ones."""
    begun = [(data, seq) for seq, data in enumerate(books.opening(), 1)]
    entries = [{"text": json.dumps(data), "seq": seq} for data, seq in begun + book]
    answer = calls.call("open", json.dumps({"build": books.BUILD, "entries": entries}))
    assert json.loads(answer) == {}


def shown_by_calls() -> list[str]:
    """State, every step and every guide of the open build, asked as a screen asks."""
    step_ids = sorted({step for step, _ in books.PLACES})
    asked = [("state", {}), *((name, {"step": step_id}) for step_id in step_ids for name in ("step", "guide"))]
    return [calls.call(name, json.dumps({"build": books.BUILD, **args})) for name, args in asked]


def of_lengths(steps: Container[str]) -> list[tuple[str, Any]]:
    return [pair for pair in books.PLACES if pair[1].kind == "length" and pair[0] in steps]


NOTHING: list[dict[str, Any]] = []
MEASURED = books.measured(len(books.opening()) + 1)


@given(
    st.one_of(
        st.tuples(st.just(NOTHING), st.sampled_from(of_lengths({step for step, _ in books.PLACES}))),
        st.tuples(st.just(MEASURED), st.sampled_from(of_lengths(books.MEASURED))),
    ),
    st.data(),
)
def test_a_reading_is_judged_in_the_book_as_its_preview_said(
    case: tuple[list[dict[str, Any]], tuple[str, Any]], data: st.DataObject
) -> None:
    """In an empty book, and in one where everything around the place is known and was looked at before."""
    begun, place = case
    before = {entry["place"]: entry["id"] for entry in begun}.get(place[1].id)
    why = "typed_wrong" if before else "first"
    typed = data.draw(books.typed_values(place[1]))
    open_by_calls([(entry, entry["device_no"]) for entry in begun])
    shown_by_calls()
    ask = {
        "build": books.BUILD,
        "step": place[0],
        "place": place[1].id,
        "typed": typed,
        "why": why,
        "instrument": books.GAUGE,
    }
    promised = json.loads(calls.call("preview", json.dumps(ask)))
    body = {"value": typed, "not_measured": None, "instrument": books.GAUGE, "note": "", "corrects": before}
    body.update({"confirmed": [], "cautions": []})
    made = books.entry(900, "reading", body, step=place[0], place=place[1].id, why=why)
    calls.call("add", json.dumps({"build": books.BUILD, "entries": [{"text": json.dumps(made), "seq": None}]}))
    step = json.loads(calls.call("step", json.dumps({"build": books.BUILD, "step": place[0]})))
    recorded = {
        value["id"]: value for value in step["values"] + [v for group in step["groups"] for v in group["values"]]
    }
    for value in promised["values"]:
        assert recorded[value["id"]]["verdict"] == value["verdict"]
        assert recorded[value["id"]]["shown"] == value["shown"]
