"""Identifiers are for ever: entries written years ago name them. `ids.txt` only grows."""

import hashlib
import re
from collections.abc import Iterator
from pathlib import Path

from standbook.trade import calls, engine, entries, holds, instruments, limits, quantity
from standbook.trade.engine import Engine
from standbook.trade.factors import FACTORS
from standbook.trade.steps import STAGES, STEPS

from .book_maker import BookMaker, typed
from .checker_goes import ROLLERS, SHAFT, STAMPED, STEP, VALVES, Checker, ends, finished
from .joint_maker import ENGINE

LIST = Path(calls.__file__).with_name("ids.txt")
HYDRAULIC = {"lifter_kind": "roller_hydraulic", "lifter_travel": "full"}
PRELOADED = {**ENGINE, **HYDRAULIC, "rocker_ratio": typed("1.6", "1")}
ROCKERS = (ROLLERS, STAMPED | HYDRAULIC, SHAFT | HYDRAULIC)
ENGINES = (ENGINE, PRELOADED, *ROCKERS)
#: (how many lines, sha256 of them) at each release: a line that changed or went is found.
RELEASES = [(300, "d7d4687a7a2b5c902198cc818854eb683cba82cb57ee450753c15a2e909bc5e2")]


def pattern(place: str) -> str:
    """A place id with its numbers taken out: MH2.V.F -> MH#.V.F, 1I.2.cal -> #I.#.cal (cylinder, go); planes and angles
    (P1, 90) are names, not numbers."""
    head = re.sub(r"^([A-Z]*)\d+((?:\.\d+)?)", lambda at: at[1] + "#" + (".#" if at[2] else ""), place)
    return re.sub(r"\.\d+\.", ".#.", re.sub(r"\.bolt\d+", ".bolt#", head))


def every_value() -> Iterator[str]:
    """Ids of derived values: the lead's decisions name them."""
    for book in (with_lash_found_again(bottom_end()), preloaded()):
        for step in STEPS:
            yield from (f"value {step.id} {pattern(judged.value.id)}" for judged in book.build.work(step.id).values)
    for pushrods in every_sort_of_rocker():
        for step in (STEP, "final_marks"):
            yield from (f"value {step} {pattern(judged.value.id)}" for judged in pushrods.build.work(step).values)


def bottom_end() -> BookMaker:
    """Everything that sizes of housings, journals, bearings and rods can come to."""
    maker = BookMaker(engine=ENGINE)
    maker.journals()
    maker.joint("two_instruments")
    maker.bearing(1, "2.5780", "2.5786", "2.5787")
    for place, size in (("upper_wall", "0.0940"), ("lower_wall", "0.0940"), ("strip", "0.0020")):
        maker.reading("main_bearing_clearance", f"MB1.{place}", size)
    for place in ("MH1.V.F", "MH1.V.R"):
        maker.reading("main_housings", place, "2.7660")
    for place in ("ML1", "ML"):
        maker.reading("main_housings", place, "0.0001")
    for place in ("RF1.after1", "RF1.after2"):
        maker.reading("rod_bolts", place, "1.6")
    for step in ("main_housings", "journals", "main_bearing_clearance"):
        maker.reading(step, "temperature", "68", "degF")
        maker.reading(step, "room_temperature", "68", "degF")
    return maker


def with_lash_found_again(maker: BookMaker) -> BookMaker:
    """Set cold and found hot in the first heat cycle, found cold in the second."""
    maker.reading("solid_lash", "state", "cold", None)
    for valve in ("1I", "1E"):
        maker.reading("solid_lash", f"{valve}.lash", "0.016")
    for cycle, state in ((1, "hot"), (2, "cold")):
        maker.reading("lash_again", f"H{cycle}.state", state, None)
        for valve in ("1I", "1E"):
            maker.reading("lash_again", f"H{cycle}.{valve}.found", "0.017")
    return maker


def preloaded() -> BookMaker:
    maker = BookMaker(engine=PRELOADED)
    for place, answer in (("state", "oiled"), ("adjuster", "stud_nut"), ("thread", "t20")):
        maker.reading("hydraulic_preload", place, answer, None)
    for valve in ("1I", "1E"):
        maker.reading("hydraulic_preload", f"{valve}.turns", "0.5", "turn")
    return maker


def every_sort_of_rocker() -> Iterator[Checker]:
    """All that a checking pushrod can come to: on studs, on a seat with preload; the sides together and apart."""
    for raw in ROCKERS:
        for apart in ("7.500", "7.550"):
            maker = Checker(raw).ready(base="6.800")
            finished(maker, {valve: apart if valve[1] == "I" else "7.500" for valve in VALVES})
            maker.turned("1I.1", "14", "0").size("1I.lobe", "0.3625")
            ends(maker, "overall")
            yield maker.size("preload", "0.040") if "hydraulic" in raw["lifter_kind"] else maker


def known() -> Iterator[str]:
    yield from every_value()
    for step in STEPS:
        yield f"step {step.id}"
        for place in [place for raw in ENGINES for place in step.places(Engine(raw))]:
            yield f"place {step.id} {pattern(place.id)}"
            yield from (f"choice {step.id} {pattern(place.id)} {choice}" for choice, _ in place.choices)
        yield from (f"caution {step.id} {caution.id}" for caution in step.cautions)
    yield from (f"stage {stage}" for stage, _ in STAGES)
    yield from (f"kind {kind}" for kind in entries.KINDS)
    yield from (f"hold {hold.id}" for hold in holds.HOLDS)
    yield from (f"hold line {line.no}" for hold in holds.HOLDS for line in hold.lines)
    yield from (f"signs as {signs_as}" for signs_as in holds.ROLES)
    yield from (f"hold at {at}" for at in entries.AT)
    yield from (f"hold answer {answer}" for answer in entries.ANSWERS)
    yield from (f"why {why}" for why in entries.WHYS)
    yield from (f"decision {decision}" for decision in entries.DECISIONS)
    yield from (f"limit {row['id']} {row['key']}" for row in limits.as_dicts())
    yield from (f"limit card {key}" for key in limits.CARD_ONLY)
    yield from (f"quantity {kind}" for kind in FACTORS)
    yield from (f"unit {kind} {unit}" for kind in FACTORS for unit in FACTORS[kind])
    yield from (f"picked {kind} {unit}" for kind in quantity.PICKED for unit in quantity.PICKED[kind])
    yield from (f"instrument {kind['kind']}" for kind in instruments.kinds())
    for field in engine.FIELDS:
        yield f"engine {field.field}"
        yield from (f"choice engine {field.field} {choice}" for choice, _ in field.choices)


def listed() -> list[str]:
    return LIST.read_text(encoding="utf-8").splitlines()


def test_every_identifier_in_use_stands_in_the_list() -> None:
    lines = set(listed())
    assert [name for name in dict.fromkeys(known()) if name not in lines] == [], "append them to ids.txt"


def test_the_list_names_nothing_twice() -> None:
    assert len(set(listed())) == len(listed())


def test_what_was_released_stands_unchanged_at_the_head_of_the_list() -> None:
    for count, digest in RELEASES:
        head = "\n".join(listed()[:count])
        assert hashlib.sha256(head.encode()).hexdigest() == digest, "ids.txt may only grow at its end"


def test_the_frozen_table_of_limits_is_named_by_its_own_hash() -> None:
    assert hashlib.sha256(limits.TABLE_TEXT.encode()).hexdigest() == limits.TABLE_SHA256
