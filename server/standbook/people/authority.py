"""Who may enter what. Decided here for every entry kind, whatever a client shows."""

from typing import Literal, NamedTuple

from standbook.errors import entry_message

ROLES = ("builder", "dyno operator", "lead", "owner", "machine shop", "apprentice")
LEADS = ("lead", "owner")
# These set what every later verdict rests on, or answer for one: a signed-in lead under his own name.
LEAD_KINDS = ("build_opened", "limits_frozen", "engine_value", "decision")


class Author(NamedTuple):
    id: str
    name: str
    role: str

    @property
    def leads(self) -> bool:
        return self.role in LEADS


class Ruling(NamedTuple):
    """`refused`: may be sent again once somebody signs in. `held`: no sign-in will change it."""

    result: Literal["refused", "held"]
    code: str
    message: str


def ruling(kind: str, author: Author, signed_in: str | None, struck: str | None) -> Ruling | None:
    """None where `author` may enter an entry of this `kind`. `struck`: whose entry it strikes out."""
    if kind in LEAD_KINDS or (kind == "struck_out" and struck != author.id):
        return lead_ruling(author, signed_in)
    # An apprentice enters, and signs nothing.
    if kind == "step_signed" and author.role == "apprentice":
        return held(author)
    return None


def lead_ruling(author: Author, signed_in: str | None) -> Ruling | None:
    if not author.leads:
        return held(author)
    if signed_in != author.id:
        return Ruling("refused", "sign_in_needed", entry_message("sign_in_needed", name=author.name))
    return None


def held(author: Author) -> Ruling:
    return Ruling("held", "not_allowed", entry_message("entry_not_allowed", name=author.name))
