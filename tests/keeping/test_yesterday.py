"""Yesterday's backup in the place of today's book, seen from two phones over HTTP: nothing is lost or double (LG9)."""

from pathlib import Path
from typing import Any

from standbook.caretaker import Caretaker
from tests.ledger.kit import Book, Phone
from tests.ledger.pictures import address, jpeg

OURS = {"X-Standbook": "1"}
PIECE = {**OURS, "Content-Type": "application/partial-upload"}
PICTURE = jpeg(320, 240)
PHOTO = f"/api/v1/photos/{address(PICTURE)}"


class Talk:
    """What a phone asks of the shop; it remembers the shop's answers as a phone does."""

    def __init__(self, book: Book, phone: Phone) -> None:
        self.phone = phone
        self.history: list[dict[str, Any]] = []
        self.epoch = ""
        self.meet(book)

    def meet(self, book: Book) -> None:
        self.client = book.app.test_client()

    def pull(self) -> dict[str, Any]:
        after = len(self.history)
        query = {"epoch": self.epoch, "after": after, "device": self.phone.id, "limit": 1000}
        answer: dict[str, Any] = self.client.get("/api/v1/sync/pull", query_string=query).json
        self.history = ([] if answer["reset"] else self.history) + answer["entries"]
        self.epoch = answer["epoch"]
        return answer

    def push(self, device: str, from_no: int, texts: list[str]) -> list[str]:
        body = {"device": device, "from_no": from_no, "entries": texts, "carrier": self.phone.id}
        answer = self.client.post("/api/v1/sync/push", json=body, headers=OURS)
        assert answer.status_code == 200, answer.text
        return [one["result"] for one in answer.json["answers"]]

    def offer(self) -> list[str]:
        """Its own, from the number that the shop wants next."""
        next_no = self.pull()["mine"]["next_no"]
        return self.push(self.phone.id, next_no, self.phone.texts[next_no - 1 :])

    def send_photo(self) -> int:
        headers = {**PIECE, "Upload-Offset": "0", "Upload-Complete": "?1"}
        return self.client.patch(PHOTO, data=PICTURE, headers=headers).status_code

    def has_photo(self) -> bool:
        return self.client.head(PHOTO).headers.get("Upload-Complete") == "?1"


def test_lg9_after_yesterdays_backup_two_phones_bring_everything_back_once(either: Book, tmp_path: Path) -> None:
    bo, al = Talk(either, Phone(either)), Talk(either, Phone(either, "al-a"))
    recorded(bo, 3)
    recorded(al, 2)
    yesterday = Caretaker(either.services).backup(tmp_path / "yesterday.standbook.tar").path
    recorded(bo, 2)
    recorded(al, 4)
    assert bo.send_photo() == 204
    today = {entry["text"] for entry in al.pull()["entries"]} | {entry["text"] for entry in al.history}
    Caretaker(either.services).restore(yesterday)
    again = either.reopened()
    for talk in (bo, al):
        talk.meet(again)
        old_epoch, had = talk.epoch, len(talk.history)
        told = talk.pull()
        assert (told["reset"], told["last_seq"]) == (True, 5)
        assert talk.epoch != old_epoch
        assert had > 5
    assert not bo.has_photo()
    assert bo.offer() == ["stored"] * 2
    assert al.offer() == ["stored"] * 4
    assert bo.send_photo() == 204
    assert bo.push(bo.phone.id, 1, bo.phone.texts) == ["already"] * 5
    for talk in (bo, al):
        talk.pull()
        assert sorted(entry["text"] for entry in talk.history) == sorted(today)
    assert bo.has_photo()
    assert Caretaker(again.services).check().findings == []
    again.close()


def test_lg9_what_a_lost_phone_had_handed_in_comes_back_from_one_that_had_pulled_it(
    either: Book, tmp_path: Path
) -> None:
    lost, other = Talk(either, Phone(either)), Talk(either, Phone(either))
    yesterday = Caretaker(either.services).backup(tmp_path / "yesterday.standbook.tar").path
    recorded(lost, 3)
    other.pull()
    carried = [entry["text"] for entry in other.history]
    Caretaker(either.services).restore(yesterday)
    again = either.reopened()
    other.meet(again)
    assert other.pull()["last_seq"] == 0
    assert other.push(lost.phone.id, 1, carried) == ["stored"] * 3
    assert again.texts() == lost.phone.texts
    assert again.ledger.check().findings == []
    again.close()


def recorded(talk: Talk, count: int) -> None:
    first = len(talk.phone.texts) + 1
    texts = [talk.phone.write() for _ in range(count)]
    assert talk.push(talk.phone.id, first, texts) == ["stored"] * count
    talk.pull()
