"""Hold points: two signatures of two people, of whom one did not do the work; they fall with what they rest on.

Who signs what, and what makes a Hold fall: L2 of the trade pages [common practice]. The engine is invented.
"""

from typing import Any

import pytest

from standbook.trade import holds
from standbook.trade.plain import Refusal

from .book_maker import MICROMETER, OTHER_PHONE, PHONE, BookMaker

HOLD_1, HOLD_2, HOLD_3, HOLD_4 = "parts_accepted", "trial_accepted", "clean_and_plugged", "crank"
#: The steps of Hold 1 in this book.
STEPS = ("main_housings", "journals", "main_bearing_clearance")


class Signing(BookMaker):
    """A book whose steps are signed as far as a test wants, and signatures of Holds."""

    def sign_hold(self, hold: str, signs_as: str, person: str, **more: Any) -> str:
        view = self.build.hold(hold)
        sign = view["sign"]
        lines = [
            {"line": line["no"], "words": line["asks"], "answer": "done", "note": ""}
            for line in view["lines"]
            if line["asks"]
        ]
        body = {
            "hold": hold,
            "signs_as": signs_as,
            "at": more.pop("at", "engine"),
            "shown": "0" * 64,
            "uses": more.pop("uses", sign["uses"]),
            "steps": sign["steps"],
            "lines": more.pop("lines", lines),
            "note": "",
        }
        return self.entry("hold_signed", body, person=person, **more)

    def sign_both(self, *wanted: str) -> None:
        for hold in wanted:
            self.sign_hold(hold, "builder", "bo")
            self.sign_hold(hold, "lead", "lead")

    def open_again(self, hold: str, reason: str, **more: Any) -> None:
        self.entry("hold_opened", {"hold": hold, "reason": reason}, **more)

    def state(self, hold: str) -> str:
        return str(self.build.hold(hold)["state"])

    def measured(self) -> None:
        """Every step of Hold 1 measured by Mara and signed."""
        for step in STEPS:
            view = self.build.step(step)
            for place in [place for group in view["groups"] for place in group["places"] if place["required"]]:
                self.reading(step, place["id"], *(READINGS.get(place["id"]) or self.size(place["id"])))
            assert self.build.step(step)["sign"]["missing"] == []
            self.sign(step)

    def size(self, place: str) -> tuple[str, str]:
        """A bearing is wider across its parting line than upright."""
        return ("0.0031" if place.endswith((".P1", ".P2")) else SIZES[place[:2]]), "in"


SIZES = {"MH": "2.7660", "MJ": "2.5758", "RJ": "2.1000", "MB": "0.0026"}
READINGS: dict[str, tuple[str, str | None]] = {
    "temperature": ("68", "degF"),
    "room_temperature": ("68", "degF"),
    "caps_tight": ("yes", None),
    "lubricant": ("oil", None),
    "gauge_zero": ("yes", None),
    "method": ("zeroed_on_journal", None),
}


@pytest.fixture
def book() -> Signing:
    return Signing()


def test_each_hold_takes_two_and_names_only_what_is_there() -> None:
    for hold in holds.HOLDS:
        assert len(set(hold.signers)) == 2
        assert {*hold.needs, *hold.falls_with} <= {one.id for one in holds.HOLDS}
        assert {*hold.remote} <= {*hold.signers} - {"second"}


def test_lines_1_to_33_stand_once_in_their_order_before_hold_8() -> None:
    numbers = [line.no for hold in holds.HOLDS for line in hold.lines]
    assert sorted(numbers) == list(range(1, 34))


def test_what_stands_in_its_way_is_told_in_words(book: Signing) -> None:
    assert book.state(HOLD_1) == "waiting"
    assert book.build.hold(HOLD_1)["sign"]["missing"] == [
        "Main housing bores: not started.",
        "Crank journals: not started.",
        "Main bearing clearance: not started.",
    ]
    assert book.build.hold(HOLD_2)["sign"]["missing"] == ["Hold 1, parts accepted is not signed."]
    with pytest.raises(Refusal, match="does not know that Hold"):
        book.build.hold("hold of tomorrow")


def test_two_people_sign_it(book: Signing) -> None:
    book.measured()
    assert book.state(HOLD_1) == "ready to sign"
    book.sign_hold(HOLD_1, "builder", "mara")
    assert book.state(HOLD_1) == "half signed"
    assert book.state(HOLD_2) == "waiting"
    book.sign_hold(HOLD_1, "lead", "lead", at="away")
    assert book.state(HOLD_1) == "signed"
    assert book.state(HOLD_2) == "ready to sign"


def test_one_person_never_fills_both_places(book: Signing) -> None:
    book.measured()
    book.sign_hold(HOLD_1, "builder", "lead")
    book.sign_hold(HOLD_1, "lead", "lead")
    assert book.state(HOLD_1) == "half signed"
    [told] = book.build.hold(HOLD_1)["history"]
    assert told["words"] == "Signed as lead by Jon T.; signs already as builder: a Hold takes two people"


