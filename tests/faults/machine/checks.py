"""What must hold once all is well: nothing lost, nothing double, one book for everybody, nothing without a name."""

import hashlib
import json
from collections import Counter, defaultdict
from pathlib import Path
from typing import Any, NamedTuple

from flask.testing import FlaskClient

from standbook.api.guard import PREFIX
from standbook.api.who import COOKIE
from standbook.keeping import whole
from standbook.people.authority import Author
from standbook.people.sessions import open_session
from standbook.trade.build import Build
from tests.faults.machine.copies import lies_in
from tests.faults.machine.healing import all_pages
from tests.faults.machine.promises import Promise, mark_of
from tests.faults.machine.world import World
from tests.ledger.kit import APPRENTICE, BUILDER, LEAD


class Kept(NamedTuple):
    """An entry as the server has it. `where`: book, held or conflict; `used`: it has used up its device's number."""

    where: str
    device: str
    device_no: int
    text: str
    code: str | None
    used: bool = True


def kept(world: World) -> list[Kept]:
    rows = [
        Kept("book", device, number, text, None)
        for device, number, text in world.server.rows("SELECT device, device_no, text FROM entries ORDER BY seq")
    ]
    held = "SELECT device, device_no, raw, code FROM held_back"
    rows += [Kept("held", *row[:2], words(row[2]), row[3]) for row in world.server.rows(held)]
    beside = "SELECT device, device_no, raw, code, used_number FROM conflicts"
    rows += [Kept("conflict", *row[:2], words(row[2]), row[3], bool(row[4])) for row in world.server.rows(beside)]
    return rows


def words(raw: bytes | None) -> str:
    return "" if raw is None else raw.decode()


def check(world: World) -> None:
    """Fails with the story when a promise is broken."""
    nothing_unheard(world)
    rows = kept(world)
    every_promise_is_kept_once(world, rows)
    texts_that_entries_name_are_there(world)
    photos_are_there(world)
    numbers_are_accounted_for(world, rows)
    the_book_holds_together(world)
    everybody_has_the_same_book(world, rows)
    nothing_is_in_an_unnamed_state(world)
    own_entries_are_in_a_right_state(world)
    what_was_lost_is_told_exactly(world)
    drafts_are_there(world)


def nothing_unheard(world: World) -> None:
    if world.troubles:
        world.fail(f"a fault that nobody handled: {world.troubles[0]}")


def every_promise_is_kept_once(world: World, rows: list[Kept]) -> None:
    found: dict[str, list[Kept]] = defaultdict(list)
    for row in rows:
        if row.where != "book" and not row.code:
            world.fail(f"set aside without a reason: {row}")
        # A number that was passed over has no entry; whether that is right is told by the promises (LG9).
        if row.code != "number_missing":
            found[mark_of(row.text) or row.text].append(row)
    for promise in world.promises.all():
        kept_as_said(world, promise, found.pop(promise.mark, []))
    if found:
        world.fail(f"the server has entries that nobody made: {found}")


def kept_as_said(world: World, promise: Promise, there: list[Kept]) -> None:
    mark = promise.mark
    if len(there) > 1 and not taken_up_by_twins(world, there):
        world.fail(f"{mark} is at the server {len(there)} times: {there}")
    if promise.said == "refused" and there:
        world.fail(f"{mark} was called not stored and is at the server: {there}")
    if promise.said == "saved" and not there and mark not in world.promises.destroyed:
        where = lies_in(world, mark)
        world.fail(f"{mark} was called saved on {promise.page} and is not at the server; it lies in {where}")
    if promise.text is not None and there and there[0].text != promise.text:
        world.fail(f"{mark} has other bytes at the server: {there[0].text} instead of {promise.text}")


def taken_up_by_twins(world: World, there: list[Kept]) -> bool:
    """What the camera gave lay on a phone when that was copied: each of the two makes an entry of it."""
    pictures = all('"kind":"photo"' in row.text for row in there)
    return pictures and world.twins and len({row.text for row in there}) == len(there)


def texts_that_entries_name_are_there(world: World) -> None:
    """LG13: what an entry names by its hash is at the server, byte for byte."""
    for promise in world.promises.saved():
        for sha256, text in promise.blobs:
            path = world.server.folder / "blobs" / sha256[:2] / sha256
            if not {promise.mark, sha256} & world.promises.destroyed.keys() and not same(path, text):
                world.fail(f"the text that {promise.mark} names is not at the server")


