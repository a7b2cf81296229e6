"""Forms of what the routes take and give, apart from the sync routes (`ledger/wire.py`) and the brain's own views."""

from typing import Any

from marshmallow import RAISE, Schema, ValidationError, fields
from marshmallow.validate import Length


class Form(Schema):
    """What we send ourselves must be right: an unknown field is an error, not a guess."""

    class Meta:
        unknown = RAISE


def writable(text: str) -> None:
    """JSON can name a NUL; not every database can keep one."""
    if "\0" in text:
        raise ValidationError("Holds a NUL character.")


def telling(text: str) -> None:
    if not text.strip():
        raise ValidationError("Holds nothing but spaces.")


class ErrorBody(Schema):
    code = fields.String(required=True)
    message = fields.String(required=True)
    details = fields.Dict(required=True)


class Error(Schema):
    error = fields.Nested(ErrorBody, required=True)


class Typed(Schema):
    text = fields.String(required=True)
    unit = fields.String(required=True, allow_none=True)


class Person(Schema):
    id = fields.String(required=True)
    name = fields.String(required=True)
    role = fields.String(required=True)


class Pin(Schema):
    """A PIN as a phone checks it without network: PBKDF2-HMAC-SHA256, salt and hash as base64."""

    number = fields.Integer(required=True)
    salt = fields.String(required=True)
    hash = fields.String(required=True)
    iterations = fields.Integer(required=True)


class ShopPerson(Person):
    """`version`: what a change of name or role names with If-Match."""

    version = fields.String(required=True)
    pin = fields.Nested(Pin, required=True, allow_none=True)


class Seal(Schema):
    """The key (RSA, SPKI as base64) to which a phone seals a PIN for the shop."""

    key = fields.String(required=True)
    id = fields.String(required=True)


class NewPerson(Form):
    name = fields.String(required=True, validate=[Length(min=1, max=200), writable])
    role = fields.String(required=True, validate=[Length(min=1, max=40), writable])


class ChangedPerson(Form):
    name = fields.String(validate=[Length(min=1, max=200), writable])
    role = fields.String(validate=[Length(min=1, max=40), writable])


class NewPassword(Form):
    password = fields.String(required=True, validate=[Length(min=1, max=1000), writable], load_only=True)


class NewPin(Form):
    pin = fields.String(required=True, validate=[Length(min=1, max=100), writable], load_only=True)


class OwnPassword(NewPassword):
    old = fields.String(required=True, validate=[Length(min=1, max=1000), writable], load_only=True)


class OwnPin(NewPin, NewPassword):
    """`password`: the own one, as proof."""


class Session(Schema):
    person = fields.Nested(Person, required=True, allow_none=True)


class SignIn(Form):
    person = fields.String(required=True, validate=[Length(min=1, max=200), writable])
    password = fields.String(required=True, validate=[Length(min=1, max=1000), writable], load_only=True)


class FirstLead(Form):
    """`token`: from the link that the server printed. `shop`: the new shop's name. `name`: the first lead's."""

    token = fields.String(required=True, validate=[Length(min=1, max=200), writable], load_only=True)
    shop = fields.String(required=True, validate=[Length(min=1, max=120), writable, telling])
    name = fields.String(required=True, validate=[Length(min=1, max=80), writable, telling])
    password = fields.String(required=True, validate=[Length(min=1, max=1000), writable], load_only=True)


class Everywhere(Form):
    everywhere = fields.Boolean(load_default=False)


class OpenSession(Schema):
    """`here`: the session of the browser that asks. `last_at`: of its last request, to some minutes."""

    created_at = fields.String(required=True)
    last_at = fields.String(required=True)
    here = fields.Boolean(required=True)


class OpenSessions(Schema):
    sessions = fields.List(fields.Nested(OpenSession), required=True)


class Before(Form):
    before = fields.String(validate=[Length(min=1, max=64), writable])


class AccessLine(Schema):
    """`words`: what happened. `person`, `device`: their names, null where unknown. `address`: the network's."""

    id = fields.String(required=True)
    at = fields.String(required=True)
    kind = fields.String(required=True)
    words = fields.String(required=True)
    person = fields.String(required=True, allow_none=True)
    device = fields.String(required=True, allow_none=True)
    address = fields.String(required=True)
    detail = fields.String(required=True)


class AccessLines(Schema):
    lines = fields.List(fields.Nested(AccessLine), required=True)
    more = fields.Boolean(required=True)


class Instrument(Schema):
    id = fields.String(required=True)
    kind = fields.String(required=True)
    name = fields.String(required=True)
    step = fields.Nested(Typed, required=True)
    trust = fields.Nested(Typed, required=True)
    dial = fields.Boolean(required=True)
    calibration_due = fields.String(required=True, allow_none=True)
    range_low = fields.Nested(Typed)
    range_high = fields.Nested(Typed)
    band = fields.String()
    used_up = fields.Boolean()


