"""Where a shop's data lives and how the server is reached."""

import os
import re
import sys
from collections.abc import Mapping
from dataclasses import dataclass
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

    @property
    def blobs(self) -> Path:
        return self.data / "blobs"

    @property
    def uploads(self) -> Path:
        """Beginnings of photos: what a phone sends goes on after a cut."""
        return self.data / "uploads"

    @property
    def backups(self) -> Path:
        return self.data / "backups"

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
    """Settings of this process: STANDBOOK_DATA, STANDBOOK_DATABASE, STANDBOOK_DAILY_BACKUP (on or off)."""
    data = data_folder(environ)
    daily = environ.get("STANDBOOK_DAILY_BACKUP", "on") != "off"
    return Settings(data, database_url(environ, data), daily_backup=daily)


def database_url(environ: Mapping[str, str], data: Path) -> str:
    """STANDBOOK_DATABASE, by the driver that we bring; else SQLite in the data folder."""
    given = environ.get("STANDBOOK_DATABASE")
    if not given:
        return sqlite_url(data)
    return re.sub(r"^postgres(ql)?://", "postgresql+psycopg://", given)


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
