"""The shop's gauges: added, changed and retired by a lead, each change kept in words. What fits the brain says."""

from collections.abc import Iterable, Mapping
from typing import Any

from sqlalchemy import Connection, insert, select, update

from standbook import clock
from standbook.errors import Problem
from standbook.people.models import Instrument, InstrumentChange, Person
from standbook.people.roster import free_id
from standbook.trade import instruments as trade
from standbook.trade import shop_gauges
from standbook.trade.plain import Refusal

#: What a lead writes about a gauge, with the words for the history.
FIELDS = {
    "name": "name",
    "kind": "kind",
    "step": "reads to",
    "trust": "trusted to",
    "dial": "dial",
    "range_low": "range from",
    "range_high": "range up to",
    "band": "band in percent",
    "calibrated_on": "calibrated on",
    "calibration_due": "calibration due",
}
#: What readings carry of it, where it has it.
OPTIONAL = ("range_low", "range_high", "band")
BRAINS = ("id", "kind", "name", "step", "trust", "dial", "calibration_due")


def in_use(connection: Connection, shop: str) -> list[dict[str, Any]]:
    """The gauges that are in use, in the form of the brain's Instrument, with the day since which pulls are counted."""
    rows = (row for row in rows_of(connection, shop) if row["retired_at"] is None)
    return [{**as_brain_has_it(row), "calibrated_on": row["calibrated_on"]} for row in rows]


def as_brain_has_it(row: Mapping[str, Any]) -> dict[str, Any]:
    """Without what is not there: each reading carries it."""
    found = {name: row[name] for name in BRAINS}
    return found | {name: row[name] for name in OPTIONAL if row[name] is not None}


def rows_of(connection: Connection, shop: str) -> list[dict[str, Any]]:
    query = select(Instrument.__table__).where(Instrument.shop == shop).order_by(Instrument.name, Instrument.id)
    return [dict(row) for row in connection.execute(query).mappings()]


def all_of(connection: Connection, shop: str) -> list[dict[str, Any]]:
    """Every gauge with its history, those in use first."""
    told = histories(connection, shop)
    found = [{**row, "history": told.get(row["id"], [])} for row in rows_of(connection, shop)]
    return sorted(found, key=lambda row: row["retired_at"] is not None)


def histories(connection: Connection, shop: str) -> dict[str, list[dict[str, Any]]]:
    """What was changed about each, latest first, with names."""
    told: dict[str, list[dict[str, Any]]] = {}
    columns = (InstrumentChange.instrument, InstrumentChange.at, Person.name, InstrumentChange.words)
    query = select(*columns).join(Person, Person.id == InstrumentChange.person).where(InstrumentChange.shop == shop)
    for row in connection.execute(query.order_by(InstrumentChange.version.desc())):
        told.setdefault(row.instrument, []).append({"at": row.at, "person": row.name, "words": row.words})
    return told


def one(connection: Connection, shop: str, which: str) -> dict[str, Any]:
    """Raises Problem unknown_instrument."""
    found = [row for row in all_of(connection, shop) if row["id"] == which]
    if not found:
        raise Problem("unknown_instrument")
    return found[0]


def add(connection: Connection, shop: str, form: Mapping[str, Any], by: str) -> str:
    """Gives the new gauge's id, a readable one. Raises Problem unfit."""
    row = fitting(form)
    which = free_id(row["name"], set(connection.scalars(select(Instrument.id))))
    connection.execute(insert(Instrument), [{**row, "id": which, "shop": shop}])
    note(connection, shop, which, 1, by, "added: " + said(row, [name for name in FIELDS if row[name]]))
    return which


def change(connection: Connection, shop: str, which: str, form: Mapping[str, Any], version: str, by: str) -> None:
    """Writes a gauge anew; said again after a lost answer, it stands. Raises Problem unknown_instrument,
    changed_meanwhile or unfit."""
    old, row = one(connection, shop, which), fitting(form)
    changed = [name for name in FIELDS if row[name] != old[name]]
    if changed:
        refuse_stale(old, version)
        put(connection, shop, old, row, by, "changed: " + said(row, changed))


def retire(connection: Connection, shop: str, which: str, reason: str, version: str, by: str) -> None:
    """Takes a gauge out of use, or (no reason) into use again; said again after a lost answer, it stands.

    Raises Problem unknown_instrument or changed_meanwhile.
    """
    old = one(connection, shop, which)
    if old["retired_because"] == (reason or None):
        return
    refuse_stale(old, version)
    row = {"retired_at": clock.now_stamp() if reason else None, "retired_because": reason or None}
    put(connection, shop, old, row, by, "retired: " + reason if reason else "in use again")


def refuse_stale(now: Mapping[str, Any], version: str) -> None:
    """Raises Problem changed_meanwhile unless the gauge is as it was looked at."""
    if str(now["version"]) != version:
        raise Problem("changed_meanwhile")


def put(connection: Connection, shop: str, old: Mapping[str, Any], row: Mapping[str, Any], by: str, words: str) -> None:
    version = old["version"] + 1
    connection.execute(update(Instrument).where(Instrument.id == old["id"]).values(**row, version=version))
    note(connection, shop, old["id"], version, by, words)


def note(connection: Connection, shop: str, which: str, version: int, by: str, words: str) -> None:
    row = {"instrument": which, "version": version, "shop": shop, "at": clock.now_stamp(), "person": by}
    connection.execute(insert(InstrumentChange), [{**row, "words": words}])


def said(row: Mapping[str, Any], names: Iterable[str]) -> str:
    return ", ".join(f"{FIELDS[name]} {shown(row[name])}" for name in names)


def shown(value: Any) -> str:
    if isinstance(value, dict):
        return f"{value['text']} {value['unit']}"
    if isinstance(value, bool):
        return "yes" if value else "no"
    return "none" if value is None else str(value)


def fitting(form: Mapping[str, Any]) -> dict[str, Any]:
    """The gauge as it is kept; a wrench without an interval of its own is due by the brain's. Raises Problem unfit."""
    row = {name: form.get(name) or None for name in FIELDS} | {"dial": bool(form.get("dial"))}
    row["name"] = str(form["name"]).strip()
    try:
        shop_gauges.check({**row, "id": ""})
        if row["calibrated_on"] and not row["calibration_due"] and row["kind"] in trade.TORQUE_KINDS:
            row["calibration_due"] = shop_gauges.due_after(row["calibrated_on"])
    except Refusal as refusal:
        raise Problem("unfit", reason=refusal.message.rstrip(".")) from refusal
    return row


def add_as_given(connection: Connection, shop: str, rows: Iterable[Mapping[str, Any]]) -> None:
    """Gauges under ids of their own, for the demo and for tests."""
    for row in rows:
        connection.execute(insert(Instrument), [{**row, "shop": shop}])
