"""Ids that sort by the time they were made: UUID version 7 (RFC 9562)."""

import secrets
import time
import uuid


def uuid7() -> str:
    """48 bits of Unix time in ms, then version, variant and 74 random bits."""
    ms = time.time_ns() // 1_000_000
    value = (ms & (1 << 48) - 1) << 80 | secrets.randbits(80)
    value = value & ~(0xF << 76) | 0x7 << 76
    value = value & ~(0x3 << 62) | 0x2 << 62
    return str(uuid.UUID(int=value))
