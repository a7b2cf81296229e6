"""Behind a proxy of the shop's own domain: what it says of scheme, host and address counts."""

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from flask import Flask
from flask.testing import FlaskClient

from standbook.api.guard import PREFIX
from standbook.api.services import KEY
from standbook.api.who import COOKIE
from standbook.cli import parser
from standbook.config import Settings, sqlite_url
from standbook.database import db
from standbook.people.sessions import open_session
from standbook.served import create_proxied_app
from tests.api.roles import author_of
from tests.network.kit import OURS, refused

ORIGIN = "https://book.example"
PASSED_ON = {"X-Forwarded-For": "203.0.113.7", "X-Forwarded-Proto": "https", "X-Forwarded-Host": "book.example"}


@pytest.fixture
def app(staff: Path, tmp_path: Path) -> Iterator[Flask]:
    data = Path(shutil.copytree(staff, tmp_path / "data"))
    app = create_proxied_app(Settings(data, sqlite_url(data)), ORIGIN)
    yield app
    with app.app_context():
        db.engine.dispose()


@pytest.fixture
def client(app: Flask) -> FlaskClient:
    return app.test_client()


def test_strangers_are_turned_away_and_told_to_stay_with_tls(client: FlaskClient) -> None:
    answer = client.get(f"{PREFIX}/shop", headers=PASSED_ON)
    assert refused(answer) == (401, "not_joined")
    assert answer.headers["Strict-Transport-Security"] == "max-age=31536000"


def test_another_host_is_refused(client: FlaskClient) -> None:
    answer = client.get(f"{PREFIX}/health", headers={**PASSED_ON, "X-Forwarded-Host": "evil.example"})
    assert refused(answer) == (400, "unknown_host")


def test_a_phone_joins_at_the_domain_itself(app: Flask, client: FlaskClient) -> None:
    """Its certificate is one that every phone trusts; there is nothing to install."""
    client.set_cookie(COOKIE, open_session(app.extensions[KEY].writer, author_of("lead")), path=PREFIX)
    made = client.post(f"{PREFIX}/join/codes", json={}, headers={**OURS, **PASSED_ON}).json
    assert made is not None
    assert made["address"] == f"{ORIGIN}/join#" + made["code"].replace("-", "")
    assert made["fingerprint"] is None


def test_the_log_tells_whence_a_guess_came(app: Flask, client: FlaskClient) -> None:
    form = {"code": "ZZZZ-ZZZZ", "device": "d", "device_name": "", "public_key": "k"}
    client.post(f"{PREFIX}/join", json=form, headers={**OURS, **PASSED_ON})
    with app.extensions[KEY].ledger.reading() as connection:
        (address,) = connection.exec_driver_sql("SELECT address FROM access_log").scalars()
    assert address == "203.0.113.7"


@pytest.mark.parametrize("origin", ["http://book.example", "book.example", "https://", "https://book.example/path"])
def test_only_an_origin_with_tls_is_one(origin: str, capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit):
        parser().parse_args(["serve", "--behind-proxy", origin])
    assert "https://book.example, without a path" in capsys.readouterr().err
