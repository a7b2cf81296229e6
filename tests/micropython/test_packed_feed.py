"""Entries that the client packs together come out as their devices wrote them, whatever stands in them."""

import json
import subprocess
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from standbook.config import CHECKOUT
from standbook.trade import calls, packing
from standbook.trade.entry import Entry, entry_of
from tests.micropython import Brain
from tests.micropython.brain import node
from tests.trade.book_maker import BUILD, BookMaker

HOST = CHECKOUT / "webclient" / "src" / "brain" / "host.js"
#: More than the client sends one by one.
MANY = 60
SCRIPT = f"""
import {{ readFileSync }} from 'node:fs'
import {{ feedText }} from '{HOST.as_uri()}'
const books = JSON.parse(readFileSync(0, 'utf8'))
process.stdout.write(JSON.stringify(books.map((entries) => feedText('{BUILD}', entries))))
"""
#: Words for an entry that reading and writing again would alter, or that are odd in another way.
ODD = (
    '{"v": 1, "n": 1.0}',
    '{"v": 1, "n": 1e3}',
    '{"v": 1, "n": [2.50]}',
    '{"v": 1, "n": 12345678901234567890}',
    '{"v": 1, "n": -0}',
    '{"v": 1, "text": "\\ud83d\\ude00 \\u0041"}',
    '{"v": 1, "text": "half \\ud83d"}',
    '{"v": 1, "__proto__": {"v": 2}, "7": "seven", "constructor": null}',
    '{"v": 1, "text": "1.5, 2.5: \\"3.5\\", [4.5", "deep": {"deeper": [{"v": [null, true, {}]}, []]}}',
    '{ "v" :1 , "text":"Ø 65 µm \\n" }',
    '{"v": 1, "v": 2}',
)


def asked(books: list[list[dict[str, Any]]]) -> list[str]:
    """The question that the client asks for each book: its own code, in Node."""
    words = [node(), "--input-type=module", "-e", SCRIPT]
    done = subprocess.run(words, input=json.dumps(books), capture_output=True, text=True, check=True)
    questions: list[str] = json.loads(done.stdout)
    return questions


def with_body(at: int, body: str) -> str:
    head = {"id": f"odd-{at}", "build": BUILD, "kind": "note", "step": None, "place": None, "why": None}
    more = {"person": "mara", "device": "odd", "device_no": at, "made_at": "2026-11-25T08:00:00.000Z", "seen": 0}
    return json.dumps(head | more)[:-1] + ', "body": ' + body + "}"


def taken(question: str) -> dict[tuple[str, int | None], str]:
    """What the brain reads out of a question, by id and number, as text that tells 1 from 1.0."""
    read = json.loads(question)
    found = [entry_of(data, seq) for data, seq in zip(read["read"], read["seqs"], strict=True)]
    found += packing.entries(read["packed"]) if "packed" in read else []
    return {(entry.id, entry.seq): told(entry) for entry in found}


def told(entry: Entry) -> str:
    """All that an entry says, fields by name."""
    return repr([(field, in_order(getattr(entry, field))) for field in Entry._fields])


def in_order(value: Any) -> Any:
    if isinstance(value, dict):
        return [(key, in_order(value[key])) for key in sorted(value)]
    return [in_order(one) for one in value] if isinstance(value, list) else value


def written(texts: list[str]) -> list[dict[str, Any]]:
    return [{"text": text, "seq": None if at % 7 == 0 else at} for at, text in enumerate(texts)]


def assert_whole(books: list[list[dict[str, Any]]]) -> None:
    for entries, question in zip(books, asked(books), strict=True):
        as_written = {}
        for entry in entries:
            data = json.loads(entry["text"])
            as_written[(data["id"], entry["seq"])] = told(entry_of(data, entry["seq"]))
        assert taken(question) == as_written


def test_odd_entries_come_out_as_they_were_written() -> None:
    texts = [with_body(at, ODD[at % len(ODD)]) for at in range(MANY)]
    assert_whole([written(texts), written(texts[:3])])


BODIES = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False, allow_infinity=False) | st.text(),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=5), inner, max_size=3),
    max_leaves=6,
)


@settings(max_examples=10)
@given(st.lists(st.dictionaries(st.text(max_size=8), BODIES, max_size=4), min_size=MANY, max_size=MANY), st.booleans())
def test_any_entries_come_out_as_they_were_written(bodies: list[dict[str, Any]], escaped: bool) -> None:
    texts = [with_body(at, json.dumps(body, ensure_ascii=escaped)) for at, body in enumerate(bodies)]
    assert_whole([written(texts)])


def test_most_of_a_book_is_packed_and_reads_alike_on_both_interpreters() -> None:
    maker = BookMaker()
    maker.journals()
    maker.journals(("2.5757", "2.5757", "2.5756", "2.5757"))
    maker.joint()
    for n in range(1, 6):
        maker.bearing(n, "0.0025", "0.0026", "0.0027")
    entries = [{"text": text, "seq": seq} for seq, text in enumerate(maker.texts, 1)]
    (question,) = asked([entries])
    assert len(json.loads(question)["packed"]["seqs"]) == len(entries)
    one_by_one = json.dumps({"build": BUILD, "entries": entries})
    steps = ("journals", "main_bearing_clearance")
    looked = [("state", {}), *(("step", {"step": step}) for step in steps)]
    with Brain() as phone:
        for call in (calls.call, phone.call):
            shown = []
            for opening in (one_by_one, question):
                assert json.loads(call("open", opening)) == {}
                shown.append([json.loads(call(name, json.dumps({"build": BUILD, **more}))) for name, more in looked])
            assert shown[0] == shown[1]


def test_a_text_that_is_not_whole_stays_out_of_the_pack() -> None:
    texts = [with_body(at, '{"v": 1}') for at in range(MANY)]
    cut = '{"id": "cut", "build"'
    (question,) = asked([written([*texts, cut])])
    with pytest.raises(json.JSONDecodeError):
        json.loads(question)
    assert json.loads(calls.call("add", question))["error"]["code"] == "json_broken"