def photos_are_there(world: World) -> None:
    """LG13: the shop has its copy of every picture that a screen called saved, whole and under its own hash."""
    kept = dict(world.server.rows("SELECT sha256, stored_sha256 FROM photos"))
    for promise in world.promises.saved():
        if promise.photo is None or {promise.mark, promise.photo} & world.promises.destroyed.keys():
            continue
        stored = kept.get(promise.photo)
        if stored is None:
            world.fail(f"the picture of {promise.mark} is not at the server")
        path = world.server.folder / "blobs" / str(stored)[:2] / str(stored)
        if not path.exists() or hashlib.sha256(path.read_bytes()).hexdigest() != stored:
            world.fail(f"the picture of {promise.mark} is not what the server calls it")


def same(path: Path, text: str) -> bool:
    return path.exists() and path.read_bytes() == text.encode()


def numbers_are_accounted_for(world: World, rows: list[Kept]) -> None:
    """LG5: of every device the numbers 1 to the last are used up, each by exactly one entry."""
    used: dict[str, list[int]] = defaultdict(list)
    for row in rows:
        if row.used:
            used[row.device].append(row.device_no)
    for device, next_no in world.server.rows("SELECT id, next_no FROM devices"):
        if sorted(used[device]) != list(range(1, next_no)):
            world.fail(f"numbers of {device}: {sorted(used[device])}, next {next_no}")


def the_book_holds_together(world: World) -> None:
    """The server's own reading of its chain, counts and files, and seq without a gap, counted past the ledger."""
    services = world.server.services
    with services.ledger.reading() as connection:
        findings = whole.check(connection, services.ledger.store).findings
    if findings:
        world.fail(f"the book does not hold together: {findings}")
    numbers = [seq for (seq,) in world.server.rows("SELECT seq FROM entries ORDER BY seq")]
    ((last,),) = world.server.rows("SELECT last_seq FROM shops")
    if numbers != list(range(1, last + 1)):
        world.fail(f"seq has gaps: {numbers}, last {last}")


def shop_history(world: World) -> list[dict[str, Any]]:
    columns = ("seq", "received_at", "prev", "hash", "text")
    rows = world.server.rows(f"SELECT {', '.join(columns)} FROM entries ORDER BY seq")
    return [dict(zip(columns, row, strict=True)) for row in rows]


def phone_history(world: World, name: str) -> list[dict[str, Any]]:
    tag = world.tag()
    world.tell({"do": "rows", "phone": name, "table": "chunks", "tag": tag})
    chunks = [row["value"] for row in world.answers.pop(tag)["rows"]]
    fields = ("seq", "received_at", "prev", "hash", "text")
    return [{field: entry[field] for field in fields} for chunk in chunks for entry in chunk["entries"]]


def everybody_has_the_same_book(world: World, rows: list[Kept]) -> None:
    history = shop_history(world)
    for name in world.phones:
        mine = phone_history(world, name)
        if mine != history:
            world.fail(f"phone {name} has another history than the shop: {differing(mine, history)}")
    books = {page: world.ask(page, "book")["books"] for page in all_pages(world)}
    expected = books_of(history)
    beside = Counter(row.text for row in rows if row.where != "book")
    for page, book in books.items():
        the_same_book(world, page, book, expected, beside)
    the_same_verdicts(world, expected)


def differing(mine: list[dict[str, Any]], theirs: list[dict[str, Any]]) -> str:
    pairs = zip(mine, theirs, strict=False)
    first = next((f"at {a['seq']}: {a} / {b}" for a, b in pairs if a != b), "the one goes on longer")
    return f"{len(mine)} and {len(theirs)} entries; {first}"


def books_of(history: list[dict[str, Any]]) -> dict[str, list[tuple[str, int]]]:
    books: dict[str, list[tuple[str, int]]] = defaultdict(list)
    for entry in history:
        books[json.loads(entry["text"])["build"]].append((entry["text"], entry["seq"]))
    return books


def the_same_book(world: World, page: str, book: Any, expected: dict[str, Any], beside: Counter[str]) -> None:
    """What the screens draw: the shop's entries, then only own ones that the shop keeps aside for a reason."""
    for build, entries in book:
        pulled = [(text, seq) for text, seq, *_ in entries if seq is not None]
        if pulled != expected.get(build, []):
            world.fail(f"{page} shows another book of {build} than the shop's")
        for text, seq, sent, held in entries:
            named = sent in ("held", "dealt") and held and held["code"]
            if seq is None and not (named and beside[text]):
                world.fail(f"{page} shows {mark_of(text)} as {sent} ({held}), and the shop does not keep it aside")
    missing = set(expected) - {build for build, _ in book}
    if missing:
        world.fail(f"{page} does not know the builds {missing}")


NAMES = {LEAD: "Lea D.", BUILDER: "Bo B.", APPRENTICE: "Al A."}


