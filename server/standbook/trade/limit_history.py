"""The limits that cards give, and how each came to be: who, when, from what to what, by which source, why."""

from . import plain, quantity
from .limits import CARD_ONLY, Limits, card_rows

NONE = "no limit"


def view(build):
    """Cards in force, what holds today, and every change of a limit since the build was opened, the latest first."""
    frozen = build.book.of_kind("limits_frozen")
    changes = []
    for at in range(1, len(frozen)):
        changes.extend(_changes(build, frozen[at - 1], frozen[at]))
    changes.reverse()
    last = frozen[-1] if frozen else None
    return {
        "frozen": last.id if last else None,
        "cards": [_card(card) for card in last.body["cards"]] if last else [],
        "changes": changes,
        "in_force": _all_in_force(build),
    }


def _all_in_force(build):
    """What holds today of each limit that a card can give, with its source."""
    facts = build.facts()
    return {row["key"]: in_force(facts.limits, row["key"], facts.engine) for row in card_rows()}


def _card(card):
    rows = [{"key": row["key"], "words": words_of(row["key"]), "band": _typed_band(row)} for row in card["rows"]]
    return {"id": card["id"], "title": card["title"], "version": card["version"], "rows": rows}


def words_of(key):
    """What a limit is called; of one that only a newer version knows, nothing but that."""
    row = _row(Limits().rows, key)
    if row is not None:
        return row["words"]
    return CARD_ONLY[key][4] if key in CARD_ONLY else "a limit of a newer version"


def _typed_band(row):
    low, high = row.get("low"), row.get("high")
    if low is None:
        return "up to " + _with_unit(high)
    if high is None:
        return "at least " + _with_unit(low)
    return (low["text"] if low["unit"] == high["unit"] else _with_unit(low)) + " to " + _with_unit(high)


def _with_unit(typed):
    return quantity.with_unit(typed["text"], typed["unit"])


def _changes(build, before, after):
    """What one entry changed against the one before it, limit by limit; what stayed is left out."""
    tables = [Limits(build.facts().rows_of(entry), entry.body["cards"]) for entry in (before, after)]
    keys = {row["key"]: True for entry in (before, after) for card in entry.body["cards"] for row in card["rows"]}
    found = []
    for key in plain.keys_in_order(keys):
        was, now = [in_force(table, key, build.facts().engine) for table in tables]
        if was != now:
            found.append(
                {
                    "entry": after.id + " " + key,
                    "words": words_of(key),
                    "was": was,
                    "now": now,
                    "person": build.name(after.person),
                    "at": after.made_at,
                    "reason": after.body.get("reason", ""),
                }
            )
    return found


def in_force(table, key, engine):
    """A limit with its source in words: "0.0020 to 0.0030 in, spec card: Main bearing sheet, version 1"."""
    row = _row(table.rows, key)
    acts_on = row["acts_on"].split(";")[0] if row else key
    for set_or_found in ("found", "set"):
        for limit in table.in_force(acts_on, engine, set_or_found):
            if limit["key"] == key:
                return _band(limit) + ", " + limit["source"]
    return NONE


def _band(limit):
    if limit["missing"]:
        return "not known without: " + limit["missing"]
    unit = limit["unit"]
    low, high = [None if limit[end] is None else _number(limit[end], unit) for end in ("low", "high")]
    if low is None:
        return "up to " + quantity.with_unit(high, unit)
    return (
        "at least " + quantity.with_unit(low, unit) if high is None else low + " to " + quantity.with_unit(high, unit)
    )


def _number(canonical, unit):
    """In the row's unit, with no more decimals than it needs beyond a gauge's."""
    kind = "temperature-difference" if unit == "ddegF" else "angle" if unit == "deg" else "length"
    if unit not in ("in", "mm", "ddegF", "deg"):
        return plain.number_text(canonical, 4).rstrip("0").rstrip(".")
    text = quantity.text_in(kind, canonical, unit, 5)
    least = quantity.DECIMALS[unit]
    while text.endswith("0") and plain.decimals_of(text) > least:
        text = text[:-1]
    return text.rstrip(".") if least == 0 else text


def _row(rows, key):
    for row in rows:
        if row["key"] == key:
            return row
    return None
