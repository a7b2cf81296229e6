"""Where things lie in a checkout."""

from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
VENV = ROOT / ".venv"
REQUIREMENTS = ROOT / "server" / "requirements"
TRADE = ROOT / "server" / "standbook" / "trade"
CLIENT = ROOT / "webclient"
WEB = ROOT / "server" / "standbook" / "web"
