"""The server process killed (SIGKILL) around a push: the phone sends again and everything is there once."""

import http.client
import json
from pathlib import Path
from typing import Any

import pytest

from tests.faults.process import Server, server
from tests.ledger.kit import Book, Phone


@pytest.fixture
def folder(book: Book) -> Path:
    """The data folder alone: only the server process has the book open."""
    book.close()
    return book.settings.data


def push(to: Server, phone: Phone) -> list[str]:
    body = {"device": phone.id, "from_no": 1, "entries": phone.texts}
    status, answer = to.ask("POST", "/api/v1/sync/push", body)
    assert status == 200
    return [one["result"] for one in answer["answers"]]


def pulled(to: Server) -> list[str]:
    answer: dict[str, Any] = to.ask("GET", "/api/v1/sync/pull")[1]
    return [entry["text"] for entry in answer["entries"]]


def killed_during_push(folder: Path, phone: Phone, moment: str) -> None:
    with server(folder, moment) as dying:
        with pytest.raises((OSError, http.client.HTTPException)):
            push(dying, phone)
        assert dying.process.wait(20) == -9


@pytest.mark.parametrize(("moment", "then"), [("before", "stored"), ("inside", "stored"), ("after", "already")])
def test_lg3_a_push_cut_by_a_killed_server_is_sent_again_and_there_once(
    folder: Path, phone: Phone, moment: str, then: str
) -> None:
    for _ in range(5):
        phone.write()
    killed_during_push(folder, phone, moment)
    with server(folder) as well:
        assert push(well, phone) == [then] * 5
        assert push(well, phone) == ["already"] * 5
        assert pulled(well) == phone.texts


def test_lg5_a_server_killed_again_and_again_loses_nothing(folder: Path, phone: Phone) -> None:
    for round_no in range(3):
        phone.write()
        phone.keep(f"not an entry {round_no}")
        killed_during_push(folder, phone, "after")
    with server(folder) as well:
        assert push(well, phone) == ["already", "held"] * 3
        assert [json.loads(text)["device_no"] for text in pulled(well)] == [1, 3, 5]
