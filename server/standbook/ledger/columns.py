"""A page of the book as columns: what its entries have in common goes over the wire once.

Each text is cut wherever a comma and a quotation mark stand, as they do before a key, and put together again with the
two in each cut: so every byte comes back, also of what is not known here (LG12). Texts with equally many pieces are the
rows of a table, and most of its columns (people, gauges, versions) are one text for the whole page. Numbers and most
hashes need not travel: seq has no gaps, and a hash follows from the one before it and the text (LG8), which proves
every text on its way (LG7).
"""

from collections.abc import Iterable, Sequence

from standbook.ledger.wire import Column, Columns, PulledEntry

CUT = ',"'


def columns_of(entries: Sequence[PulledEntry]) -> Columns:
    """Of entries that follow each other, at least one."""
    tables: dict[int, list[list[str]]] = {}
    pieces = [entry.text.split(CUT) for entry in entries]
    for one in pieces:
        tables.setdefault(len(one), []).append(one)
    at = {size: number for number, size in enumerate(tables)}
    return Columns(
        first_seq=entries[0].seq,
        prev=entries[0].prev,
        hash=entries[-1].hash,
        received_at=column([entry.received_at for entry in entries]),
        order=[at[len(one)] for one in pieces],
        tables=[joined(column(values) for values in zip(*table, strict=True)) for table in tables.values()],
    )


def joined(columns: Iterable[Column]) -> list[Column]:
    """What stays the same side by side is put together here instead of for each entry on a phone."""
    found: list[Column] = []
    for one in columns:
        before = found[-1] if found else None
        if isinstance(one, str) and isinstance(before, str):
            found[-1] = before + CUT + one
        else:
            found.append(one)
    return found


def column(values: Sequence[str]) -> Column:
    return values[0] if values.count(values[0]) == len(values) else tuple(values)
