"""The files by which the systems of a shop start Standbook by themselves: they parse, and shut what is not needed."""

import configparser
import plistlib
import shutil
import subprocess
import sys
from importlib.resources import files
from pathlib import Path
from xml.etree import ElementTree

from standbook.cli import parser

FOLDER = Path(str(files("standbook.network"))) / "service"
TASK = {"task": "http://schemas.microsoft.com/windows/2004/02/mit/task"}
SYSTEMD = shutil.which("systemd-analyze")


def unit() -> configparser.SectionProxy:
    read = configparser.ConfigParser(strict=False, interpolation=None)
    read.optionxform = str  # type: ignore[assignment,method-assign]
    read.read(FOLDER / "standbook.service", "utf-8")
    return read["Service"]


def is_a_command(words: list[str]) -> None:
    program, *rest = words
    assert program.endswith(("/standbook", "\\standbook.exe"))
    assert parser().parse_args(rest).command


def test_systemd_starts_it_under_an_account_of_its_own_that_may_do_nothing_else() -> None:
    service = unit()
    is_a_command(service["ExecStart"].split())
    assert service["User"] == "standbook"
    assert service["CapabilityBoundingSet"] == ""
    closed = ("NoNewPrivileges", "ProtectHome", "PrivateTmp", "PrivateDevices", "RestrictSUIDSGID", "LockPersonality")
    assert {service[name] for name in closed} == {"yes"}
    assert (service["ProtectSystem"], service["UMask"], service["StateDirectoryMode"]) == ("strict", "0077", "0700")
    assert {"AF_INET", "AF_INET6"} < set(service["RestrictAddressFamilies"].split())
    assert service["StateDirectory"] == "standbook"


def test_systemd_itself_finds_nothing_wrong_where_it_is_installed(tmp_path: Path) -> None:
    """The program's path is the shop's affair; here it is one that exists."""
    copy = tmp_path / "standbook.service"
    text = (FOLDER / "standbook.service").read_text("utf-8")
    copy.write_text(text.replace("/opt/standbook/bin/standbook", sys.executable), "utf-8")
    assert sys.executable in copy.read_text("utf-8")
    if SYSTEMD:
        told = subprocess.run([SYSTEMD, "verify", copy], capture_output=True, text=True, check=False)
        assert [line for line in told.stderr.splitlines() if copy.name in line] == []


def test_launchd_starts_it_at_once_and_again_when_it_failed() -> None:
    said = plistlib.loads((FOLDER / "standbook.plist").read_bytes())
    is_a_command(said["ProgramArguments"])
    assert said["UserName"].startswith("_")
    assert said["Umask"] == 0o077
    assert (said["RunAtLoad"], said["KeepAlive"]) == (True, {"SuccessfulExit": False})


def test_windows_starts_it_with_the_machine_under_an_account_of_few_rights() -> None:
    task = ElementTree.parse(FOLDER / "standbook-task.xml").getroot()
    assert task.find(".//task:BootTrigger", TASK) is not None
    # The well-known id of LocalService.
    assert task.findtext(".//task:UserId", namespaces=TASK) == "S-1-5-19"
    assert task.findtext(".//task:RunLevel", namespaces=TASK) == "LeastPrivilege"
    assert task.findtext(".//task:ExecutionTimeLimit", namespaces=TASK) == "PT0S"
    words = (task.findtext(".//task:Arguments", namespaces=TASK) or "").strip('/c "').split()
    is_a_command(words[-2:])
