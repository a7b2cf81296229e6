"""What an entry of the book must look like: kinds, reasons, and the body of each kind this version knows.

A kind, field or body version that is not known here is kept and passed on (rule LG12); what is known and wrong is
refused with one sentence, on the phone before it is stored and on the server before it is counted.
"""

from . import holds, instruments, places, plain, quantity
from .engine import BY_NAME

KINDS = (
    "build_opened", "limits_frozen", "engine_value", "reading", "step_signed", "decision", "struck_out", "photo",
    "hold_signed", "hold_opened",
)  # fmt: skip
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
#: Where somebody stands who signs a Hold.
AT = ("engine", "away")
#: What a signer says of a line that no step of the book holds.
ANSWERS = ("done", "not_in_job")
#: With one reading: more fasteners than any joint has.
MOST_PULLS = 1000
WORDY = ("choice", "flag", "text", "wrench")
HEX = "0123456789abcdef"
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
        if type(entry[field]) is not str or entry[field] == "":
            _need(False, field, "a text")
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


def _lists_of_texts(body, names):
    for name in names:
        given = body.get(name, [])
        if given != [] or type(given) is not list:
            _need(type(given) is list and all(type(text) is str for text in given), name, "a list of texts")


def _limits_frozen(_entry, body):
    _texts(body, ("defaults",))
    _need(type(body.get("cards")) is list, "cards", "a list")
    _need(type(body.get("reason", "")) is str, "reason", "a text")
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
        ends = [quantity.typed_value("length", end) for end in given]
        _need(ends == plain.in_order(ends), "rows", "limits whose low end is below the high end")


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
    _need(entry["why"] != "typed_wrong" or type(body.get("corrects")) is str, "corrects", "the reading typed wrong")
    _need(type(body.get("note", "")) is str, "note", "a text")
    _lists_of_texts(body, ("confirmed", "cautions"))
    pulls = body.get("pulls", 0)
    _need(type(pulls) is int and 0 <= pulls <= MOST_PULLS, "pulls", "how often the wrench was pulled")
    _instrument(body.get("instrument"))
    if value is not None:
        _fits_its_place(places.kind_of(entry["step"], entry["place"]), value)


def _fits_its_place(kind, value):
    """A number with a unit of its kind, or words; a place that only a newer app knows takes any number or words."""
    if kind in WORDY:
        _need(value["unit"] is None, "value", "an answer in words, without a unit")
    elif kind is not None:
        quantity.typed_value(kind, value)
    elif value["unit"] is not None:
        plain.parse_number(value["text"])


#: Gauges that were found whole, by their id: a shop has few, and each stands in thousands of readings.
_whole = {}
MOST_WHOLE = 500


def _instrument(gauge):
    if gauge is None:
        return
    _need(type(gauge) is dict, "instrument", "an instrument with its step")
    # Equal is the same only of a kind: 1 and True are equal too.
    known = _whole.get(gauge["id"]) if type(gauge.get("id")) is str and type(gauge.get("dial")) is bool else None
    if known is not None and known == gauge and type(gauge.get("used_up", False)) is bool:
        return
    _check_instrument(gauge)
    if len(_whole) >= MOST_WHOLE:
        _whole.clear()
    # A copy: whoever has the entry may change it. Any order: only what is equal is looked for.
    _whole[gauge["id"]] = {name: dict(gauge[name]) if type(gauge[name]) is dict else gauge[name] for name in gauge}


def _check_instrument(gauge):
    for name in ("id", "kind", "name"):
        _need(type(gauge.get(name)) is str, "instrument", "named, with its kind")
    for name in ("step", "trust"):
        _need(is_typed(gauge.get(name)), "instrument", "given with its step and how far it is trusted")
    _need(type(gauge.get("dial")) is bool, "instrument", "a dial or not")
    due = gauge.get("calibration_due")
    _need(due is None or type(due) is str, "instrument", "given with its calibration date or none")
    _range(gauge)
    _need(instruments.step_of(gauge) > 0, "instrument", "one whose step is more than nothing")


def _range(gauge):
    """Of a torque wrench: from where to where it reads, its band in percent, and whether its pulls are used up."""
    for name in ("range_low", "range_high"):
        end = gauge.get(name)
        _need(end is None or is_typed(end), "instrument", "given with its range as numbers with a unit")
        if end is not None:
            quantity.typed_value(instruments.quantity_of(end["unit"]), end)
    band = gauge.get("band")
    _need(band is None or type(band) is str, "instrument", "given with its band in percent")
    if band is not None:
        plain.parse_number(band)
    _need(type(gauge.get("used_up", False)) is bool, "instrument", "used up or not")


def _step_signed(entry, body):
    _need(type(entry["step"]) is str, "step", "named")
    _texts(body, ("shown",))
    _need(type(body.get("uses")) is list, "uses", "the list of readings it rests on")
    _lists_of_texts(body, ("uses",))


def _decision(_entry, body):
    _need(body.get("decision") in DECISIONS, "decision", "accept or measure again")
    _texts(body, ("about", "reason"))
    _need(plain.bare(body["reason"]) != "", "reason", "given in words")
    value = body.get("value")
    _need(value is None or is_typed(value), "value", "the value as it was shown")
    _need(type(body.get("limit", "")) is str, "limit", "a text")


def _struck_out(_entry, body):
    _texts(body, ("target", "reason"))
    _need(plain.bare(body["reason"]) != "", "reason", "given in words")


def _photo(_entry, body):
    picture = body.get("photo")
    _need(type(picture) is dict and picture.get("type") == "image/jpeg", "photo", "a picture with its hash and size")
    digest = picture.get("sha256")
    named = type(digest) is str and len(digest) == 64 and all(letter in HEX for letter in digest)
    _need(named, "photo", "a picture named by its hash")
    for name in ("size", "width", "height"):
        _need(type(picture.get(name)) is int and picture[name] > 0, "photo", "a picture with its size")
    _texts(body, ("caption",))


def _hold_signed(_entry, body):
    _texts(body, ("hold", "signs_as", "shown", "note"))
    hold = holds.BY_ID.get(body["hold"])
    _need(hold is None or body["signs_as"] in hold.signers, "signs_as", "one of the two who sign that Hold")
    _need(body.get("at") in AT, "at", "at the engine or away from it")
    for name in ("uses", "steps"):
        _need(type(body.get(name)) is list, name, "a list of texts")
    _lists_of_texts(body, ("uses", "steps"))
    _need(type(body.get("lines")) is list, "lines", "the list of answered lines")
    for answer in body["lines"]:
        _line_answer(answer)


def _line_answer(answer):
    _need(type(answer) is dict and type(answer.get("line")) is int, "lines", "lines by their number")
    _texts(answer, ("words", "note"))
    _need(answer.get("answer") in ANSWERS, "lines", "lines answered with done or not in this job")
    left_out = answer["answer"] == "not_in_job"
    _need(not left_out or plain.bare(answer["note"]) != "", "lines", "left out with a reason in words")


def _hold_opened(_entry, body):
    _texts(body, ("hold", "reason"))
    _need(plain.bare(body["reason"]) != "", "reason", "given in words")


CHECKS = {
    "build_opened": _build_opened,
    "limits_frozen": _limits_frozen,
    "engine_value": _engine_value,
    "reading": _reading,
    "step_signed": _step_signed,
    "decision": _decision,
    "struck_out": _struck_out,
    "photo": _photo,
    "hold_signed": _hold_signed,
    "hold_opened": _hold_opened,
}
