"""Running other programs, and saying so."""

import os
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path

from bootstrap.paths import ROOT, WINDOWS

# What pip, npm and apt print when they cannot reach where packages come from.
NO_NETWORK = (
    "Failed to establish a new connection",
    "NewConnectionError",
    "ConnectTimeoutError",
    "ReadTimeoutError",
    "Temporary failure in name resolution",
    "Temporary failure resolving",
    "Network is unreachable",
    "ENOTFOUND",
    "EAI_AGAIN",
    "ECONNREFUSED",
    "ENETUNREACH",
    "ETIMEDOUT",
)

Command = Sequence[str | Path]


class Trouble(Exception):
    """Why the set-up cannot go on and what to do about it: one sentence for the person at the terminal."""


def say(words: str) -> None:
    print(words, flush=True)


def run(doing: str, command: Command, cwd: Path = ROOT, path: str | None = None) -> None:
    """Says what it is `doing` and runs `command` quietly, with `path` for PATH.

    A failure prints the end of what the program said and raises Trouble; without a network there is
    nothing in that to read, so only the sentence is shown.
    """
    say(f"{doing} ...")
    done = subprocess.run(
        command,
        cwd=cwd,
        env=with_path(path),
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        encoding="utf-8",
        errors="replace",
        check=False,
    )
    if not done.returncode:
        return
    if any(sign in done.stdout for sign in NO_NETWORK):
        raise Trouble(
            f"{doing}: no network, or the package source is out of reach. "
            "Connect this machine and run the same command again."
        )
    print("\n".join(done.stdout.splitlines()[-30:]), file=sys.stderr)
    raise Trouble(f"{doing} failed: its last words are above. Mend that and run the same command again.")


def ask(command: Command) -> str:
    """What `command` prints, or nothing where it fails or does not run."""
    try:
        done = subprocess.run(command, stdin=subprocess.DEVNULL, capture_output=True, check=True, timeout=60)
    except (OSError, subprocess.SubprocessError):
        return ""
    return done.stdout.decode("utf-8", "replace").strip()


def hand_over(command: Command, env: dict[str, str] | None = None) -> int:
    """Goes on as `command`; returns its exit code where the platform cannot replace a process (Windows).

    Replacing keeps signals simple: whoever stops `python3 server` stops the server itself.
    """
    words = [str(word) for word in command]
    sys.stdout.flush()
    if WINDOWS:
        return subprocess.call(words, env=env)
    return os.execve(words[0], words, env or dict(os.environ))


def with_path(path: str | None) -> dict[str, str]:
    """The environment for a child, with `path` for PATH where given."""
    return {**os.environ, "PATH": path} if path else dict(os.environ)
