"""Runs named tests of the server on a copy of its sources with a fault in it: `python_trials`, started in the copy.

One trial a line comes in, its verdicts go out as a line. What the tests need and we did not write is imported once;
each trial is a fork of this process, so that nothing of one reaches the next.
"""

import importlib
import json
import os
import signal
import sys
import traceback
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

OURS = ("standbook", "seed_demo", "bootstrap", "tests")
FOREIGN = (
    "alembic", "argon2", "flask", "flask_migrate", "flask_smorest", "flask_sqlalchemy", "hypothesis", "marshmallow",
    "msgspec", "PIL.Image", "PIL.ImageOps", "PIL.JpegImagePlugin", "sqlalchemy.dialects.sqlite",
)  # fmt: skip
#: A fault may let a test wait for ever; a whole file of tests on a busy machine may take one minute.
MOST_SECONDS = 120
#: Plugins among what was imported once are of no interest to what pytest rewrites.
IMPORTED = "ignore:Module already imported:pytest.PytestAssertRewriteWarning"
#: What pytest itself says; anything else is a trial that came to nothing.
RAN = (pytest.ExitCode.OK, pytest.ExitCode.TESTS_FAILED)

Verdict = dict[str, Any]


#: What the ledger's tests are called on the second database: run there only where a test is named with it.
SECOND = "postgresql"


class Recorder:
    """What became of each test. `errors`: what it failed with; `broke`: it failed outside its own steps."""

    def __init__(self, tests: list[str]) -> None:
        self.verdicts: dict[str, Verdict] = {}
        self.asked = [test for test in tests if SECOND in test]

    def pytest_collection_modifyitems(self, items: list[pytest.Item]) -> None:
        items[:] = [item for item in items if SECOND not in item.nodeid or item.nodeid in self.asked]

    @pytest.hookimpl(wrapper=True)
    def pytest_runtest_makereport(self, item: pytest.Item, call: pytest.CallInfo[None]) -> Any:
        report = yield
        verdict = self.verdicts.setdefault(item.nodeid, {"state": "passed", "errors": []})
        if call.excinfo is not None:
            verdict["state"] = "failed" if call.when == "call" else "broke"
            verdict["errors"].append(f"{kind_of(call.excinfo)}: {call.excinfo.value}"[:300])
        return report


def kind_of(error: pytest.ExceptionInfo[BaseException]) -> str:
    """An assertion, also the ones that are not called so: `pytest.raises`, and a test's own line that takes an answer
    apart, such as `(one,) = answers`. What is raised by the code under test is called what it is."""
    said = isinstance(error.value, (AssertionError, pytest.fail.Exception))
    own = Path(str(error.traceback[-1].path)).name.startswith("test_")
    return "AssertionError" if said or own else type(error.value).__name__


def from_elsewhere() -> list[str]:
    """Modules of ours that do not come from this copy: then the trial would be of other sources."""
    here = str(Path.cwd())
    loaded = [(name, module) for name, module in sys.modules.items() if name.split(".")[0] in OURS]
    files = {name: getattr(module, "__file__", None) for name, module in loaded}
    return [name for name, file in files.items() if file and not file.startswith(here)]


def run(tests: list[str]) -> Verdict:
    recorder = Recorder(tests)
    words = ["-q", "-p", "no:cacheprovider", "--no-header", "--rootdir", str(Path.cwd()), "-W", IMPORTED, *tests]
    code = pytest.main(words, plugins=[recorder])
    if strangers := from_elsewhere():
        return {"trouble": f"not from the copy: {strangers}"}
    if code not in RAN:
        return {"trouble": f"pytest ended with {code!r}"}
    return {"tests": recorder.verdicts}


def forked(work: Callable[[], Verdict]) -> Verdict:
    """What `work` gives in a fork of this process. The fork's own words go to the standard error."""
    reading, writing = os.pipe()
    child = os.fork()
    if child == 0:
        os.close(reading)
        end(work, writing)
    os.close(writing)
    with os.fdopen(reading, encoding="utf-8") as told:
        text = told.read()
    os.waitpid(child, 0)
    return dict(json.loads(text)) if text else {"trouble": "the trial ended without a word, or took too long"}


def end(work: Callable[[], Verdict], writing: int) -> None:
    """The life of a fork. Whatever happens in it, it never comes back into its parent's work."""
    try:
        signal.alarm(MOST_SECONDS)
        os.dup2(2, 1)
        with os.fdopen(writing, "w", encoding="utf-8") as out:
            json.dump(work(), out)
    except BaseException:  # noqa: BLE001 - whatever ends a trial is told, and ends here
        traceback.print_exc()
    finally:
        os._exit(0)


def trial(job: Verdict) -> Verdict:
    """`files`: the texts with a fault in them, by path. The copy is whole again afterwards."""
    whole = {path: Path(path).read_text(encoding="utf-8") for path in job["files"]}
    write(job["files"])
    try:
        return forked(lambda: run(job["tests"]))
    finally:
        write(whole)


def write(texts: dict[str, str]) -> None:
    for path, text in texts.items():
        Path(path).write_text(text, encoding="utf-8")


def main() -> None:
    # Sources with a fault must leave no compiled file behind that the next trial would take for whole.
    sys.dont_write_bytecode = True
    os.environ["PYTHONDONTWRITEBYTECODE"] = "1"
    for name in FOREIGN:
        importlib.import_module(name)
    for line in sys.stdin:
        print(json.dumps(trial(json.loads(line))), flush=True)  # noqa: T201 - this is how it answers


if __name__ == "__main__":
    main()
