"""How large a request may be, by its address: only a push of entries needs much, and what comes is held in memory."""

from standbook.config import MAX_BLOB, MAX_BODY

PREFIX = "/api/v1"
#: Whatever is typed into a form.
SMALL = 64 * 1024
MOST_PIECE = 1024 * 1024
PUSH = f"{PREFIX}/sync/push"
MOST = {PUSH: MAX_BODY}
MOST_BELOW = {f"{PREFIX}/blobs/": MAX_BLOB, f"{PREFIX}/photos/": MOST_PIECE}


def most(path: str) -> int:
    """Bytes of a body at this address, packed or not."""
    below = (size for start, size in MOST_BELOW.items() if path.startswith(start))
    return MOST.get(path) or next(below, SMALL)
