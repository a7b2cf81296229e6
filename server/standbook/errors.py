"""The one catalogue of errors: every code that a route or an answer to a pushed entry can carry.

A code is stable: clients decide by it. The message is for a person and says what to do. The shape is the same
everywhere: `{"error": {"code", "message", "details"}}`.
"""

from collections.abc import Mapping
from typing import Any, NamedTuple


class Kind(NamedTuple):
    status: int
    message: str


# What a route answers with. The number is the HTTP status.
ROUTES: dict[str, Kind] = {
    "bad_request": Kind(400, "The request cannot be read. Send it again; if it comes back, reload the page."),
    "bad_json": Kind(400, "The body is not valid JSON. Send it again; if it comes back, reload the page."),
    "bad_gzip": Kind(400, "The body says it is gzip, but it cannot be unpacked. Send it again."),
    "unknown_host": Kind(400, "This server answers only to its own address. Open it by that address."),
    "sign_in_needed": Kind(401, "Sign in as a lead first."),
    "sign_in_failed": Kind(401, "Name and password do not fit together. Try again."),
    "not_joined": Kind(401, "This device has not joined the shop. Ask a lead for a code at the desk."),
    "code_wrong": Kind(401, "This code or link is wrong, used or expired. Ask for a new one."),
    "cut_off": Kind(
        403,
        "The shop has cut this device off. What is unsent on it can be written to a file and taken in at the desk.",
    ),
    "other_device": Kind(403, "These entries are sent under another device's name. Hand them in by file."),
    "signature_wrong": Kind(
        403,
        "The shop could not prove that this came from your phone. Try again; if it stays, join the phone anew.",
    ),
    "header_missing": Kind(403, "The header X-Standbook: 1 is missing. Only our own pages may change the book."),
    "not_allowed": Kind(403, "This is for a lead. Ask a lead of the shop."),
    "not_found": Kind(404, "There is nothing at this address."),
    "no_such_person": Kind(404, "Nobody of the shop has this id. Load the list of people again."),
    "unknown_build": Kind(404, "The book has no build with this id."),
    "unknown_step": Kind(404, "There is no work step with this id."),
    "unknown_hold": Kind(404, "There is no Hold with this id."),
    "unknown_blob": Kind(404, "The shop does not have this file. Send it from the device that has it."),
    "unknown_device": Kind(404, "No device has joined under this id."),
    "unknown_entry": Kind(404, "The shop has no entry with this id."),
    "unknown_held": Kind(404, "There is nothing held back under this id."),
    "unknown_customer": Kind(404, "The shop has no customer with this id."),
    "method_not_allowed": Kind(405, "This address does not take {method}."),
    "not_acceptable": Kind(406, "This address cannot answer in the form that was asked for."),
    "too_slow": Kind(408, "The request did not come to its end. Send it again."),
    "no_network": Kind(409, "This shop is served on this machine alone. Start it with: standbook serve."),
    "device_taken": Kind(409, "Another phone has joined under this identity. Load the page again and join anew."),
    "already_dealt": Kind(409, "This was already dealt with by {person}."),
    "customer_erased": Kind(409, "This customer was erased. Add a new one."),
    "last_lead": Kind(409, "Nobody else could lead this shop: first give another lead a password."),
    "wrong_offset": Kind(409, "The shop has {offset} bytes of this file. Go on from there."),
    "changed_meanwhile": Kind(412, "Somebody else changed this meanwhile. Look at it anew, then change it again."),
    "too_large": Kind(413, "The request is larger than {limit} bytes. Send it in smaller parts."),
    "unsupported_media": Kind(415, "Send the body as {wanted}."),
    "invalid": Kind(422, "Some fields are not right: {fields}."),
    "unfit": Kind(422, "That does not work: {reason}."),
    "hash_mismatch": Kind(422, "The bytes do not fit the address: their sha256 is {found}. Send the file again."),
    "photo_unreadable": Kind(422, "This is no whole JPEG, PNG or WebP picture. Take it again."),
    "photo_too_large": Kind(422, "The picture has more than {pixels} million points. Take it smaller."),
    "person_unknown": Kind(422, "The shop knows nobody with the id {person}."),
    "password_unfit": Kind(422, "Take another password: {reason}."),
    "reason_tells": Kind(422, "The reason stays in the access log: leave name, phone and email out of it."),
    "version_missing": Kind(428, "Say with If-Match which version is to be changed."),
    "sign_in_locked": Kind(429, "Too many misses. Wait {seconds} s, then try again."),
    "join_locked": Kind(429, "Too many wrong codes. Wait {seconds} s, then try again."),
    "crowded": Kind(503, "Too much is on its way to the server at once. Send it again in a moment."),
    "internal": Kind(500, "Something went wrong on the server. Nothing was stored; try again."),
    "blob_damaged": Kind(500, "The stored file no longer fits its address. Restore it from a backup or send it again."),
    "busy": Kind(503, "The book is being written to by another program. Try again in a moment."),
    "newer_book": Kind(503, "This book was written by a newer Standbook. Update this one first."),
    "no_shop": Kind(
        503,
        "There is no shop in this book yet. Open the link that standbook serve prints, or run: standbook shop NAME.",
    ),
    "client_missing": Kind(503, "The screens are not built yet. Start with: python3 server demo."),
    "disk_full": Kind(507, "The server's disk is full. Nothing was stored; make room, then send again."),
    "disk_trouble": Kind(507, "The server cannot write its book ({reason}). Nothing was stored; look at the disk."),
}

