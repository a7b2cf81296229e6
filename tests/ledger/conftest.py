"""The test shop's fixtures."""

from tests.ledger.kit import book, phone, template

__all__ = ["book", "phone", "template"]
