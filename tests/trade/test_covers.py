"""Small joints by plain torque: each its own step, its own torque and wrench, the faces looked at first.

Order from the middle outward and from row to row: *common practice*, by hand for eight bolts in two rows of four.
"""

import pytest

from standbook.trade.holds import HOLDS
from standbook.trade.steps.covers import COVERS, FEWEST, MOST

from .book_maker import V8, BookMaker, typed
from .joint_maker import ENGINE, WRENCH, JointMaker

COVER = "timing_cover_bolts"
IN_LB = {
    **WRENCH,
    "id": "tw-small",
    "name": "Torque wrench 30 to 250 in-lb",
    "step": typed("1", "lbf*in"),
    "range_low": typed("30", "lbf*in"),
    "range_high": typed("250", "lbf*in"),
}


def begun(setting: tuple[str, str] = ("106", "lbf*in"), **other: tuple[str, str | None]) -> JointMaker:
    maker = JointMaker(COVER)
    answers = {"gasket_part": ("gasket 12", None), "faces": ("yes", None), "setting": setting, **other}
    return maker.set_up(IN_LB, **answers)


def test_only_an_engine_whose_specification_counts_the_bolts_has_such_a_step() -> None:
    known = {cover.ID for cover in COVERS}
    assert not known & {step.id for step in BookMaker(engine=V8).build.steps()}
    assert known <= {step.id for step in BookMaker(engine=ENGINE).build.steps()}


@pytest.mark.parametrize(("count", "has"), [(FEWEST - 1, False), (FEWEST, True), (MOST, True), (MOST + 1, False)])
def test_a_count_that_no_such_joint_has_makes_none(count: int, has: bool) -> None:
    maker = BookMaker(engine={**ENGINE, COVER: typed(str(count), "1")})
    assert (COVER in {step.id for step in maker.build.steps()}) == has


def test_without_the_cards_order_it_goes_from_the_middle_outward_from_row_to_row() -> None:
    # Rows 1 2 3 4 and 5 6 7 8: the middle pair of each first, the farthest from the last one tightened.
    order = begun().card("TC")["order"]
    assert order == list("27364581")


@pytest.mark.parametrize("count", range(FEWEST, MOST + 1))
def test_any_count_lies_around_the_cover_each_bolt_once_and_apart(count: int) -> None:
    maker = JointMaker(COVER, {**ENGINE, COVER: typed(str(count), "1")})
    maker.set_up(IN_LB, gasket_part=("gasket 12", None), faces=("yes", None), setting=("106", "lbf*in"))
    card = maker.card("TC")
    assert sorted(int(number) for number in card["order"]) == list(range(1, count + 1))
    assert len({(bolt["x"], bolt["y"]) for bolt in card["plan"]["fasteners"]}) == count


def test_the_cards_order_wins() -> None:
    assert begun(order=("8 1 7 2 6 3 5 4", None)).card("TC")["order"] == list("81726354")


def test_it_is_brought_up_in_passes_and_clicked_by_a_second_person() -> None:
    maker = begun()
    now = maker.now("TC")
    assert (now["title"], now["setting"]["text"], now["setting"]["unit"]) == ("Pass 1 of 3", "53", "lbf*in")
    maker.passes("TC")
    maker.check("TC")
    assert maker.said() == []
    assert maker.build.step(COVER)["sign"]["missing"] == []


def test_solvents_are_cautioned_before_the_gasket_is_asked_for_and_faces_are_cleaned_after_it() -> None:
    view = begun().build.step(COVER)
    (caution,) = [one for one in view["cautions"] if one["at"]]
    order = [place["id"] for place in view["groups"][0]["places"]]
    assert (caution["id"], caution["level"]) == ("solvents", "tap")
    assert order.index(caution["at"]) < order.index("faces") < order.index("sealer")


def test_faces_that_are_not_ready_hold_the_joint() -> None:
    assert begun(faces=("no", None)).is_said("Faces not degreased, flat and dry", "HOLD")


def test_a_cover_bolts_inch_pounds_read_as_foot_pounds_are_seen_by_the_wrench_and_the_other_unit_is_offered() -> None:
    # Twelve inch-pounds are one foot-pound (arithmetic): 84 ft-lb are far past a wrench of 250 in-lb, 84 in-lb suit it.
    assert begun(("84", "lbf*ft"), steps=("1", None)).is_said("Or did the card mean 84 in-lb?", "WARN")


@pytest.mark.parametrize(("line", "steps"), [(25, ("timing_cover_bolts", "oil_pan_bolts")), (31, ("intake_bolts",))])
def test_the_hold_before_which_they_are_closed_waits_for_them(line: int, steps: tuple[str, ...]) -> None:
    (found,) = [one for hold in HOLDS for one in hold.lines if one.no == line]
    assert found.steps == steps
    assert found.beside
