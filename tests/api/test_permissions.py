"""Who may do what: every route with every role and with nobody, every kind of entry with every role."""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import msgspec
import pytest

from standbook.api.guard import PREFIX
from standbook.people.authority import ROLES
from standbook.trade.entries import KINDS
from standbook.trade.holds import HOLDS, Hold
from tests.api.roles import EVERYBODY, NOBODY, copy_of, person_of, signed_in_as, staffed
from tests.ledger.kit import BODIES, BUILD, PASSWORD, Book, Phone, only, results
from tests.ledger.pin_kit import give_pin, proof, push

LEADS = ("lead", "owner")
SIGNED_IN = ROLES
ANYBODY = EVERYBODY
SHA256 = "0" * 64
SIZE = {"text": "0.001", "unit": "in"}
INSTRUMENT = {"kind": "feeler_gauges", "name": "Feelers", "step": SIZE, "trust": SIZE}
#: Method, path, body, and who is let in. Whoever is let in may still hear that there is no such thing (404, 409, 422).
ROUTES: tuple[tuple[str, str, Any, tuple[str, ...]], ...] = (
    ("POST", "/sync/push", {"device": "d", "from_no": 1, "entries": []}, ANYBODY),
    ("GET", "/sync/pull", None, ANYBODY),
    ("GET", "/shop", None, ANYBODY),
    ("GET", "/health", None, ANYBODY),
    ("GET", "/session", None, ANYBODY),
    ("POST", "/session", {"person": "x", "password": "y"}, ANYBODY),
    ("DELETE", "/session", None, ANYBODY),
    ("GET", "/session/all", None, SIGNED_IN),
    ("POST", "/first-lead", {"token": "t", "shop": "s", "name": "n", "password": "p"}, ANYBODY),
    ("GET", "/access", None, LEADS),
    ("GET", "/customers", None, LEADS),
    ("POST", "/customers", {"name": "A customer"}, LEADS),
    ("PUT", "/customers/x", {"name": "A customer"}, LEADS),
    ("POST", "/customers/x/erase", {"reason": "asked for it"}, LEADS),
    ("PUT", f"/builds/{BUILD}/customer", {"customer": None}, LEADS),
    ("GET", "/instruments", None, LEADS),
    ("POST", "/instruments", INSTRUMENT, LEADS),
    ("PUT", "/instruments/x", INSTRUMENT, LEADS),
    ("POST", "/instruments/x/retired", {"reason": "dropped"}, LEADS),
    ("GET", "/builds", None, ANYBODY),
    ("GET", f"/builds/{BUILD}", None, ANYBODY),
    ("GET", f"/builds/{BUILD}/steps/journals", None, ANYBODY),
    ("GET", f"/builds/{BUILD}/holds/parts_accepted", None, ANYBODY),
    ("POST", "/people", {"name": "New P.", "role": "builder"}, LEADS),
    ("POST", "/people/x", {"name": "Other N."}, LEADS),
    ("POST", "/people/x/left", None, LEADS),
    ("POST", "/people/x/password", {"password": "a long enough password"}, LEADS),
    ("POST", "/people/x/pin", {"pin": "402718"}, LEADS),
    ("POST", "/me/password", {"old": "wrong", "password": "a long enough password"}, SIGNED_IN),
    ("POST", "/me/pin", {"password": "wrong", "pin": "402718"}, SIGNED_IN),
    ("GET", f"/builds/{BUILD}/label", None, ANYBODY),
    ("GET", "/held", None, LEADS),
    ("POST", "/held/x/dealt", {"reason": "looked at"}, LEADS),
    ("GET", "/devices", None, SIGNED_IN),
    ("POST", "/devices/d/held/1/dealt", {"reason": "looked at", "person": "bo-b"}, ANYBODY),
    ("POST", "/devices/challenge", {"device": "d"}, ANYBODY),
    ("POST", "/devices/proof", {"device": "d", "challenge": "c", "signature": "s"}, ANYBODY),
    ("POST", "/devices/renamed", {"device": "d", "public_key": "k"}, ANYBODY),
    ("POST", "/devices/d/cut-off", {"reason": "lost"}, LEADS),
    ("GET", "/devices/proofs/x", None, LEADS),
    ("GET", "/join", None, ANYBODY),
    ("POST", "/join", {"code": "0", "device": "d", "device_name": "", "public_key": "k"}, ANYBODY),
    ("POST", "/join/desk", {"device": "d", "public_key": "k"}, SIGNED_IN),
    ("POST", "/join/codes", {}, LEADS),
    ("GET", f"/blobs/{SHA256}", None, ANYBODY),
    ("PUT", f"/blobs/{SHA256}", b"text", ANYBODY),
    ("GET", f"/photos/{SHA256}", None, ANYBODY),
    ("PATCH", f"/photos/{SHA256}", b"bytes", ANYBODY),
)
REFUSALS = {"sign_in_needed", "not_allowed"}
#: These answer for what every later verdict rests on: leads alone, signed in, under their own name.
LEAD_KINDS = ("build_opened", "limits_frozen", "engine_value", "decision")
UNSIGNED_KINDS = ("reading", "photo", "struck_out", "hold_opened")
#: Who signs a Hold, by L2 of the trade pages [common practice]: role -> ways to sign.
SIGNS_AS = {
    "builder": ("builder", "second"),
    "dyno operator": ("operator", "second"),
    "lead": ("builder", "operator", "second", "lead"),
    "owner": ("builder", "operator", "lead", "owner"),
    "machine shop": (),
    "apprentice": (),
}
#: Hold -> the two who sign, from L2: builder + lead to Hold 8, and so on.
PAIRS = {
    ("builder", "lead"): ("1", "2", "3", "4", "5", "6", "7", "8"),
    ("builder", "second"): ("9", "10", "13", "17"),
    ("operator", "lead"): ("11", "14", "15, last step", "16"),
    ("operator", "second"): ("12", "15.n"),
    ("lead", "owner"): ("18",),
}
#: (Hold, way) that may be signed away from the engine.
AWAY = {*((number, "lead") for number in "12345678"), ("16", "lead"), ("18", "lead"), ("18", "owner")}


