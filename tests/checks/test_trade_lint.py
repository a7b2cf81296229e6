"""The trade lint: the package is clean, and each rule catches what it is there for."""

from pathlib import Path

import pytest

from tests.checks import trade_lint

PLANTED = {
    "sorted": "order = sorted(values)\n",
    "sorted as a key function": "order = use(sorted)\n",
    "sort": "values.sort()\n",
    "sum": "whole = sum(values)\n",
    "round": "shown = round(x, 4)\n",
    "float": "value = float(typed)\n",
    "format": "shown = format(x, '.4f')\n",
    "number-format": "shown = f'{x:.4f}'\n",
    "number-format with a width": "shown = f'{x:6}'\n",
    "number-format with a computed width": "shown = f'{x:{width}}'\n",
    "number-format by percent": "shown = '%.4f in' % x\n",
    "number-format by percent on an f-string": "shown = f'{a} %s' % x\n",
    "number-format by method": "shown = '{:.4f}'.format(x)\n",
    "number-format by a method on a name": "shown = pattern.format(x)\n",
    "dict-order": "for key, value in rows.items():\n    show(key)\n",
    "dict-order of values": "shown = [show(x) for x in rows.values()]\n",
    "dict-order of a list": "names = list(rows.keys())\n",
    "dict-order of a join": "text = ', '.join({'a', 'b'})\n",
    "dict-order of a name": "rows = {}\nfor key in rows:\n    show(key)\n",
    "dict-order of an attribute": (
        "class A:\n    def __init__(self):\n        self.rows = {}\n"
        "    def all(self):\n        return [r for r in self.rows]\n"
    ),
    "dict-order of a set": "for x in set(names) - {'a'}:\n    show(x)\n",
    "dict-order of a keyed minimum": "best = min(rows.items(), key=second)\n",
    "dict-order of a float sum": "whole = plain.total(rows.values())\n",
    "dict-order of arguments": "show(*rows.values())\n",
    "dict-order of a generator": "def all(rows):\n    yield from rows.values()\n",
    "import": "import re\n",
    "import of json": "import json\n",
    "import from": "from typing import Any\n",
    "import of data classes": "from dataclasses import dataclass\n",
    "import of enum": "import enum\n",
    "import of the future": "from __future__ import annotations\n",
    "import by full name": "from standbook.trade import plain\n",
    "import of an absent function": "from math import hypot\n",
    "import of an absent class": "from collections import Counter\n",
    "isinstance-int": "ok = isinstance(x, int)\n",
    "isinstance-int in a tuple": "ok = isinstance(x, (int, str))\n",
    "isinstance-int in a union": "ok = isinstance(x, int | float)\n",
    "syntax": "match x:\n    case 1:\n        pass\n",
    "syntax positional-only": "def f(a, /, b):\n    return a + b\n",
    "syntax starred list": "both = [*a, b]\n",
    "syntax starred tuple": "both = *a, b\n",
    "syntax starred set": "both = {*a, b}\n",
    "syntax starred dict": "both = {**a}\n",
    "syntax annotation": "rows: list[str] = []\n",
    "syntax annotation in a class": "class A:\n    rows: dict[str, int]\n",
    "syntax async def": "async def f():\n    pass\n",
    "syntax async for": "async def f():\n    return [x async for x in y]\n",
    "syntax except star": "try:\n    f()\nexcept* ValueError:\n    pass\n",
    "syntax metaclass": "class A(metaclass=B):\n    pass\n",
    "absent": "away = math.hypot(x, y)\n",
    "absent fsum": "whole = math.fsum(values)\n",
    "absent dist": "away = math.dist(a, b)\n",
    "absent zfill": "text = text.zfill(4)\n",
    "absent title": "text = text.title()\n",
    "absent removeprefix": "text = text.removeprefix('a')\n",
    "absent rjust": "text = text.rjust(4)\n",
    "absent _asdict": "row = reading._asdict()\n",
    "absent _replace": "row = reading._replace(a=1)\n",
    "absent __init__ of a native class": (
        "class A(Exception):\n    def __init__(self, x):\n        Exception.__init__(self, x)\n"
    ),
    "isdigit": "ok = text.isdigit()\n",
    "bare-strip": "text = text.strip()\n",
    "bare-strip by split": "parts = text.split()\n",
    "recursion": "def walk(x):\n    return walk(x - 1)\n",
    "recursion of a method": "class A:\n    def walk(self, x):\n        return self.walk(x - 1)\n",
    "impure": "print(x)\n",
    "mark-without-reason": "rows = {}\nfor key in rows:  # any order:\n    rows[key] = 1\n",
    "mark-without-need": "for key in names:  # any order: each is looked at alone\n    show(key)\n",
}

