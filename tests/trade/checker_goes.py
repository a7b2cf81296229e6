"""Goes of the checking pushrod for tests: an invented engine and hands that read what a test tells them."""

from typing import Any

from standbook.trade import checker

from .book_maker import V8, BookMaker, typed

STEP = "pushrod_length"
ROLLERS = V8 | {
    "rocker_kind": "roller_stud",
    "rocker_ratio": typed("1.6", "1"),
    "rocker_arm": typed("1.520"),
    "stem_tip_intake": typed("0.3415"),
    "stem_tip_exhaust": typed("0.3415"),
    "stem_chamfer": typed("0.020"),
    "checker_pitch": typed("0.050"),
}
STAMPED = ROLLERS | {"rocker_kind": "stamped"}
SHAFT = ROLLERS | {"rocker_kind": "shaft", "rocker_tip": "roller"}
HALF_STEM = 0.3415 / 2


class Checker(BookMaker):
    """A book whose checking pushrod is at work."""

    def __init__(self, engine: dict[str, Any] | None = None) -> None:
        super().__init__(ROLLERS if engine is None else engine)

    def said(self, place: str, text: str) -> "Checker":
        self.reading(STEP, place, text, None)
        return self

    def size(self, place: str, text: str, **more: Any) -> "Checker":
        self.reading(STEP, place, text, **more)
        return self

    def ready(self, method: str = "two_contacts", base: str | None = None) -> "Checker":
        for place, answer in (("method", method), ("springs", "yes"), ("gasket", "yes"), ("caps", "none")):
            self.said(place, answer)
        self.said("count", "caliper" if base is None else "both")
        return self if base is None else self.size("base", base)

    def turned(self, go: str, turns: str, eighths: str) -> "Checker":
        self.reading(STEP, f"{go}.turns", turns, "1")
        return self.said(f"{go}.eighths", eighths)

    def contacts(self, go: str, closed: float, opened: float) -> "Checker":
        """Both contacts, signed from the stem's centre as the handbook's vectors are; each read twice."""
        for again in ("", "2"):
            self.size(f"{go}.closed{again}", f"{HALF_STEM + closed:.6f}")
            self.size(f"{go}.open{again}", f"{HALF_STEM + opened:.6f}")
        return self

    def edges(self, go: str, inner: float, outer: float, *, twice: bool = False) -> "Checker":
        for again in ("", "2") if twice else ("",):
            self.size(f"{go}.inner{again}", f"{HALF_STEM + inner:.6f}")
            self.size(f"{go}.outer{again}", f"{HALF_STEM + outer:.6f}")
        return self

    def guide(self) -> dict[str, Any]:
        return self.build.guide(STEP)

    def card(self) -> dict[str, Any]:
        card: dict[str, Any] = self.guide()["card"]
        return card

    def inches(self, value: str) -> float:
        """A value of the step in inches, as it is judged, not as it is shown."""
        judged = next(one for one in self.build.work(STEP).values if one.value.id == value)
        return float(judged.value.number) / 25.4

    def valve(self, name: str) -> checker.Valve:
        return checker.Valve(self.build.work(STEP).bench, checker.ValveNames(int(name[:-1]), name[-1]))


def one_go(maker: Checker, go: str, length: str, closed: float, opened: float) -> Checker:
    """A whole go of a roller tip, its smear as wide as its contacts lie apart, no narrower than the arm can mark."""
    low, high = min(closed, opened), max(closed, opened)
    return maker.size(f"{go}.cal", length).contacts(go, closed, opened).edges(go, low, max(high, low + 0.030))


def pad_go(maker: Checker, go: str, length: str, mean: float, width: float = 0.080) -> Checker:
    return maker.size(f"{go}.cal", length).edges(go, mean - width / 2, mean + width / 2, twice=True)


VALVES = ("1I", "1E", "7I", "7E", "2I", "2E")


def finished(maker: Checker, lengths: dict[str, str]) -> Checker:
    """Every valve at its best length at once: contacts that meet."""
    for valve, length in lengths.items():
        maker.size(f"{valve}.lift", "0.577")
        if maker.build.facts().engine.text("rocker_kind") == "stamped":
            pad_go(maker, f"{valve}.1", length, 0.0)
        else:
            one_go(maker, f"{valve}.1", length, 0.0024, 0.0024)
        for place in ("slot", "retainer", "hole"):
            maker.size(f"{valve}.{place}", "0.060")
    return maker


def ends(maker: Checker, basis: str, ball: str = "0.3125", flat: str = "0.100", circle: str | None = None) -> Checker:
    maker.size("ball", ball).size("flat", flat).said("basis", basis).said("changes", "no")
    return maker if circle is None else maker.size("gauge_circle", circle)
