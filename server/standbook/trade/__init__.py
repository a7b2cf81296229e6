"""The brain: trade knowledge of an engine shop, pure Python, the same files on the server and on the phone."""

VERSION = "2026.11.2"