class TypedForm(Form):
    text = fields.String(required=True, validate=[Length(min=1, max=20), writable])
    unit = fields.String(required=True, validate=[Length(min=1, max=20), writable])


class InstrumentForm(Form):
    """A gauge as a lead writes it. `band` in percent; dates as year-month-day; an empty date or band is none."""

    kind = fields.String(required=True, validate=[Length(min=1, max=40), writable])
    name = fields.String(required=True, validate=[Length(min=1, max=80), writable, telling])
    step = fields.Nested(TypedForm, required=True)
    trust = fields.Nested(TypedForm, required=True)
    dial = fields.Boolean(load_default=False)
    range_low = fields.Nested(TypedForm, load_default=None, allow_none=True)
    range_high = fields.Nested(TypedForm, load_default=None, allow_none=True)
    band = fields.String(load_default="", validate=[Length(max=10), writable])
    calibrated_on = fields.String(load_default="", validate=[Length(max=10), writable])
    calibration_due = fields.String(load_default="", validate=[Length(max=10), writable])


class IfMatch(Schema):
    """The version that was looked at, as its ETag."""

    if_match = fields.String(data_key="If-Match", validate=[Length(max=80)])


class Retire(Form):
    """`reason`: why it goes out of use; nothing takes it into use again."""

    reason = fields.String(required=True, validate=[Length(max=2000), writable])


class InstrumentChange(Schema):
    at = fields.String(required=True)
    person = fields.String(required=True)
    words = fields.String(required=True)


class KeptInstrument(Instrument):
    """`pulls`: readings with this torque wrench since its calibration, null for other kinds. `words`, `overdue`: what
    the brain says of it today."""

    range_low = fields.Nested(Typed, required=True, allow_none=True)
    range_high = fields.Nested(Typed, required=True, allow_none=True)
    band = fields.String(required=True, allow_none=True)
    calibrated_on = fields.String(required=True, allow_none=True)
    version = fields.Integer(required=True)
    retired_at = fields.String(required=True, allow_none=True)
    retired_because = fields.String(required=True, allow_none=True)
    history = fields.List(fields.Nested(InstrumentChange), required=True)
    pulls = fields.Integer(required=True, allow_none=True)
    words = fields.String(required=True)
    overdue = fields.String(required=True, allow_none=True)


class KeptInstruments(Schema):
    instruments = fields.List(fields.Nested(KeptInstrument), required=True)


class ShopName(Schema):
    id = fields.String(required=True)
    name = fields.String(required=True)


class Shop(Schema):
    """`seal`: null while nobody has a PIN. `pins`: the mark that a pull gives too."""

    shop = fields.Nested(ShopName, required=True)
    epoch = fields.String(required=True)
    people = fields.List(fields.Nested(ShopPerson), required=True)
    instruments = fields.List(fields.Nested(Instrument), required=True)
    seal = fields.Nested(Seal, required=True, allow_none=True)
    pins = fields.String(required=True)


class First(Schema):
    seq = fields.Integer(required=True)
    text = fields.String(required=True)


class HeldBack(Schema):
    """`text` is null where the entry was too large: then `size` and `sha256` speak for it."""

    id = fields.String(required=True)
    device = fields.String(required=True)
    device_name = fields.String(required=True, allow_none=True)
    device_no = fields.Integer(required=True)
    entry = fields.String(required=True, allow_none=True)
    build = fields.String(required=True, allow_none=True)
    code = fields.String(required=True)
    message = fields.String(required=True)
    text = fields.String(required=True, allow_none=True)
    size = fields.Integer(required=True)
    sha256 = fields.String(required=True)
    received_at = fields.String(required=True)
    skew_ms = fields.Integer(required=True, allow_none=True)


class Conflict(HeldBack):
    used_number = fields.Boolean(required=True)
    first = fields.Nested(First, required=True, allow_none=True)


class Asides(Schema):
    held = fields.List(fields.Nested(HeldBack), required=True)
    conflicts = fields.List(fields.Nested(Conflict), required=True)


class Dealt(Form):
    reason = fields.String(required=True, validate=[Length(min=1, max=2000), writable])


class DealtByPhone(Dealt):
    person = fields.String(required=True, validate=[Length(min=1, max=64), writable])


class Nothing(Form):
    """A body without fields."""


class Joining(Schema):
    network = fields.Boolean(required=True)
    origin = fields.String(required=True, allow_none=True)
    name = fields.String(required=True, allow_none=True)
    fingerprint = fields.String(required=True, allow_none=True)


class JoinCode(Schema):
    """`address`: what the phone opens. `qr`: the same as a QR code, rows of modules, 1 for a dark one."""

    code = fields.String(required=True)
    expires_at = fields.String(required=True)
    address = fields.String(required=True)
    origin = fields.String(required=True)
    fingerprint = fields.String(required=True, allow_none=True)
    qr = fields.List(fields.String(), required=True)


