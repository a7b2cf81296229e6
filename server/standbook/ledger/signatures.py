"""What a device's key says of a batch: that these entries, in this order, came from it.

The key is asked before the writers' lock is taken. What fits is kept with the entries, and `signature_check.py` asks it
again over the book's own texts.
"""

import json
from collections.abc import Sequence
from typing import Any, NamedTuple

import msgspec
from sqlalchemy import BindParameter, Connection, bindparam, insert, select, update

from standbook.errors import Problem
from standbook.ledger.models import BatchSignature
from standbook.ledger.wire import Answer, Push
from standbook.people.device_keys import fits
from standbook.people.models import JoinedDevice

# Statements made once: making them anew would take longer than they do.
SHOP: BindParameter[str] = bindparam("at_shop")
DEVICE: BindParameter[str] = bindparam("at_device")
FROM: BindParameter[int] = bindparam("at_no")
KEY = select(JoinedDevice.public_key).where(JoinedDevice.shop == SHOP, JoinedDevice.device == DEVICE)
_this = (BatchSignature.shop == SHOP, BatchSignature.device == DEVICE, BatchSignature.from_no == FROM)
KEPT = select(BatchSignature.to_no, BatchSignature.signer).where(*_this)
UPDATE = update(BatchSignature).where(*_this)
KEEP = insert(BatchSignature)


class Signed(NamedTuple):
    """A signature that fits, and the device whose key made it."""

    signer: str
    signature: str


def public_key(connection: Connection, shop: str, device: str) -> str | None:
    """Also of a device that was cut off: it still tells what came from it before. None for one that never joined."""
    return connection.execute(KEY, {"at_shop": shop, "at_device": device}).scalar_one_or_none()


def signers(connection: Connection, shop: str, device: str, no: int) -> set[str]:
    """Whose keys signed the batches that this number of the device came in."""
    covers = (BatchSignature.from_no <= no, BatchSignature.to_no >= no)
    query = select(BatchSignature.signer).where(BatchSignature.shop == shop, BatchSignature.device == device, *covers)
    return set(connection.scalars(query))


def checked(push: Push, key: str | None, required: bool) -> Signed | None:
    """None where nothing is known of the sender and nothing has to be. Raises Problem not_joined or signature_wrong."""
    if key is None:
        if required:
            raise Problem("not_joined")
        return None
    if not push.signature and not required:
        return None
    if not signed_by(key, push):
        raise Problem("signature_wrong")
    return Signed(push.sender, push.signature)


def signed_by(key: str, push: Push) -> bool:
    try:
        texts = [signed_text(bytes(raw)) for raw in push.entries]
    except ValueError:
        return False
    return fits(key, push.signature, message(push.device, push.from_no, texts))


def message(device: str, from_no: int, texts: Sequence[bytes]) -> bytes:
    """What is signed of a batch. `texts`: its entries, whole."""
    return f"standbook batch 1\n{device}\n{from_no}\n".encode() + b"\n".join(texts)


def signed_text(wire: bytes) -> bytes:
    """An entry's bytes as the sender's encoder has them. Raises ValueError for what is no text.

    An encoder writes U+FFFD for half a character (WHATWG Encoding): such an entry is held back, and may not hold up
    those behind it (LG6).
    """
    try:
        return msgspec.json.decode(wire, type=str).encode()
    except (msgspec.MsgspecError, UnicodeDecodeError) as error:
        text = json.loads(wire)
        if not isinstance(text, str):
            raise ValueError("no text") from error
        return text.encode("utf-16", "surrogatepass").decode("utf-16", "replace").encode()


def keep(
    connection: Connection, shop: str, push: Push, signed: Signed, answers: Sequence[Answer], received_at: str
) -> None:
    """In the transaction of the batch. `to_no` is the last number that was signed: what was refused now has the same
    bytes when it comes, and then the whole can be proved."""
    if all(answer.result == "refused" for answer in answers):
        return
    place = {"at_shop": shop, "at_device": push.device, "at_no": push.from_no}
    news = {"to_no": push.from_no + len(answers) - 1, "signer": signed.signer}
    said = {**news, "signature": signed.signature, "received_at": received_at}
    before = connection.execute(KEPT, place).one_or_none()
    if before is None:
        row = {"shop": shop, "device": push.device, "from_no": push.from_no}
        connection.execute(KEEP, [{**row, **said}])
    elif says_more(push.device, news, before) and not any(answer.code == "same_number" for answer in answers):
        connection.execute(UPDATE, {**place, **said})


def says_more(device: str, news: dict[str, Any], before: Any) -> bool:
    """The device's own word before that of one who carried for it; then what reaches further."""
    own, own_before = news["signer"] == device, before.signer == device
    return bool((own, news["to_no"]) > (own_before, before.to_no))
