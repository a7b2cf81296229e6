"""No secret and nobody's data in the log, whatever goes wrong. What is logged is all that the process says."""

import logging
from typing import Any

import pytest
from flask.testing import FlaskClient

from standbook.api.first_lead import first_link
from standbook.ledger.service import Ledger
from standbook.people import customers
from tests.ledger.kit import LEAD, PASSWORD, Book

OURS = {"X-Standbook": "1"}
WRONG, PIN, CODE, NEW = "a-wrong-secret-7719", "482913", "7K3F9QPM", "a-new-secret-5521"
WHO = {"name": "Xaverius Quillfeather", "phone": "555-0173-884", "note": "rings twice at gudgeon"}


@pytest.fixture
def said(caplog: pytest.LogCaptureFixture, capfd: pytest.CaptureFixture[str]) -> Any:
    """Everything that was logged at any level, and printed."""
    caplog.set_level(logging.DEBUG)

    def all_of_it() -> str:
        told = capfd.readouterr()
        return caplog.text + told.out + told.err

    return all_of_it


def send(client: FlaskClient, method: str, path: str, body: Any) -> int:
    return client.open(f"/api/v1{path}", method=method, json=body, headers=OURS).status_code


def wrong_and_right(client: FlaskClient) -> str:
    """Signs in at the second try; gives the session's token."""
    assert send(client, "POST", "/session", {"person": WRONG, "password": WRONG}) == 401
    assert send(client, "POST", "/session", {"person": LEAD, "password": PASSWORD}) == 200
    cookie = client.get_cookie("standbook_session", path="/api/v1")
    assert cookie
    return cookie.value


def odd_bodies(client: FlaskClient) -> None:
    """Secrets where none belong: in fields that are not there, of other kinds, beside broken JSON."""
    for body in (
        {"person": LEAD, "password": WRONG, "pin": PIN},
        {"person": LEAD, "password": [WRONG]},
        {"token": WRONG, "shop": "s", "name": "n", "password": WRONG},
        {"code": CODE, "device": "d", "device_name": "x", "public_key": WRONG},
        {"device": "d", "from_no": 1, "entries": [{"pin": PIN, "password": WRONG}], "pins": [PIN]},
    ):
        for path in ("/session", "/first-lead", "/sync/push", "/customers", "/join", "/devices/proof"):
            send(client, "POST", path, body)
    client.post("/api/v1/session", data=f'{{"password": "{WRONG}', headers=OURS, content_type="application/json")
    client.get(f"/api/v1/access?before={WRONG}")


def test_a_day_with_every_sort_of_trouble_leaves_no_secret_in_the_log(
    book: Book, said: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    client = book.app.test_client()
    token = wrong_and_right(client)
    odd_bodies(client)
    assert send(client, "POST", "/customers", WHO) == 201
    with monkeypatch.context() as broken:
        broken.setattr(customers, "add", lambda *given: {}["a fault of ours"])
        broken.setattr(Ledger, "devices", lambda self: {}["another fault"])
        assert send(client, "POST", "/customers", WHO) == 500
        assert client.get("/api/v1/devices").status_code == 500
    book.sql("DROP TABLE build_customers")
    book.sql("DROP TABLE customers")
    assert send(client, "POST", "/customers", WHO) == 500
    book.sql("ALTER TABLE sessions RENAME TO gone")
    assert send(book.app.test_client(), "POST", "/session", {"person": LEAD, "password": PASSWORD}) == 500
    log = said()
    assert "a fault of ours" in log, "the faults themselves are logged"
    assert "INSERT INTO customers" in log, "and so is what the database could not do"
    ((stored,),) = book.sql(f"SELECT password_hash FROM people WHERE id = '{LEAD}'")
    for secret in (PASSWORD, WRONG, PIN, CODE, token, stored, *WHO.values()):
        assert secret not in log, secret


def test_the_first_leads_link_is_in_no_log(tmp_path: Any, said: Any) -> None:
    empty = Book(tmp_path / "data")
    link = first_link(empty.services, "http://127.0.0.1:8765")
    assert link
    token = link.split("#")[1]
    form = {"token": token, "shop": "Our Shop", "name": "Ann O.", "password": NEW}
    empty.sql("ALTER TABLE sessions RENAME TO gone")
    assert send(empty.app.test_client(), "POST", "/first-lead", form) == 500
    log = said()
    assert "sessions" in log
    assert not [secret for secret in (token, NEW) if secret in log]
    empty.close()
