"""Where a shop's data lives and how the server is reached."""

import os
import re
import sys
from collections.abc import Mapping
from dataclasses import dataclass
from importlib.util import find_spec
from pathlib import Path

from sqlalchemy import URL, make_url

PORT = 8765
HOST = "127.0.0.1"
PACKAGE = Path(__file__).resolve().parent
CHECKOUT = PACKAGE.parents[1]
# An entry of 10 MB has to arrive to be held back (LG6); more than this in one request is refused.
MAX_BODY = 32 * 1024 * 1024
MAX_BLOB = 1024 * 1024


@dataclass(frozen=True)
class Settings:
    """`data`: folder of the database, blobs and lock. `database`: SQLAlchemy URL. `web`: the built client."""

    data: Path
    database: str
    web: Path = PACKAGE / "web"
    daily_backup: bool = True
    days_kept: int = 7
    weeks_kept: int = 4
    #: Where backups go instead of a folder among the data: on another disk they outlive this one.
    backup_folder: Path | None = None
    #: Served beyond this machine: only devices that have joined and people who have signed in are let in.
    network: bool = False

    @property
    def blobs(self) -> Path:
        return self.data / "blobs"

    @property
    def uploads(self) -> Path:
        """Beginnings of photos: what a phone sends goes on after a cut."""
        return self.data / "uploads"

    @property
    def backups(self) -> Path:
        return self.backup_folder or self.data / "backups"

    @property
    def keys(self) -> Path:
        """Private keys of the shop's server, readable by their owner alone; no backup and no export holds them."""
        return self.data / "keys"

    @property
    def erased(self) -> Path:
        """Ids of erased customers: a restored backup that is older may not bring them back."""
        return self.data / "erased.txt"

    @property
    def open_lock(self) -> Path:
        """Held by whoever has the folder open; see `keeping/open_shop.py`."""
        return self.data / "open.lock"

    @property
    def write_lock(self) -> Path:
        return self.data / "write.lock"

    @property
    def on_sqlite(self) -> bool:
        return make_url(self.database).get_backend_name() == "sqlite"


def settings(environ: Mapping[str, str] = os.environ) -> Settings:
    """Settings of this process: STANDBOOK_DATA, STANDBOOK_DATABASE, STANDBOOK_BACKUPS (a folder),
    STANDBOOK_DAILY_BACKUP (on or off), STANDBOOK_KEEP_DAYS, STANDBOOK_KEEP_WEEKS. Raises Misset."""
    data = data_folder(environ)
    backups = environ.get("STANDBOOK_BACKUPS")
    return Settings(
        data,
        database_url(environ, data),
        daily_backup=on_or_off(environ, "STANDBOOK_DAILY_BACKUP"),
        days_kept=how_many(environ, "STANDBOOK_KEEP_DAYS", 7),
        weeks_kept=how_many(environ, "STANDBOOK_KEEP_WEEKS", 4),
        backup_folder=Path(backups).expanduser().resolve() if backups else None,
    )


class Misset(Exception):
    """A setting that cannot be, in one sentence."""


def on_or_off(environ: Mapping[str, str], name: str) -> bool:
    said = environ.get(name, "on").strip().lower()
    if said not in ("on", "off"):
        raise Misset(f"{name} is either on or off, not {said}.")
    return said == "on"


def how_many(environ: Mapping[str, str], name: str, usual: int) -> int:
    said = environ.get(name, str(usual)).strip()
    if not (said.isascii() and said.isdigit() and len(said) <= 4):
        raise Misset(f"{name} is a number of backups, 0 or more, not {said}.")
    return int(said)


def database_url(environ: Mapping[str, str], data: Path) -> str:
    """STANDBOOK_DATABASE, by the driver that we bring; else SQLite in the data folder. Raises Misset."""
    given = environ.get("STANDBOOK_DATABASE")
    if not given:
        return sqlite_url(data)
    url = re.sub(r"^postgres(ql)?://", "postgresql+psycopg://", given)
    if not url.startswith(("postgresql+psycopg://", "sqlite:///")):
        raise Misset("STANDBOOK_DATABASE is the address of a PostgreSQL database: postgresql://USER@HOST/NAME.")
    if url.startswith("postgresql") and find_spec("psycopg") is None:
        raise Misset("STANDBOOK_DATABASE wants PostgreSQL's driver. Run: pip install 'standbook[postgresql]'")
    return url


def sqlite_url(data: Path) -> str:
    return URL.create("sqlite", database=str(data / "standbook.db")).render_as_string()


def data_folder(environ: Mapping[str, str]) -> Path:
    """STANDBOOK_DATA; in a checkout its `.standbook`; else the platform's folder for a user's data."""
    if environ.get("STANDBOOK_DATA"):
        return Path(environ["STANDBOOK_DATA"]).expanduser().resolve()
    if (CHECKOUT / "pyproject.toml").is_file():
        return CHECKOUT / ".standbook"
    return user_data_folder(sys.platform, environ, Path.home())


def user_data_folder(platform: str, environ: Mapping[str, str], home: Path) -> Path:
    if platform == "win32":
        return Path(environ.get("LOCALAPPDATA") or home / "AppData" / "Local") / "Standbook"
    if platform == "darwin":
        return home / "Library" / "Application Support" / "Standbook"
    return Path(environ.get("XDG_DATA_HOME") or home / ".local" / "share") / "standbook"


def prepare(folder: Path) -> None:
    """Makes the data folder: nobody else's to read, and never part of a commit."""
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    ignore = folder / ".gitignore"
    if not ignore.exists():
        ignore.write_text("*\n", encoding="utf-8")
