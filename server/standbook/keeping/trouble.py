"""What keeping cannot do."""


class Trouble(Exception):
    """One sentence for the person at the terminal; nothing was changed."""


class Unreadable(Trouble):
    """The shop's own book cannot be read."""