@pytest.fixture(scope="module")
def staff(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return staffed(tmp_path_factory.mktemp("staff") / "data")


@pytest.fixture(scope="module")
def shop(staff: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Book]:
    with copy_of(staff, tmp_path_factory.mktemp("shop") / "data") as book:
        yield book


def test_the_table_has_every_route(shop: Book) -> None:
    adapter = shop.app.url_map.bind("localhost")
    listed = {(method, adapter.match(PREFIX + path, method=method)[0]) for method, path, _, _ in ROUTES}
    there = {
        (method, rule.endpoint)
        for rule in shop.app.url_map.iter_rules()
        for method in (rule.methods or set()) - {"HEAD", "OPTIONS"}
        if rule.rule.startswith(PREFIX) and not rule.rule.endswith("openapi.json")
    }
    assert listed == there


@pytest.mark.parametrize("role", EVERYBODY)
@pytest.mark.parametrize(("method", "path", "body", "let_in"), ROUTES, ids=lambda given: str(given)[:40])
def test_a_route_lets_in_whom_it_is_for(
    shop: Book, method: str, path: str, body: Any, let_in: tuple[str, ...], role: str
) -> None:
    client = signed_in_as(shop, role)
    more = {"data": body} if isinstance(body, bytes) else {"json": body} if body is not None else {}
    answer = client.open(PREFIX + path, method=method, headers={"X-Standbook": "1"}, **more)
    code = ((answer.json if answer.is_json else None) or {}).get("error", {}).get("code")
    if role in let_in:
        assert code not in REFUSALS
        assert answer.status_code < 500
    else:
        wanted = (401, "sign_in_needed") if role == NOBODY else (403, "not_allowed")
        assert (answer.status_code, code) == wanted


@pytest.mark.parametrize("method", ["POST", "PUT", "PATCH", "DELETE"])
def test_nothing_is_changed_for_a_page_of_somebody_else(shop: Book, method: str) -> None:
    """Another site can send a form with the cookie of whoever looks at it, but not our own header."""
    client = signed_in_as(shop, "owner")
    for how, path, _, _ in ROUTES:
        if how == method:
            answer = client.open(PREFIX + path, method=method, data=b"a=b")
            assert (answer.status_code, answer.json["error"]["code"]) == (403, "header_missing"), path


@pytest.mark.parametrize("signed_in", [False, True])
@pytest.mark.parametrize("role", ROLES)
@pytest.mark.parametrize("kind", KINDS)
def test_a_kind_of_entry_is_taken_from_whom_it_is_for(shop: Book, kind: str, role: str, signed_in: bool) -> None:
    person = person_of(role)
    phone = Phone(shop, person)
    if kind == "struck_out":
        target = phone.entry()
        phone.keep(msgspec.json.encode(target).decode())
        phone.write(kind, body={"v": 1, "target": target["id"], "reason": "typed wrong"})
    elif kind == "photo":
        picture = {"sha256": "a" * 64, "type": "image/jpeg", "size": 9, "width": 3, "height": 3}
        phone.write(kind, body={"v": 1, "photo": picture, "caption": ""})
    else:
        phone.write(kind)
    pushed = phone.send(person if signed_in else None)
    assert results(pushed)[-1] == wanted(kind, role, signed_in)


def wanted(kind: str, role: str, signed_in: bool) -> str:
    if kind in UNSIGNED_KINDS:
        return "stored"
    if kind == "step_signed":
        return "held" if role == "apprentice" else "stored"
    if kind == "hold_signed":
        return "stored" if "builder" in SIGNS_AS[role] else "held"
    assert kind in LEAD_KINDS, "a new kind of entry: say here who may make it"
    if role not in LEADS:
        return "held"
    return "stored" if signed_in else "refused"


@pytest.mark.parametrize("at", ["engine", "away"])
@pytest.mark.parametrize("role", ROLES)
@pytest.mark.parametrize("hold", HOLDS, ids=lambda hold: f"Hold {hold.number}")
def test_a_hold_is_signed_by_whom_the_trade_names(shop: Book, hold: Hold, role: str, at: str) -> None:
    pair = next(signers for signers, numbers in PAIRS.items() if hold.number in numbers)
    phone = Phone(shop, person_of(role))
    for signs_as in pair:
        phone.write("hold_signed", body=BODIES["hold_signed"] | {"hold": hold.id, "signs_as": signs_as, "at": at})
    codes = [answer.code for answer in phone.send().answers]
    assert codes == [
        "not_allowed"
        if signs_as not in SIGNS_AS[role]
        else "not_away"
        if at == "away" and (hold.number, signs_as) not in AWAY
        else None
        for signs_as in pair
    ]


PROOFS = ("none", "fits", "another's")


@pytest.mark.parametrize("given", PROOFS)
@pytest.mark.parametrize("role", ROLES)
@pytest.mark.parametrize("kind", [*LEAD_KINDS, "step_signed", "hold_signed"])
def test_a_kind_of_entry_is_taken_by_the_pin_of_whom_it_is_for(pinned: Book, kind: str, role: str, given: str) -> None:
    phone = Phone(pinned, person_of(role))
    text = phone.write(kind)
    pin = pin_of(role) if given == "fits" else pin_of("nobody")
    pushed = push(phone, *([] if given == "none" else [proof(pinned, text, pin)]))
    assert (only(pushed).result, only(pushed).code) == wanted_by_pin(kind, role, given)


def wanted_by_pin(kind: str, role: str, given: str) -> tuple[str, str | None]:
    nobody = kind == "hold_signed" and "builder" not in SIGNS_AS[role]
    if nobody or role == "apprentice" or (kind in LEAD_KINDS and role not in LEADS):
        return "held", "not_allowed"
    answers = {"none": ("refused", "pin_needed"), "fits": ("stored", None), "another's": ("held", "pin_wrong")}
    return answers[given]


def pin_of(role: str) -> str:
    return f"4027{[*ROLES, 'nobody'].index(role):02}"


@pytest.fixture(scope="module")
def pinned(staff: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Book]:
    """Everybody has a PIN."""
    with copy_of(staff, tmp_path_factory.mktemp("pinned") / "data") as book:
        for role in ROLES:
            give_pin(book, person_of(role), pin_of(role))
        yield book


def test_a_lead_who_is_signed_in_lends_his_name_to_nobody(shop: Book) -> None:
    phone = Phone(shop, person_of("owner"))
    phone.write("decision")
    assert only(phone.send(person_of("lead"))).code == "sign_in_needed"


def test_whoever_has_left_is_signed_in_no_more(staff: Path, tmp_path: Path) -> None:
    with copy_of(staff, tmp_path / "data") as book:
        client = signed_in_as(book, "lead")
        assert client.get(f"{PREFIX}/held").status_code == 200
        book.sql(f"UPDATE people SET left_at = '2026-11-25T00:00:00.000Z' WHERE id = '{person_of('lead')}'")
        assert client.get(f"{PREFIX}/held").status_code == 401
        form = {"person": person_of("lead"), "password": PASSWORD}
        again = client.post(f"{PREFIX}/session", json=form, headers={"X-Standbook": "1"})
        assert again.json["error"]["code"] == "sign_in_failed"
