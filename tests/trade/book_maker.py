"""Builds for tests: entry texts as a device would write them, fed to the brain. The engine is invented."""

import json
from typing import Any

from standbook.trade.build import Build
from standbook.trade.limits import TABLE_SHA256

BUILD = "019aa000-0000-7000-8000-000000000001"
PHONE, OTHER_PHONE = "phone-1", "phone-2"
MICROMETER = {
    "id": "mic-1",
    "kind": "outside_micrometer",
    "name": "Micrometer 2 to 3 in",
    "step": {"text": "0.0001", "unit": "in"},
    "trust": {"text": "0.0001", "unit": "in"},
    "dial": False,
    "calibration_due": None,
}
BORE_GAUGE = MICROMETER | {
    "id": "bore-1",
    "kind": "dial_bore_gauge",
    "name": "Bore gauge",
    "trust": {"text": "0.0002", "unit": "in"},
}


def typed(text: str, unit: str | None = "in") -> dict[str, Any]:
    return {"text": text, "unit": unit}


V8 = {
    "cylinders": typed("8", "1"),
    "layout": "vee",
    "bank_angle": typed("90", "deg"),
    "numbering": [[1, 3, 5, 7], [2, 4, 6, 8]],
    "rod_journals": [[1, 2], [3, 4], [5, 6], [7, 8]],
    "firing_order": [1, 8, 4, 3, 6, 5, 7, 2],
    "rotation": "cw_from_front",
    "bore": typed("4.125"),
    "stroke": typed("3.750"),
    "main_bearings": typed("5", "1"),
    "main_journal_diameter": typed("2.5758"),
    "rod_journal_diameter": typed("2.1000"),
    "main_housing_diameter": typed("2.7660"),
    "block_material": "iron",
    "head_material": "aluminium",
    "lifter_kind": "flat_solid",
    "lash_hot_intake": typed("0.022"),
    "lash_hot_exhaust": typed("0.024"),
    "intake_opens": typed("30", "deg"),
    "intake_closes": typed("74", "deg"),
    "exhaust_opens": typed("78", "deg"),
    "exhaust_closes": typed("30", "deg"),
    "seat_basis": typed("0.006"),
}


class BookMaker:
    """Writes entries one after another and keeps a `Build` fed with them."""

    def __init__(self, engine: dict[str, Any] | None = None, cards: list[dict[str, Any]] | None = None) -> None:
        self.build = Build(BUILD, {"mara": "Mara K.", "lead": "Jon T."})
        self.texts: list[str] = []
        self.numbers = {PHONE: 0, OTHER_PHONE: 0}
        self.entry("build_opened", {"job": "26-014", "title": "Blue coupe", "note": ""}, person="lead")
        self.entry("limits_frozen", {"defaults": TABLE_SHA256, "cards": cards or []}, person="lead")
        for field, value in (V8 if engine is None else engine).items():
            self.entry("engine_value", {"field": field, "value": value, "basis": "nominal"}, person="lead")

    def entry(
        self,
        kind: str,
        body: dict[str, Any],
        step: str | None = None,
        place: str | None = None,
        why: str | None = None,
        *,
        person: str = "mara",
        device: str = PHONE,
        seen: int | None = None,
        made_at: str = "2026-11-25T08:00:00.000Z",
        sent: bool = True,
    ) -> str:
        """One entry; returns its id. `seen` defaults to everything written so far."""
        self.numbers[device] += 1
        seq = len(self.texts) + 1
        entry_id = f"entry-{seq:04d}"
        text = json.dumps(
            {
                "id": entry_id,
                "build": BUILD,
                "kind": kind,
                "step": step,
                "place": place,
                "why": why,
                "body": {"v": 1, **body},
                "person": person,
                "device": device,
                "device_no": self.numbers[device],
                "made_at": made_at,
                "seen": seq - 1 if seen is None else seen,
                "trade_version": "test",
            }
        )
        self.texts.append(text)
        self.build.add(text, seq if sent else None)
        return entry_id

    def reading(
        self,
        step: str,
        place: str,
        text: str,
        unit: str | None = "in",
        why: str = "first",
        gauge: dict[str, Any] | None = None,
        **more: Any,
    ) -> str:
        """One reading; body fields (note, confirmed, corrects, pulls) and entry fields (device, seen …) by name."""
        body = {
            "value": typed(text, unit),
            "not_measured": None,
            "instrument": gauge,
            "note": more.pop("note", ""),
            "corrects": more.pop("corrects", None),
            "confirmed": more.pop("confirmed", []),
            "cautions": [],
        }
        if "pulls" in more:
            body["pulls"] = more.pop("pulls")
        return self.entry("reading", body, step, place, why, **more)

    def skip(self, step: str, place: str, reason: str) -> str:
        body = {"value": None, "not_measured": reason, "instrument": None, "note": "", "corrects": None}
        return self.entry("reading", body | {"confirmed": [], "cautions": []}, step, place, "first")

    def decide(
        self,
        decision: str,
        about: str,
        reason: str,
        value: dict[str, Any] | None = None,
        *,
        step: str | None = "main_bearing_clearance",
        limit: str = "",
        **more: Any,
    ) -> str:
        """The lead's decision about a value, place or flag of a step."""
        body = {"decision": decision, "about": about, "reason": reason, "value": value, "limit": limit}
        return self.entry("decision", body, step, person="lead", **more)

    def strike(self, target: str, reason: str) -> str:
        return self.entry("struck_out", {"target": target, "reason": reason}, person="lead")

    def sign(self, step: str) -> str:
        sign = self.build.step(step)["sign"]
        return self.entry("step_signed", {"shown": "0" * 64, "uses": sign["uses"], "note": ""}, step)

    def value(self, step: str, value_id: str) -> dict[str, Any]:
        """A derived value of a step as the screens see it."""
        view = self.build.step(step)
        values = [value for group in view["groups"] for value in group["values"]] + view["values"]
        return next(value for value in values if value["id"] == value_id)

    def place(self, step: str, place_id: str) -> dict[str, Any]:
        groups = self.build.step(step)["groups"]
        return next(place for group in groups for place in group["places"] if place["id"] == place_id)

    def flags(self, sort: str | None = None) -> list[dict[str, Any]]:
        return [flag for flag in self.build.state()["flags"] if sort in (None, flag["sort"])]

    def journals(self, sizes: tuple[str, str, str, str] = ("2.5758", "2.5757", "2.5758", "2.5757")) -> None:
        """All mains of the crank, the same four sizes on each."""
        for n in range(1, 6):
            for place, size in zip(("F.0", "F.90", "R.0", "R.90"), sizes, strict=True):
                self.reading("journals", f"MJ{n}.{place}", size, gauge=MICROMETER)

    def bearing(self, n: int, upright: str, left: str, right: str) -> None:
        for plane, size in (("V", upright), ("P1", left), ("P2", right)):
            self.reading("main_bearing_clearance", f"MB{n}.{plane}", size, gauge=BORE_GAUGE)

    def joint(self, method: str = "zeroed_on_journal") -> None:
        self.reading("main_bearing_clearance", "method", method, None)
        self.reading("main_bearing_clearance", "caps_tight", "yes", None)
