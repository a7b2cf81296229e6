"""Who is let in where the shop is served beyond this machine."""

from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from flask.testing import FlaskClient

from standbook import clock
from standbook.api.guard import PREFIX
from standbook.api.trust import COOKIE, OPEN
from standbook.people.joining import LETTERS
from tests.api.roles import copy_of, person_of, signed_in_as
from tests.api.test_permissions import ROUTES
from tests.ledger.kit import PASSWORD, Book
from tests.network.kit import OURS, Device, answered, refused, whereabouts

Codes = Callable[[], str]


def wait(monkeypatch: pytest.MonkeyPatch, **time: float) -> None:
    later = datetime.now(UTC) + timedelta(**time)
    monkeypatch.setattr(clock, "now", lambda: later)


def kinds(book: Book) -> list[str]:
    return [row[0] for row in book.sql("SELECT kind FROM access_log ORDER BY at, id")]


@pytest.mark.parametrize(("method", "path", "body", "_let_in"), ROUTES, ids=lambda given: str(given)[:40])
def test_a_stranger_hears_of_nothing_but_how_to_join(
    shop: Book, method: str, path: str, body: Any, _let_in: tuple[str, ...]
) -> None:
    stranger = Device(shop)
    more = {"data": body} if isinstance(body, bytes) else {"json": body} if body is not None else {}
    endpoint, _ = shop.app.url_map.bind("localhost").match(PREFIX + path, method=method)
    answer = stranger.ask(method, path, **more)
    code = ((answer.json if answer.is_json else None) or {}).get("error", {}).get("code")
    if endpoint in OPEN:
        assert answer.status_code < 500
        assert "One lead" not in answer.text
    else:
        assert (answer.status_code, code) == (401, "not_joined")


def test_a_stranger_hears_that_the_server_is_well_and_no_more(shop: Book, phone: Device) -> None:
    told = answered(Device(shop).ask("GET", "/health"))
    assert {name: value for name, value in told.items() if value is not None} == {"status": "ok", "shop": True}
    assert answered(phone.ask("GET", "/health"))["version"]


def test_every_route_that_is_open_to_strangers_is_there(shop: Book) -> None:
    there = {rule.endpoint for rule in shop.app.url_map.iter_rules()}
    assert there >= OPEN


def test_a_phone_joins_by_a_code_and_is_known_from_then_on(shop: Book, code: Codes) -> None:
    phone = Device(shop)
    told = answered(phone.join(code()))
    assert told["shop"]["name"] == "Test shop"
    assert answered(phone.ask("GET", "/shop"))["people"]
    assert phone.push().status_code == 200
    assert kinds(shop)[-2:] == ["code_made", "device_joined"]


def test_a_code_reads_as_a_thumb_may_type_it(shop: Book, code: Codes) -> None:
    given = code()
    assert set(given) <= set(LETTERS) | {"-"}
    typed = given.lower().replace("-", " ").replace("1", "l").replace("0", "o")
    assert Device(shop).join(typed).status_code == 200


@pytest.mark.parametrize("spoilt", ["used", "expired", "guessed"])
def test_a_code_that_is_used_expired_or_guessed_lets_nobody_in(
    shop: Book, code: Codes, monkeypatch: pytest.MonkeyPatch, spoilt: str
) -> None:
    given = code()
    if spoilt == "used":
        answered(Device(shop).join(given))
    if spoilt == "expired":
        wait(monkeypatch, minutes=10, seconds=1)
    phone = Device(shop)
    assert refused(phone.join("ZZZZ-ZZZZ" if spoilt == "guessed" else given)) == (401, "code_wrong")
    assert refused(phone.ask("GET", "/shop")) == (401, "not_joined")
    assert kinds(shop)[-1] == "code_missed"


def test_whoever_guesses_codes_is_locked_out_and_others_are_not(shop: Book, code: Codes) -> None:
    for _ in range(5):
        assert refused(Device(shop).join("ZZZZ-ZZZZ")) == (401, "code_wrong")
    locked = Device(shop).join(code())
    assert refused(locked) == (429, "join_locked")
    assert int(locked.headers["Retry-After"]) > 0
    elsewhere = Device(shop)
    form = {"code": code(), "device": elsewhere.id, "device_name": "", "public_key": elsewhere.public_key}
    answer = elsewhere.client.post(
        f"{PREFIX}/join", json=form, headers=OURS, environ_base={"REMOTE_ADDR": "192.168.1.77"}
    )
    assert answer.status_code == 200


