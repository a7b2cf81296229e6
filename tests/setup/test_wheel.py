"""The wheel, by which a shop installs Standbook without a checkout."""

import subprocess
import sys
import zipfile
from pathlib import Path

from bootstrap.paths import ROOT


def test_the_wheel_carries_the_built_client_so_that_its_user_needs_no_node(tmp_path: Path) -> None:
    pip = [sys.executable, "-m", "pip", "wheel", "--quiet", "--no-deps", "--no-build-isolation"]
    subprocess.run([*pip, "--wheel-dir", tmp_path, ROOT], check=True, capture_output=True)
    (wheel,) = tmp_path.glob("standbook-*.whl")
    with zipfile.ZipFile(wheel) as packed:
        names = packed.namelist()
    assert "standbook/web/index.html" in names
    assert any(name.startswith("standbook/web/assets/trade-") and name.endswith(".pack") for name in names)
    assert "standbook/migrations/env.py" in names
    assert "seed_demo/__init__.py" in names
    service = {name for name in names if name.startswith("standbook/network/service/")}
    assert {name.rpartition("/")[2] for name in service} == {
        "standbook.service",
        "standbook.plist",
        "standbook-task.xml",
    }
