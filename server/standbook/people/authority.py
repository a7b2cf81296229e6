"""Who may enter what. Decided here for every entry kind, whatever a client shows."""

from typing import Literal, NamedTuple

from standbook.errors import entry_message
from standbook.trade import holds

ROLES = ("builder", "dyno operator", "lead", "owner", "machine shop", "apprentice")
LEADS = ("lead", "owner")
# These set what every later verdict rests on, or answer for one: a lead under his own name, signed in or by his PIN.
LEAD_KINDS = ("build_opened", "limits_frozen", "engine_value", "decision")
STEP, HOLD = "step_signed", "hold_signed"
SIGNATURES = (STEP, HOLD)
# What may be asked a proof of who made it.
PROVEN_KINDS = (*LEAD_KINDS, *SIGNATURES, "struck_out")
# How an entry's person stands to the own PIN: has none; has none, but people here need one; gave no proof; the proof
# fits; does not fit; was not looked at yet.
Pin = Literal["none", "missing", "unproven", "fits", "wrong", "late"]


class Author(NamedTuple):
    id: str
    name: str
    role: str

    @property
    def leads(self) -> bool:
        return self.role in LEADS


class HoldSigned(NamedTuple):
    """Which Hold, as whom and from where somebody signs; what is no text there reads as ""."""

    hold: str
    signs_as: str
    at: str


class Ruling(NamedTuple):
    """`refused`: may be sent again once somebody signs in. `held`: no sign-in will change it."""

    result: Literal["refused", "held"]
    code: str
    message: str


def ruling(
    kind: str,
    author: Author,
    signed_in: str | None,
    struck: str | None,
    pin: Pin = "none",
    hold: HoldSigned | None = None,
) -> Ruling | None:
    """None where `author` may enter an entry of this `kind`. `struck`: whose entry it strikes out; `hold`: what a
    `hold_signed` signs."""
    if kind in LEAD_KINDS or (kind == "struck_out" and struck != author.id):
        return lead_ruling(author, signed_in, pin)
    if kind not in SIGNATURES:
        return None
    # An apprentice enters, and signs nothing.
    if author.role == "apprentice":
        return held(author)
    barred = hold_ruling(author, hold) if hold else None
    return barred or (None if signed_in == author.id else signature_ruling(author, pin))


def hold_ruling(author: Author, signed: HoldSigned) -> Ruling | None:
    """Who signs which Hold, and from where. That it is another than who did the work, the book itself tells."""
    words = holds.WORDS.get(signed.signs_as, signed.signs_as)
    if author.role not in holds.roles(signed.hold, signed.signs_as):
        return Ruling("held", "not_allowed", entry_message("hold_not_allowed", name=author.name, words=words))
    if signed.at != "engine" and not holds.may_be_away(signed.hold, signed.signs_as):
        return Ruling("held", "not_away", entry_message("hold_not_away", words=words))
    return None


def lead_ruling(author: Author, signed_in: str | None, pin: Pin) -> Ruling | None:
    if not author.leads:
        return held(author)
    if signed_in == author.id:
        return None
    if pin in ("none", "missing"):
        return refused(author, "sign_in_needed")
    return pin_ruling(author, pin)


def signature_ruling(author: Author, pin: Pin) -> Ruling | None:
    """Whose phone it is does not matter, whose PIN does."""
    if pin == "none":
        return None
    return refused(author, "pin_missing") if pin == "missing" else pin_ruling(author, pin)


def pin_ruling(author: Author, pin: Pin) -> Ruling | None:
    """A proof that does not fit is held back in sight; where there is none the device keeps the entry, and asks."""
    if pin == "fits":
        return None
    if pin == "wrong":
        return Ruling("held", "pin_wrong", entry_message("pin_wrong", name=author.name))
    return refused(author, "pin_later" if pin == "late" else "pin_needed")


def refused(author: Author, code: str) -> Ruling:
    return Ruling("refused", code, entry_message(code, name=author.name))


def held(author: Author) -> Ruling:
    return Ruling("held", "not_allowed", entry_message("entry_not_allowed", name=author.name))
