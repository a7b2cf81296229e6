"""What an entry of the book must look like: kinds, reasons, and the body of each kind this version knows.

A kind, field or body version that is not known here is kept and passed on (rule LG12); what is known and wrong is
refused with one sentence, on the phone before it is stored and on the server before it is counted.
"""

from . import plain
from .engine import BY_NAME

KINDS = ("build_opened", "limits_frozen", "engine_value", "reading", "step_signed", "decision", "struck_out")
WHYS = ("first", "repeat", "second_person", "measured_again", "typed_wrong", "part_changed")
WHY_WORDS = {
    "first": "first reading",
    "repeat": "repeat",
    "second_person": "second person",
    "measured_again": "measured again",
    "typed_wrong": "typed wrong before",
    "part_changed": "part changed",
}
DECISIONS = ("accept", "measure_again")
FIELDS = (
    "id", "build", "kind", "step", "place", "why", "body", "person", "device", "device_no", "made_at", "seen",
    "trade_version",
)  # fmt: skip
TEXT_FIELDS = ("id", "build", "kind", "person", "device", "made_at", "trade_version")


def check(entry):
    """Raises Refusal unless the entry (a dict) is whole and, for a known kind of version 1, its body is too."""
    for field in FIELDS:
        if field not in entry:
            raise _wrong("This entry lacks '" + field + "': it was cut short, record it again.", field)
    for field in TEXT_FIELDS:
        _need(type(entry[field]) is str and entry[field] != "", field, "a text")
    for field in ("device_no", "seen"):
        _need(type(entry[field]) is int and entry[field] >= 0, field, "a whole number")
    body = entry["body"]
    if type(body) is not dict or type(body.get("v")) is not int:
        raise _wrong("This entry has no body: record it again.", "body")
    if body["v"] == 1 and entry["kind"] in CHECKS:
        CHECKS[entry["kind"]](entry, body)


def _wrong(message, field):
    return plain.Refusal("entry_broken", message, {"field": field})


def _need(ok, field, what):
    if not ok:
        raise _wrong("This entry's '" + field + "' must be " + what + ": record it again.", field)


def is_typed(value):
    """{"text": "2.5758", "unit": "in"}; unit None for words."""
    return (
        type(value) is dict
        and type(value.get("text")) is str
        and (value.get("unit") is None or type(value["unit"]) is str)
    )


def _texts(body, names):
    for name in names:
        _need(type(body.get(name)) is str, name, "a text")


def _build_opened(_entry, body):
    _texts(body, ("job", "title", "note"))
    _need(plain.bare(body["job"]) != "", "job", "given")


def _limits_frozen(_entry, body):
    _texts(body, ("defaults",))
    _need(type(body.get("cards")) is list, "cards", "a list")
    for card in body["cards"]:
        _card(card)


def _card(card):
    _need(type(card) is dict, "cards", "a list of cards")
    _texts(card, ("id", "title"))
    _need(type(card.get("version")) is int, "version", "a whole number")
    _need(type(card.get("rows")) is list, "rows", "a list")
    for row in card["rows"]:
        _need(type(row) is dict and type(row.get("key")) is str, "rows", "a list of limits with a key")
        given = [row.get(end) for end in ("low", "high") if row.get(end) is not None]
        _need(given and all(is_typed(end) for end in given), "rows", "limits with a number and unit at one end or both")
        for end in given:
            plain.parse_number(end["text"])


def _engine_value(_entry, body):
    _texts(body, ("field", "basis"))
    _need("value" in body, "value", "given")
    if body["field"] in BY_NAME:
        BY_NAME[body["field"]].read(body["value"])


def _reading(entry, body):
    _need(type(entry["step"]) is str and type(entry["place"]) is str, "place", "named with its step")
    _need(entry["why"] in WHYS, "why", "one of the reasons for a reading")
    value, reason = body.get("value"), body.get("not_measured")
    _need((value is None) != (reason is None), "value", "given, or the reason why it was not measured")
    _need(value is None or is_typed(value), "value", "a number with its unit, or words")
    _need(reason is None or (type(reason) is str and plain.bare(reason) != ""), "not_measured", "a reason in words")
    if value is not None and value["unit"] is not None:
        plain.parse_number(value["text"])
    _need(
        entry["why"] != "typed_wrong" or type(body.get("corrects")) is str,
        "corrects",
        "the reading that was typed wrong",
    )


def _step_signed(entry, body):
    _need(type(entry["step"]) is str, "step", "named")
    _texts(body, ("shown",))
    _need(type(body.get("uses")) is list, "uses", "the list of readings it rests on")


def _decision(_entry, body):
    _need(body.get("decision") in DECISIONS, "decision", "accept or measure again")
    _texts(body, ("about", "reason"))
    _need(plain.bare(body["reason"]) != "", "reason", "given in words")


def _struck_out(_entry, body):
    _texts(body, ("target", "reason"))
    _need(plain.bare(body["reason"]) != "", "reason", "given in words")


CHECKS = {
    "build_opened": _build_opened,
    "limits_frozen": _limits_frozen,
    "engine_value": _engine_value,
    "reading": _reading,
    "step_signed": _step_signed,
    "decision": _decision,
    "struck_out": _struck_out,
}
