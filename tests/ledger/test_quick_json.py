"""The quick reader of entries gives what the brain's strict reader gives, or nothing."""

import json
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from standbook.ledger.quick_json import read_quickly
from standbook.trade.plain import Refusal, from_json
from tests.ledger.kit import Phone

LEAVES = st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False, allow_infinity=False) | st.text()
VALUES = st.recursive(LEAVES, lambda inner: st.lists(inner) | st.dictionaries(st.text(), inner), max_leaves=20)
BROKEN = (
    '{"a":1,"a":2}',
    '{"a":1,"\\u0061":2}',
    '{"a":{"b":1,"b":1}}',
    '{"a":1,}',
    '{"a":NaN}',
    '{"a":1}{}',
    '{"a":01}',
    '{"a":1e999}',
    '{"a":"\\ud800"}',
    "[" * 65 + "]" * 65,
    "9" * 5000,
)


def strictly(text: str) -> Any:
    try:
        return from_json(text)
    except Refusal:
        return None


@given(VALUES, st.booleans(), st.booleans())
def test_what_it_reads_is_what_the_strict_reader_reads(value: Any, close: bool, plain: bool) -> None:
    text = json.dumps(value, ensure_ascii=plain, separators=(",", ":") if close else None)
    if "\\ud" in text or not text.isprintable():
        text = text.encode("utf-8", "ignore").decode()
    found = read_quickly(text.encode("utf-8", "ignore"))
    assert found is None or repr(found) == repr(strictly(text))


@given(st.text(alphabet='{}[]",:\\u0019eE+-.ntaf \x00é', max_size=30))
def test_what_is_no_json_it_leaves_to_the_strict_reader(text: str) -> None:
    found = read_quickly(text.encode())
    assert found is None or repr(found) == repr(strictly(text))


@pytest.mark.parametrize("text", BROKEN)
def test_it_takes_nothing_that_the_strict_reader_refuses(text: str) -> None:
    assert read_quickly(text.encode()) is None


def test_it_reads_what_a_phone_writes(phone: Phone) -> None:
    entry = {**phone.entry(), "note": 'é “Ø 50,8” \t \\ " / 0.1'}
    text = json.dumps(entry, ensure_ascii=False, separators=(",", ":"))
    assert read_quickly(text.encode()) == entry