def test_a_code_is_made_for_one_phone_even_when_two_give_it_at_once(shop: Book, code: Codes) -> None:
    given = code()
    answers = sorted(Device(shop).join(given).status_code for _ in range(2))
    assert answers == [200, 401]


def test_the_address_of_a_code_keeps_it_behind_the_hash(lead: FlaskClient) -> None:
    made = answered(lead.post(f"{PREFIX}/join/codes", json={}, headers=OURS))
    assert made["address"] == "http://192.168.1.20:8764/#" + made["code"].replace("-", "")
    assert made["origin"] == "https://shop.local:8443"
    assert len(made["qr"]) == len(made["qr"][0])


def test_behind_a_proxy_a_phone_joins_at_the_shops_own_domain() -> None:
    where = whereabouts(origin="https://book.example", door_port=None, fingerprint=None)
    assert where.join_address("AAAA-BBBB") == "https://book.example/join#AAAABBBB"


def test_a_shop_on_this_machine_alone_makes_no_codes(staff: Path, tmp_path: Path) -> None:
    with copy_of(staff, tmp_path / "data") as book:
        answer = signed_in_as(book, "lead").post(f"{PREFIX}/join/codes", json={}, headers=OURS)
        assert refused(answer) == (409, "no_network")


@pytest.mark.parametrize("key", ["", "AAAA", "not base64", "x" * 200])
def test_what_is_no_key_joins_nothing_and_leaves_the_code_good(shop: Book, code: Codes, key: str) -> None:
    given, phone = code(), Device(shop)
    form = {"code": given, "device": phone.id, "device_name": "", "public_key": key}
    assert refused(phone.ask("POST", "/join", json=form)) == (422, "invalid")
    assert phone.join(given).status_code == 200


def test_a_device_proves_its_key_when_its_cookie_is_gone(phone: Device) -> None:
    phone.forget()
    assert refused(phone.push()) == (401, "not_joined")
    answered(phone.prove(phone.challenge()))
    assert phone.push().status_code == 200


def test_a_proof_is_good_once_for_one_device_and_for_a_minute(
    shop: Book, phone: Device, monkeypatch: pytest.MonkeyPatch
) -> None:
    challenge = phone.challenge()
    answered(phone.prove(challenge))
    assert refused(phone.prove(challenge)) == (401, "not_joined")
    other = Device(shop)
    assert refused(other.prove(other.challenge(), phone.id)) == (401, "not_joined")
    challenge = phone.challenge()
    wait(monkeypatch, seconds=61)
    assert refused(phone.prove(challenge)) == (401, "not_joined")


def test_a_phones_own_clock_plays_no_part(phone: Device) -> None:
    """Its claim of the time in 2019 goes along with the push (LG10) and closes no door."""
    phone.forget()
    answered(phone.prove(phone.challenge()))
    assert phone.push(now="2019-01-01T00:00:00.000Z").status_code == 200


def test_a_lost_phone_is_cut_off_at_once_and_stays_out(shop: Book, phone: Device, lead: FlaskClient) -> None:
    answer = lead.post(f"{PREFIX}/devices/{phone.id}/cut-off", json={"reason": "left on the bus"}, headers=OURS)
    assert answer.status_code == 204
    assert refused(phone.ask("GET", "/shop")) == (401, "not_joined")
    assert refused(phone.prove(phone.challenge())) == (403, "cut_off")
    assert refused(phone.ask("GET", "/sync/pull")) == (401, "not_joined")
    assert kinds(shop)[-2:] == ["device_cut_off", "device_refused"]


def test_whoever_signed_in_on_a_lost_phone_is_signed_out_of_it(phone: Device, lead: FlaskClient) -> None:
    """The cookie of his sign-in lies on the phone too."""
    form = {"person": person_of("owner"), "password": PASSWORD}
    answered(phone.ask("POST", "/session", json=form))
    assert phone.ask("GET", "/held").status_code == 200
    lead.post(f"{PREFIX}/devices/{phone.id}/cut-off", json={"reason": "lost"}, headers=OURS)
    assert refused(phone.ask("GET", "/held")) == (401, "not_joined")
    assert lead.get(f"{PREFIX}/held").status_code == 200