class DeviceKey(Form):
    """`public_key`: P-256, SPKI in base64."""

    device = fields.String(required=True, validate=[Length(min=1, max=64), writable])
    public_key = fields.String(required=True, validate=[Length(min=1, max=200), writable])


class Join(DeviceKey):
    code = fields.String(required=True, validate=[Length(min=1, max=40), writable], load_only=True)
    device_name = fields.String(required=True, validate=[Length(max=120), writable])


class JoinedShop(Schema):
    shop = fields.Nested(ShopName, required=True)


class AskChallenge(Form):
    device = fields.String(required=True, validate=[Length(min=1, max=64), writable])


class Challenge(Schema):
    challenge = fields.String(required=True)


class KeyProof(AskChallenge):
    """`signature`: ECDSA with SHA-256 over "standbook proof 1", device and challenge, a line each; r and s, base64."""

    challenge = fields.String(required=True, validate=[Length(min=1, max=100), writable])
    signature = fields.String(required=True, validate=[Length(min=1, max=120), writable])


class LetIn(Schema):
    device = fields.String(required=True)


class EntryProof(Schema):
    """Whose key signed the batch that an entry came in: `signer` is another device than `device` where it was handed in
    for it. Nulls where nobody has signed. `proven`: the signature fits what the shop has, byte for byte."""

    entry = fields.String(required=True)
    device = fields.String(required=True)
    from_no = fields.Integer(required=True, allow_none=True)
    to_no = fields.Integer(required=True, allow_none=True)
    signer = fields.String(required=True, allow_none=True)
    proven = fields.Boolean(required=True)


class CutOff(Form):
    reason = fields.String(required=True, validate=[Length(min=1, max=2000), writable])


class Device(Schema):
    """`unsent`: made and not here when last heard of. `lost`: the same of a device that is no more. `joined_at` and so
    on are null for a device that wrote into the book and has not joined."""

    id = fields.String(required=True)
    name = fields.String(required=True)
    count = fields.Integer(required=True)
    made = fields.Integer(required=True, allow_none=True)
    unsent = fields.Integer(required=True)
    lost = fields.Integer(required=True)
    last_contact = fields.String(required=True)
    replaced_by = fields.String(required=True, allow_none=True)
    joined_at = fields.String(required=True, allow_none=True)
    joined_by = fields.String(required=True, allow_none=True)
    cut_off_at = fields.String(required=True, allow_none=True)
    cut_off_by = fields.String(required=True, allow_none=True)


class Devices(Schema):
    devices = fields.List(fields.Nested(Device), required=True)


class CustomerForm(Form):
    """Who a customer is; an empty field is none."""

    name = fields.String(required=True, validate=[Length(min=1, max=120), writable, telling])
    phone = fields.String(load_default="", validate=[Length(max=60), writable])
    email = fields.String(load_default="", validate=[Length(max=200), writable])
    address = fields.String(load_default="", validate=[Length(max=400), writable])
    note = fields.String(load_default="", validate=[Length(max=2000), writable])


class Customer(Schema):
    """`builds`: ids of this customer's engines. Of one who was erased only these and the times are left.

    `version`: what a change names with If-Match.
    """

    id = fields.String(required=True)
    name = fields.String(required=True, allow_none=True)
    phone = fields.String(required=True, allow_none=True)
    email = fields.String(required=True, allow_none=True)
    address = fields.String(required=True, allow_none=True)
    note = fields.String(required=True, allow_none=True)
    created_at = fields.String(required=True)
    erased_at = fields.String(required=True, allow_none=True)
    erased_by = fields.String(required=True, allow_none=True)
    builds = fields.List(fields.String(), required=True)
    version = fields.String(required=True)


class Customers(Schema):
    customers = fields.List(fields.Nested(Customer), required=True)


class Whose(Form):
    customer = fields.String(required=True, allow_none=True, validate=[Length(min=1, max=64), writable])


class Copy(Schema):
    """An older copy of the book that holds the customer; `sure`: False where it cannot be read and may be one."""

    name = fields.String(required=True)
    made_at = fields.String(required=True)
    sure = fields.Boolean(required=True)


class Erased(Schema):
    """`clean`: nothing of it is left in the database's own file. `copies`: where it still is."""

    erased_at = fields.String(required=True)
    clean = fields.Boolean(required=True)
    copies = fields.List(fields.Nested(Copy), required=True)


class Label(Schema):
    """`qr`: the address as rows of modules, "1" dark, without a quiet zone."""

    address = fields.String(required=True)
    qr = fields.List(fields.String(), required=True)


class Health(Schema):
    status = fields.String(required=True)
    version = fields.String(required=True, allow_none=True)
    trade_version = fields.String(required=True, allow_none=True)
    shop = fields.Boolean(required=True)
    epoch = fields.String(required=True, allow_none=True)
    last_seq = fields.Integer(required=True, allow_none=True)


def from_brain(what: str) -> dict[str, Any]:
    """A view made by the brain, which defines its form: described here, never re-shaped."""
    return {"type": "object", "description": what, "additionalProperties": True}