def the_same_verdicts(world: World, expected: dict[str, list[tuple[str, int]]]) -> None:
    """The server's brain, grown through deaths and restores, against one that reads a phone's book in one go."""
    ask = signed_in(world)
    names = {**dict(world.server.rows("SELECT id, name FROM people")), **NAMES}
    for build, entries in expected.items():
        fresh = Build(build, names)
        for text, seq in entries:
            fresh.add(text, seq)
        there = ask.get(f"/api/v1/builds/{build}").get_json()
        if there != json.loads(json.dumps(fresh.state())):
            world.fail(f"the server judges build {build} otherwise than a phone with the same book")


def signed_in(world: World) -> FlaskClient:
    """Somebody who may look: on its network the shop shows strangers nothing."""
    client = world.server.app.test_client()
    token = open_session(world.server.services.writer, Author(LEAD, NAMES[LEAD], "lead"))
    client.set_cookie(COOKIE, token, path=PREFIX)
    return client


def nothing_is_in_an_unnamed_state(world: World) -> None:
    for page in all_pages(world):
        strip = world.ask(page, "strip")
        if (
            strip["unsent"]
            or strip["carried"]
            or strip["photos"]
            or not strip["online"]
            or not world.ask(page, "complete")
        ):
            world.fail(f"{page} is not done: {strip}")
        if not strip["held"] and not strip["allSafe"]:
            world.fail(f"{page} does not call its entries safe, and nothing is held back: {strip}")


def own_entries_are_in_a_right_state(world: World) -> None:
    """A held-back entry leaves a phone's list when somebody has dealt with it at the server, and not before (LG6); a
    conflict of numbers ends an identity (LG4)."""
    found = set(world.server.rows("SELECT device, device_no FROM held_back WHERE dealt_at IS NOT NULL"))
    found |= set(world.server.rows("SELECT device, device_no FROM conflicts WHERE dealt_at IS NOT NULL"))
    for name in world.phones:
        tag = world.tag()
        world.tell({"do": "rows", "phone": name, "table": "own", "tag": tag})
        for row in (row["value"] for row in world.answers.pop(tag)["rows"]):
            if row["held"] and row["held"]["code"] == "same_number":
                world.fail(f"phone {name} goes on under an identity that it knows to be on another phone as well")
            # A row of the first version does not say whose it is: it was this phone's before it was anything else.
            same = {pair for pair in found if pair[1] == row["device_no"] and row.get("device") in (None, pair[0])}
            if row["sent"] == "dealt" and not same:
                world.fail(f"phone {name} calls {mark_of(row['text'])} dealt with, and the shop does not")


def what_was_lost_is_told_exactly(world: World) -> None:
    """LG14: a browser that was cleared says how many of its entries never reached the shop: no more and no fewer."""
    counts = {device: next_no - 1 for device, next_no in world.server.rows("SELECT id, next_no FROM devices")}
    for page in all_pages(world):
        before = world.ask(page, "identity").get("before")
        says_what_it_was(world, page, before)
        if not before or before["why"] != "cleared":
            continue
        there = counts.get(before["device"], 0)
        if before["at_shop"] != there:
            world.fail(f"{page} says that {before['at_shop']} of its entries were at the shop before, and {there} are")
        saved = numbers_of(world, page[0], before["device"])
        if max(saved, default=0) > before["made"]:
            world.fail(
                f"{page} says that it had made {before['made']} entries, and had called number {max(saved)} saved"
            )


def says_what_it_was(world: World, page: str, before: Any) -> None:
    """What a phone found out later, that it was copied, stands in the place of the older news."""
    phone = world.phones[page[0]]
    names = (phone.cleared_as, phone.cleared_unheard)
    if phone.cleared_as and not (before and (before["device"] in names or before["why"] == "copied")):
        world.fail(f"{page} was {phone.cleared_as} before it was cleared, and says {before}")


def numbers_of(world: World, phone: str, device: str) -> list[int]:
    """Numbers of what was called saved on this phone as this device, and was lost when it was cleared."""
    mine, words = f'"device":"{device}"', f"phone {phone} was cleared"
    lost = [promise for promise in world.promises.saved() if world.promises.destroyed.get(promise.mark) == words]
    return [promise.device_no or 0 for promise in lost if promise.text and mine in promise.text]


def drafts_are_there(world: World) -> None:
    for phone in world.phones.values():
        for page in sorted(phone.pages):
            for key, text in phone.drafts.items():
                found = world.ask(page, "loadDraft", key)
                if found != text:
                    world.fail(f"{page} has {found} half typed at {key}, and it was left as {text}")