# What an entry is answered with besides the codes above: why it was refused, held back or is a conflict.
ENTRIES: dict[str, str] = {
    "number_gap": "The shop wants number {next_no} of this device first. Send again from there.",
    "number_missing": "Entry {number} of this device is not here: the book that had it is gone, or it is still on its "
    "way. If nobody has it, ask who made it and enter it again.",
    "waits_behind": "An entry before this one was refused. Send both again.",
    "sign_in_needed": "{name} has to sign in before the shop takes this.",
    "pin_needed": "{name} has to give the PIN, or sign in, before the shop takes this.",
    "pin_missing": "{name} has no PIN yet. A lead gives one at the desk.",
    "pin_wrong": "The PIN given for this is not {name}'s, so it does not count. If {name} made it, make it again.",
    "pin_later": "Too many PINs came in the name of {name}. The shop looks at this again in a few minutes.",
    "entry_too_large": "The entry is {size} bytes; the book takes at most {limit}. Keep it on the device and split it.",
    "not_text": "The entry is not text. The app on this device is damaged or too new.",
    "bad_utf8": "The entry holds bytes or half characters that are no text.",
    "not_nfc": "The entry's text is not in Unicode form NFC.",
    "nul_character": "The entry holds a NUL character.",
    "entry_bad_json": "The entry is not whole JSON, or names one key twice. Record it again.",
    "wrong_device": "The entry was written by another device than the one that sends it.",
    "wrong_number": "The entry says number {said}, but it was sent as number {sent}.",
    "unknown_person": "The shop knows nobody with the id {person}.",
    "entry_not_allowed": "{name} may not enter this; it takes a lead.",
    "hold_not_allowed": "{name} may not sign this Hold as {words}: somebody whose work it is has to.",
    "hold_not_away": "The {words} of this Hold signs at the engine, not away from it.",
    "unknown_target": "The entry it strikes out is not in the book of this build.",
    "bad_entry": "The entry does not have the form of an entry: {reason}.",
    "same_id": "The book has another entry with this id. Both are kept; a person has to look.",
    "same_number": "This device already sent another entry with this number. Both are kept; a person has to look.",
}


class Problem(Exception):
    """An error of the catalogue on its way to a route's answer."""

    def __init__(self, code: str, **details: Any) -> None:
        kind = ROUTES[code]
        self.code = code
        self.status = kind.status
        self.details = details
        self.message = kind.message.format_map(Details(details))
        super().__init__(self.message)


class Details(dict[str, Any]):
    """A message with a detail left out is still better than a second error about the first."""

    def __missing__(self, key: str) -> str:
        return "?"


def entry_message(code: str, **details: Any) -> str:
    """What a person reads about one pushed entry."""
    return ENTRIES[code].format_map(Details(details))


def shape(code: str, message: str, details: Mapping[str, Any] | None = None) -> dict[str, Any]:
    """The one form of an error on the wire."""
    return {"error": {"code": code, "message": message, "details": dict(details or {})}}
