"""What the commands share: how they say no, and words that several of them take."""

import argparse


class Unable(Exception):
    """What a command cannot do, in one sentence for the person at the terminal."""


def shown(text: object) -> str:
    """What came from elsewhere, for a terminal: its control characters would be commands there."""
    return "".join(sign if sign.isprintable() or sign == "\n" else "\ufffd" for sign in str(text))


def port_number(text: str) -> int:
    number = int(text) if text.isascii() and text.isdigit() else 0
    if not 1 <= number <= 65535:
        raise argparse.ArgumentTypeError("a port is a number from 1 to 65535")
    return number