def test_a_cut_off_phone_is_not_let_in_by_somebody_who_signs_in_on_it(
    shop: Book, phone: Device, lead: FlaskClient
) -> None:
    lead.post(f"{PREFIX}/devices/{phone.id}/cut-off", json={"reason": "lost"}, headers=OURS)
    desk = signed_in_as(shop, "builder")
    form = {"device": phone.id, "public_key": phone.public_key}
    assert refused(desk.post(f"{PREFIX}/join/desk", json=form, headers=OURS)) == (403, "cut_off")
    push = {"device": phone.id, "from_no": 1, "entries": []}
    assert refused(desk.post(f"{PREFIX}/sync/push", json=push, headers=OURS)) == (403, "cut_off")


def test_a_phone_that_turns_up_again_joins_by_a_fresh_code(phone: Device, lead: FlaskClient, code: Codes) -> None:
    lead.post(f"{PREFIX}/devices/{phone.id}/cut-off", json={"reason": "lost"}, headers=OURS)
    answered(phone.join(code()))
    assert phone.push().status_code == 200


def test_what_a_cut_off_phone_has_not_sent_is_handed_in_by_another(
    shop: Book, phone: Device, lead: FlaskClient, code: Codes
) -> None:
    lead.post(f"{PREFIX}/devices/{phone.id}/cut-off", json={"reason": "lost"}, headers=OURS)
    other = Device(shop)
    answered(other.join(code()))
    assert other.push(device=phone.id, carrier=other.id).status_code == 200
    assert refused(other.push(device=phone.id)) == (403, "cut_off")


def test_nobody_joins_under_a_device_that_has_another_key(shop: Book, phone: Device, code: Codes) -> None:
    thief = Device(shop, device=phone.id)
    assert refused(thief.join(code())) == (409, "device_taken")
    assert phone.push().status_code == 200


def test_a_device_speaks_for_itself_alone(shop: Book, phone: Device, code: Codes) -> None:
    other = Device(shop)
    answered(other.join(code()))
    assert refused(other.push(device=phone.id)) == (403, "other_device")
    assert refused(other.push(carrier=phone.id)) == (403, "other_device")
    dealt = {"person": person_of("builder"), "reason": "looked at"}
    assert refused(other.ask("POST", f"/devices/{phone.id}/held/1/dealt", json=dealt)) == (403, "other_device")


def test_a_browser_whose_storage_was_cleared_is_another_device_and_still_trusted(shop: Book, phone: Device) -> None:
    anew = Device(shop)
    anew.client = phone.client
    answered(anew.ask("POST", "/devices/renamed", json={"device": anew.id, "public_key": anew.public_key}))
    assert anew.push().status_code == 200
    assert refused(anew.push(device=phone.id)) == (403, "other_device")


def test_the_browser_in_which_somebody_signs_in_joins_by_that(shop: Book) -> None:
    desk = Device(shop)
    desk.client = signed_in_as(shop, "builder")
    assert refused(desk.push()) == (401, "not_joined")
    form = {"device": desk.id, "public_key": desk.public_key}
    answered(desk.ask("POST", "/join/desk", json=form))
    assert desk.push().status_code == 200


def test_the_desk_lists_who_joined_when_and_by_whom(phone: Device, lead: FlaskClient) -> None:
    (row,) = answered(lead.get(f"{PREFIX}/devices"))["devices"]
    assert (row["id"], row["joined_by"], row["cut_off_at"]) == (phone.id, person_of("lead"), None)
    lead.post(f"{PREFIX}/devices/{phone.id}/cut-off", json={"reason": "lost"}, headers=OURS)
    (row,) = answered(lead.get(f"{PREFIX}/devices"))["devices"]
    assert row["cut_off_by"] == person_of("lead")
    unknown = lead.post(f"{PREFIX}/devices/nobody/cut-off", json={"reason": "lost"}, headers=OURS)
    assert refused(unknown) == (404, "unknown_device")


def test_the_device_cookie_is_kept_from_scripts_other_sites_and_plain_http(shop: Book, code: Codes) -> None:
    phone = Device(shop)
    form = {"code": code(), "device": phone.id, "device_name": "", "public_key": phone.public_key}
    answer = phone.client.post(f"{PREFIX}/join", json=form, headers=OURS, base_url="https://localhost")
    (cookie,) = [line for line in answer.headers.getlist("Set-Cookie") if line.startswith(COOKIE)]
    for part in ("HttpOnly", "Secure", "SameSite=Strict", f"Path={PREFIX}"):
        assert part in cookie
