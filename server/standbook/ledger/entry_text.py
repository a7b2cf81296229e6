"""One pushed entry, from the bytes of the wire to what the book can take, or the named reason why not (LG6)."""

import hashlib
import logging
import unicodedata
from typing import Annotated, Any

import msgspec
from msgspec import Meta, Raw, Struct

from standbook.errors import entry_message
from standbook.ledger.brain import check_entry, from_json
from standbook.ledger.quick_json import read_quickly
from standbook.people.authority import HOLD, HoldSigned
from standbook.trade.plain import Refusal

MOST_BYTES = 32 * 1024
ShortText = Annotated[str, Meta(min_length=1, max_length=64)]
Count = Annotated[int, Meta(ge=0, le=2**53)]

log = logging.getLogger(__name__)


class Head(Struct, kw_only=True, gc=False):
    """The fields of an entry that the book keeps columns for, in the order of those."""

    id: ShortText
    build: ShortText
    kind: ShortText
    step: ShortText | None = None
    place: ShortText | None = None
    why: ShortText | None = None
    person: ShortText
    device: ShortText
    device_no: Count
    made_at: ShortText
    seen: Count
    trade_version: ShortText


class Incoming(Struct, gc=False):
    """An entry at the door. `fault`: code and message where it has to be held back; `target`: what it strikes out;
    `hold`: which Hold it signs; `known_sha256`: where there are no bytes to ask."""

    no: int
    raw: bytes | None
    size: int
    text: str = ""
    id: str | None = None
    build: str | None = None
    head: Head | None = None
    target: str | None = None
    hold: HoldSigned | None = None
    fault: tuple[str, str] | None = None
    known_sha256: str = ""

    @property
    def sha256(self) -> str:
        """Of its bytes; made when it is asked for, since of most entries nobody asks."""
        return self.known_sha256 or sha256_of(self.raw or b"")


def sha256_of(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()


class Fault(Exception):
    """Why an entry is held back."""

    def __init__(self, code: str, message: str) -> None:
        super().__init__(message)
        self.reason = (code, message)


def fault(code: str, **details: Any) -> Fault:
    return Fault(code, entry_message(code, **details))


def read_entry(wire: Raw, no: int, device: str) -> Incoming:
    """Decodes and checks one entry by itself; never raises for what a device may send."""
    try:
        text = _text.decode(wire)
    except (msgspec.MsgspecError, UnicodeDecodeError):
        return held_at_the_door(bytes(wire), no, fault_of(bytes(wire)))
    data = text.encode()
    one = Incoming(no, data, len(data), text)
    try:
        take_fields(one, parsed(text, data), device)
    except Fault as found:
        one.fault = found.reason
    return without_bulk(one) if one.size > MOST_BYTES else one


def held_at_the_door(raw: bytes, no: int, found: Fault) -> Incoming:
    one = Incoming(no, raw, len(raw), fault=found.reason)
    return without_bulk(one) if one.size > MOST_BYTES else one


def without_bulk(one: Incoming) -> Incoming:
    """Of what is too large only size and hash are kept (LG6); the device keeps the bytes."""
    message = entry_message("entry_too_large", size=one.size, limit=MOST_BYTES)
    one.known_sha256 = one.sha256
    one.raw, one.text, one.fault = None, "", ("entry_too_large", message)
    return one


_text = msgspec.json.Decoder(str)


def fault_of(raw: bytes) -> Fault:
    """What keeps this from being a text."""
    return fault("bad_utf8" if raw[:1] == b'"' else "not_text")


def parsed(text: str, data: bytes) -> dict[str, Any]:
    """The entry as a dict, read as the brain's own strict reader does: stand and desk cannot read it differently.

    `data`: the text's bytes.
    """
    if len(text) > MOST_BYTES:
        raise fault("entry_too_large", size=len(text), limit=MOST_BYTES)
    if not unicodedata.is_normalized("NFC", text):
        raise fault("not_nfc")
    entry = read_quickly(data) or read_strictly(text)
    if not isinstance(entry, dict):
        raise fault("bad_entry", reason="it is not an object")
    # One letter is looked for much faster than two.
    if "\\" in text and "\\u" in text:
        refuse_odd_characters(*strings_in(entry))
    return entry


def read_strictly(text: str) -> Any:
    refuse_odd_characters(text)
    try:
        return from_json(text)
    except Refusal as refusal:
        raise fault("entry_bad_json") from refusal


def refuse_odd_characters(*texts: str) -> None:
    """NUL ends a text for some programs, half a surrogate pair cannot be written as UTF-8."""
    for text in texts:
        if "\0" in text:
            raise fault("nul_character")
        try:
            text.encode()
        except UnicodeEncodeError as error:
            raise fault("bad_utf8") from error


def strings_in(value: Any) -> list[str]:
    """Every key and text inside, since an escape can smuggle what the bytes do not show."""
    found: list[str] = []
    waiting = [value]
    while waiting:
        item = waiting.pop()
        if isinstance(item, str):
            found.append(item)
        elif isinstance(item, dict):
            waiting.extend([*item.keys(), *item.values()])
        elif isinstance(item, list):
            waiting.extend(item)
    return found


def take_fields(one: Incoming, entry: dict[str, Any], device: str) -> None:
    """Fills in what the columns need. Raises Fault; what is known by then stays, so that a person can find it."""
    one.id, one.build = short(entry.get("id")), short(entry.get("build"))
    refuse_what_the_brain_refuses(entry)
    try:
        head = msgspec.convert(entry, Head)
    except msgspec.ValidationError as error:
        raise fault("bad_entry", reason=str(error)) from error
    if head.device != device:
        raise fault("wrong_device")
    if head.device_no != one.no:
        raise fault("wrong_number", said=head.device_no, sent=one.no)
    one.head = head
    one.target = target_of(entry["body"]) if head.kind == "struck_out" else None
    one.hold = hold_of(entry["body"]) if head.kind == HOLD else None


def target_of(body: dict[str, Any]) -> str | None:
    """What it strikes out. A newer app may name it in another way than by its id: then it is not known here."""
    target = body.get("target")
    return target if isinstance(target, str) else None


def hold_of(body: dict[str, Any]) -> HoldSigned:
    """A newer app may name it in another way: then nobody is known to sign it so."""
    given = (body.get(name) for name in HoldSigned._fields)
    return HoldSigned(*(value if isinstance(value, str) else "" for value in given))


def refuse_what_the_brain_refuses(entry: dict[str, Any]) -> None:
    try:
        check_entry(entry)
    except Refusal as refusal:
        raise Fault(refusal.code, refusal.message) from refusal
    except Exception as error:
        # A fault of ours. It must be seen, but one entry may not hold up all that stand behind it (LG6).
        log.exception("the check of an entry failed")
        raise fault("bad_entry", reason="its check failed") from error


def short(value: Any) -> str | None:
    return value if isinstance(value, str) and 0 < len(value) <= 64 else None
