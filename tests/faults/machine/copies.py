"""Where copies lie of what screens have called saved; what the world destroys the last copy of is nobody's fault."""

from collections.abc import Iterator
from contextlib import contextmanager

from tests.faults.machine.promises import mark_of
from tests.faults.machine.world import World


@contextmanager
def destroying(world: World, words: str) -> Iterator[None]:
    """What is nowhere any more after this was destroyed by it."""
    before = everywhere(world)
    yield
    for gone in before - everywhere(world):
        world.promises.destroyed.setdefault(gone, words)


def everywhere(world: World) -> set[str]:
    """Marks of entries and hashes of files that lie on a phone, at the server or in a file that was handed on."""
    tag = world.tag()
    world.tell({"do": "inventory", "tag": tag})
    phones = world.answers.pop(tag)["rows"].items()
    found = {mark for name, phone in phones for mark in [*what_lasts(world, name, phone), *phone["files"]]}
    return found | at_the_server(world) | {name for file in world.files for name in file.holds}


def what_lasts(world: World, name: str, phone: dict[str, list[str]]) -> list[str]:
    """The previous client dropped the pulled book of a restored shop, and keeps only what it had written itself."""
    return phone["written"] if world.phones[name].client == "previous" else phone["marks"]


def at_the_server(world: World) -> set[str]:
    texts = [text for (text,) in world.server.rows("SELECT text FROM entries")]
    for table in ("held_back", "conflicts"):
        texts += [raw.decode() for (raw,) in world.server.rows(f"SELECT raw FROM {table} WHERE raw IS NOT NULL")]
    marks = {mark for mark in map(mark_of, texts) if mark}
    photos = {sha256 for (sha256,) in world.server.rows("SELECT sha256 FROM photos")}
    return marks | photos | {path.name for path in (world.server.folder / "blobs").rglob("*") if path.is_file()}


def lies_in(world: World, mark: str) -> str:
    """Where an entry lies on the phones, and in which state, for whoever reads a failing story."""
    places = []
    for name in world.phones:
        for table in ("own", "carried", "chunks", "old_chunks"):
            tag = world.tag()
            world.tell({"do": "rows", "phone": name, "table": table, "tag": tag})
            rows = [row for row in world.answers.pop(tag)["rows"] if f'{mark}"' in str(row).replace("'", '"')]
            places += [f"{name}'s {table} {row['key']} {row['value'].get('sent', '')}" for row in rows]
    return ", ".join(places) or "on no phone"