CLEAN = {
    "order through plain": "order = plain.in_order(rows.items(), key=first)\n",
    "a comprehension that plain orders": "order = plain.in_order(x for x in rows.values() if x)\n",
    "a dict made from a dict": "copy = {key: 1 for key in rows.keys()}\n",
    "counting a dict": "count = len(rows.values())\n",
    "a question to a dict": "ok = any(x > 0 for x in rows.values())\n",
    "the smallest value": "least = min(rows.values())\n",
    "a marked walk": "rows = {}\nfor key in rows:  # any order: each is dropped alone\n    drop(key)\n",
    "a list of pairs": "pairs = [('a', 1)]\nfor name, x in pairs:\n    show(name)\n",
    "text without a number format": "text = f'{name}: {plain.number_text(x, 4)} {unit!r}'\n",
    "a remainder": "rest = angle % 720\n",
    "a named float": "most = float('inf')\n",
    "math that both have": "import math\nfrom collections import namedtuple\nx = math.sqrt(2.0)\n",
    "relative imports": "from . import plain\nfrom .judge import verdict\nfrom .. import quantity\n",
    "an exact type": "ok = type(x) is int\n",
    "isinstance of a class": "ok = isinstance(x, dict)\n",
    "annotations of functions": "def f(x: float | None, *, low: list[float]) -> dict[str, float]:\n    return {}\n",
    "super of a native class": ("class A(Exception):\n    def __init__(self, x):\n        super().__init__(x)\n"),
    "a dict of another function": ("def f():\n    rows = {}\n    return rows\n\ndef g(rows):\n    return list(rows)\n"),
    "another's field of a dict's name": (
        "class A:\n    def __init__(self):\n        self.uses = {}\n\ndef f(x):\n    return list(x.uses)\n"
    ),
    "a field that is named like a method": "text = step.title\nkey = row.sort\n",
    "a plain variable annotation": "count: int = 0\n",
    "unpacking into names": "first, *rest = values\n",
    "star arguments": "def f(*args, **words):\n    return g(*args, **words)\n",
    "strip with characters": "text = text.strip(' ')\n",
    "another module's function of the same name": "def mean(values):\n    return plain.mean(values)\n",
    "a method that calls a function of its name": "class A:\n    def add(self, x):\n        return add(x)\n",
}


def rules_found(source: str, name: str = "planted.py") -> list[str]:
    return [found.rule for found in trade_lint.lint_text(source, Path(name))]


def test_the_trade_package_is_free_of_what_the_interpreters_do_apart() -> None:
    assert [str(found) for found in trade_lint.lint_package()] == []


@pytest.mark.parametrize("case", PLANTED)
def test_a_planted_fault_is_found_by_its_own_rule_and_no_other(case: str) -> None:
    assert set(rules_found(PLANTED[case])) == {case.partition(" ")[0]}


@pytest.mark.parametrize("case", CLEAN)
def test_a_clean_line_is_left_alone(case: str) -> None:
    assert rules_found(CLEAN[case]) == []


def test_every_planted_fault_names_its_line() -> None:
    source = "import math\n\n\ndef f(x):\n    return round(x)\n"
    assert [found.line for found in trade_lint.lint_text(source, Path("planted.py"))] == [5]


@pytest.mark.parametrize(
    "source", ["import json\n", "x = sorted(y)\n", "x = round(y)\n", "x = f'{y:.2f}'\n", "x = isinstance(y, int)\n"]
)
def test_plain_alone_may_use_what_it_makes_alike(source: str) -> None:
    assert rules_found(source, "plain.py") == []
    assert rules_found(source, "judge.py") != []


@pytest.mark.parametrize("source", ["import re\n", "x = {**y}\n", "x = y.strip()\n", "x = y.zfill(2)\n"])
def test_plain_is_not_free_of_what_the_phone_lacks(source: str) -> None:
    assert rules_found(source, "plain.py") != []


def test_a_dict_of_another_module_of_the_package_is_known_where_it_is_walked(tmp_path: Path) -> None:
    (tmp_path / "table.py").write_text("ROWS = {'a': 1}\n", encoding="utf-8")
    (tmp_path / "by_name.py").write_text("from .table import ROWS\n\nx = [r for r in ROWS]\n", encoding="utf-8")
    (tmp_path / "by_module.py").write_text("from . import table\n\nx = list(table.ROWS)\n", encoding="utf-8")
    found = [(each.path.name, each.rule) for each in trade_lint.lint_package(tmp_path)]
    assert found == [("by_module.py", "dict-order"), ("by_name.py", "dict-order")]


def test_the_command_prints_each_finding_and_fails(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "bad.py").write_text("x = sorted(y)\n", encoding="utf-8")
    findings = trade_lint.lint_package(tmp_path)
    monkeypatch.setattr(trade_lint, "lint_package", lambda: findings)
    assert trade_lint.main() == 1
    assert "bad.py:1: sorted: use plain.in_order" in capsys.readouterr().out
