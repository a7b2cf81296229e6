"""The command that works something out: `standbook reckon NAME KEY='NUMBER UNIT' …`, one calculator by its name.

No book is opened for it. A method that says no is an answer (exit code 0); what cannot be read is one sentence and 2.
"""

import argparse
import json
from typing import Any

from standbook.cli_words import Unable, shown
from standbook.trade.plain import Refusal
from standbook.trade.reckon import listed, reckon

WORDS = "a calculator's name, then its inputs such as stroke='3.75 in'; without any, all calculators are listed"
JSON = "--json"


def add_words(parser: argparse.ArgumentParser) -> None:
    """Everything behind the command's name is taken as it stands, so that --json may come first or last."""
    parser.add_argument(JSON, action="store_true", help="the answer as JSON")
    parser.add_argument("words", nargs=argparse.REMAINDER, metavar="NAME KEY=VALUE …", help=WORDS)


def reckon_as_told(given: argparse.Namespace) -> None:
    """Prints the list of calculators, or one answer. Raises Unable with one sentence for bad input."""
    words = [word for word in given.words if word != JSON]
    as_json = given.json or JSON in given.words
    if not words:
        print(json.dumps(listed()) if as_json else "\n".join(line for one in listed() for line in list_lines(one)))
        return
    answer = answered(words[0], inputs(words[1:]))
    print(json.dumps(answer) if as_json else shown("\n".join(answer_lines(answer))))


def answered(name: str, given: dict[str, str]) -> dict[str, Any]:
    try:
        answer: dict[str, Any] = reckon(name, given)
    except Refusal as refusal:
        if refusal.code == "calculator_unknown":
            raise Unable(f"There is no calculator {one_line(name)}: standbook reckon lists them.") from refusal
        raise Unable(one_line(refusal.message)) from refusal
    return answer


def inputs(words: list[str]) -> dict[str, str]:
    """KEY=VALUE each. Raises Unable for another word, and for a key that stands twice."""
    given: dict[str, str] = {}
    for word in words:
        key, mark, value = word.partition("=")
        if not key or not mark:
            raise Unable(f"{one_line(word)}: an input is KEY='NUMBER UNIT', such as stroke='3.75 in'.")
        if key in given:
            raise Unable(f"{one_line(key)}: given twice, keep one of the two.")
        given[key] = value
    return given


def one_line(text: str) -> str:
    return " ".join(text.split())


def list_lines(one: dict[str, Any]) -> list[str]:
    """A calculator for the eye: its name, what it takes, what it gives."""
    return [
        one["name"],
        *(f"  {field['key']}  {asked(field)}" for field in one["inputs"]),
        *(f"  -> {field['key']}  {measure(field)}" for field in one["outputs"]),
    ]


def measure(field: dict[str, Any]) -> str:
    return " ".join(str(part) for part in (field["kind"], field["unit"]) if part not in (None, "1"))


def asked(field: dict[str, Any]) -> str:
    if field["required"]:
        return measure(field)
    default = field["default"]
    return f"{measure(field)}, may be left out" + ("" if default is None else f": {value_words(default)}")


def answer_lines(answer: dict[str, Any]) -> list[str]:
    if answer.get("refused"):
        return [f"refused: {answer['reason']}"]
    found = [
        f"{key}: {value_words(output['value'])} {output['unit'] if output['unit'] not in (None, '1') else ''}".rstrip()
        for key, output in answer["outputs"].items()
    ]
    return [*found, *(f"source: {source}" for source in answer["sources"]), *answer["cautions"]]


def value_words(value: Any) -> str:
    """Six figures are enough for the eye; --json has them all."""
    if value is None:
        return "-"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return f"{value:.6g}"
    return ", ".join(value_words(item) for item in value) if isinstance(value, list | tuple) else str(value)
