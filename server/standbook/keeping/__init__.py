"""Keeping the book: backups of a running shop, bringing one back, and saying whether everything is whole."""
