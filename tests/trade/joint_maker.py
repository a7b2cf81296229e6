"""Joints for tests: a head joint tightened as a crew would, minute by minute. The engine and its card are invented."""

from typing import Any

from .book_maker import V8, BookMaker, typed

HEADS, MAINS = "head_bolts", "main_cap_bolts"
#: Two rows of five, as in the worked example of the order: L1 to L5, then U1 to U5.
ROWS = [[1, 2, 3, 4, 5], [6, 7, 8, 9, 10]]
COVERS = {"timing_cover_bolts": "8", "oil_pan_bolts": "18", "intake_bolts": "12"}
ENGINE = {
    **V8,
    "head_bolt_rows": ROWS,
    "main_bolts": typed("4", "1"),
    "rod_bolt_method": "stretch",
    **{field: typed(count, "1") for field, count in COVERS.items()},
}
WRENCH: dict[str, Any] = {
    "id": "tw-1",
    "kind": "torque_wrench",
    "name": "Torque wrench 20 to 100 ft-lb",
    "step": typed("1", "lbf*ft"),
    "trust": typed("4", "%"),
    "dial": False,
    "calibration_due": None,
    "range_low": typed("20", "lbf*ft"),
    "range_high": typed("100", "lbf*ft"),
}
SETUP: dict[str, tuple[str, str | None]] = {
    "method": ("torque", None),
    "reuse": ("reusable", None),
    "gasket": ("layered_steel", None),
    "setting": ("65", "lbf*ft"),
    "source": ("head card, page 2", None),
    "card_lubricant": ("engine oil", None),
    "lubricant": ("same", None),
    "adapter": ("straight", None),
}


class JointMaker(BookMaker):
    """A book of one step of joints, with a clock that goes on from act to act."""

    def __init__(self, step: str = HEADS, engine: dict[str, Any] | None = None) -> None:
        super().__init__(engine=ENGINE if engine is None else engine)
        self.step_id = step
        self.seconds = 8 * 3600

    def say(self, place: str, text: str, unit: str | None = None, *, after: int = 120, **more: Any) -> str:
        """One answer at a place, so many seconds after the one before."""
        self.seconds += after
        hours, rest = divmod(self.seconds, 3600)
        at = f"2026-11-25T{hours:02d}:{rest // 60:02d}:{rest % 60:02d}.000Z"
        return self.reading(self.step_id, place, text, unit, more.pop("why", "measured_again"), made_at=at, **more)

    def set_up(self, wrench: dict[str, Any] | None = WRENCH, **other: tuple[str, str | None]) -> "JointMaker":
        """All questions before the wrench goes on; `other` answers replace or add to the usual ones."""
        for place, (text, unit) in {**SETUP, **other}.items():
            if place != "gasket" or self.step_id == HEADS:
                self.say(place, text, unit)
        self.say("wrench", wrench["name"] if wrench else "borrowed", gauge=wrench)
        return self

    def passes(self, joint: str = "H1", names: tuple[str, ...] = ("pass1", "pass2", "final"), **more: Any) -> None:
        for name in names:
            self.say(f"{joint}.{name}", "all", **more)

    def check(self, joint: str = "H1", answer: str = "each_clicked", person: str = "lead", **more: Any) -> None:
        self.say(f"{joint}.check", answer, person=person, **more)

    def card(self, joint: str = "H1") -> dict[str, Any]:
        """The joint as the screen shows it."""
        return next(card for card in self.build.guide(self.step_id)["joints"] if card["id"] == joint)

    def now(self, joint: str = "H1") -> dict[str, Any]:
        now: dict[str, Any] = self.card(joint)["now"]
        return now

    def said(self, severity: str | None = None) -> list[str]:
        """Words of the open flags of this step."""
        flags = self.build.step(self.step_id)["flags"]
        return [flag["words"] for flag in flags if flag["open"] and severity in (None, flag["severity"])]

    def is_said(self, words: str, severity: str) -> bool:
        return any(words in said for said in self.said(severity))
