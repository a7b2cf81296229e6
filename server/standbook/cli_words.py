"""What the commands share: how they say no, and words that several of them take."""

import argparse


class Unable(Exception):
    """What a command cannot do, in one sentence for the person at the terminal."""


def port_number(text: str) -> int:
    number = int(text) if text.isascii() and text.isdigit() else 0
    if not 1 <= number <= 65535:
        raise argparse.ArgumentTypeError("a port is a number from 1 to 65535")
    return number