def test_who_did_the_work_is_not_its_lead(book: Signing) -> None:
    book.measured()
    book.sign_hold(HOLD_1, "builder", "lead")
    book.sign_hold(HOLD_1, "lead", "mara")
    assert book.state(HOLD_1) == "half signed"
    assert {"person": "mara", "signs_as": "lead"} in [
        {key: row[key] for key in ("person", "signs_as")} for row in book.build.hold(HOLD_1)["not_them"]
    ]


def test_a_corrected_reading_makes_it_fall_and_the_signatures_stay_readable(book: Signing) -> None:
    book.measured()
    book.sign_both(HOLD_1)
    old = book.place("journals", "MJ3.F.0")["readings"][0]["id"]
    book.reading("journals", "MJ3.F.0", "2.5757", why="typed_wrong", corrects=old, gauge=MICROMETER)
    assert book.state(HOLD_1) == "re-check needed"
    told = [row["words"] for row in book.build.hold(HOLD_1)["history"]]
    assert len(told) == 2
    assert all("what it rests on is another since" in words for words in told)
    book.sign("journals")
    book.sign("main_bearing_clearance")
    book.sign_both(HOLD_1)
    assert book.state(HOLD_1) == "signed"


def test_what_was_opened_again_is_signed_anew(book: Signing) -> None:
    book.measured()
    book.sign_both(HOLD_1, HOLD_2, HOLD_3)
    book.open_again(HOLD_3, "a plug out again")
    assert book.state(HOLD_3) == "re-check needed"
    assert book.state(HOLD_1) == "signed"
    assert "Opened again by Mara K.: a plug out again" in [row["words"] for row in book.build.hold(HOLD_3)["history"]]
    book.sign_both(HOLD_3)
    assert book.state(HOLD_3) == "signed"


def test_a_signature_made_without_knowing_that_it_was_opened_does_not_count(book: Signing) -> None:
    book.measured()
    book.sign_both(HOLD_1)
    book.open_again(HOLD_1, "a rod is exchanged", device=PHONE)
    book.sign_hold(HOLD_1, "builder", "bo", device=OTHER_PHONE, seen=3)
    assert book.state(HOLD_1) == "re-check needed"


def test_later_holds_that_rest_on_it_fall_too(book: Signing) -> None:
    """Hold 4 falls with Hold 3; it is signed anew when Hold 3 is, and not before."""
    book.measured()
    book.sign_both(HOLD_1, HOLD_2, HOLD_3, HOLD_4)
    assert book.state(HOLD_4) == "signed"
    book.open_again(HOLD_3, "honed after the wash")
    assert book.state(HOLD_4) == "re-check needed"
    book.sign_both(HOLD_3)
    assert book.state(HOLD_4) == "re-check needed"
    book.sign_both(HOLD_4)
    assert book.state(HOLD_4) == "signed"


def test_a_line_without_an_answer_leaves_it_open(book: Signing) -> None:
    book.measured()
    book.sign_hold(HOLD_1, "builder", "bo", lines=[])
    assert book.state(HOLD_1) == "re-check needed"
    assert "a line stands without an answer" in book.build.hold(HOLD_1)["history"][0]["words"]


def test_a_line_is_left_out_with_its_reason(book: Signing) -> None:
    book.measured()
    every = [
        {"line": line["no"], "words": line["asks"], "answer": "not_in_job", "note": "heads stay on"}
        for line in book.build.hold(HOLD_1)["lines"]
        if line["asks"]
    ]
    book.sign_hold(HOLD_1, "builder", "bo", lines=every)
    [answer] = book.build.hold(HOLD_1)["lines"][0]["answers"]
    assert answer["words"] == "not in this job, because heads stay on"


def test_a_second_person_signs_at_the_engine_alone() -> None:
    assert not any("second" in hold.remote for hold in holds.HOLDS)
    assert not holds.may_be_away("a hold of tomorrow", "second")


def test_a_stop_anywhere_bars_every_hold(book: Signing) -> None:
    book.measured()
    book.sign_both(HOLD_1)
    book.reading("solid_lash", "1I.lash", "0.160")
    stops = [flag["words"] for flag in book.flags() if flag["severity"] == "STOP" and flag["open"]]
    assert book.build.hold(HOLD_2)["sign"]["missing"] == stops


def test_work_that_this_book_does_not_hold_is_signed_on_paper(book: Signing) -> None:
    assert "on paper" in book.build.hold("permission_to_fire")["sign"]["missing"][0]
    assert "permission_to_fire" not in [hold["id"] for hold in book.build.state()["holds"]]


def test_the_order_of_coming_makes_no_difference(book: Signing) -> None:
    book.measured()
    book.sign_both(HOLD_1, HOLD_2, HOLD_3)
    book.open_again(HOLD_2, "another gasket")
    book.sign_hold(HOLD_2, "lead", "lead")
    backwards = Signing()
    backwards.build = type(book.build)(book.build.build_id, book.build.names)
    for seq, text in reversed(list(enumerate(book.texts, 1))):
        backwards.build.add(text, seq)
    assert backwards.build.state() == book.build.state()
    for hold in holds.HOLDS:
        assert backwards.build.hold(hold.id) == book.build.hold(hold.id)
