"""A phone as the world knows it: whose it is, where it is, which tabs are open."""

from dataclasses import dataclass, field


@dataclass
class Phone:
    """`name`: one letter; its tabs are called A1, A2, … `client`: today, newer or previous."""

    name: str
    person: str
    mode: str = "stand"
    client: str = "today"
    #: Its browser packs what it sends, and takes packed replies.
    packs: bool = False
    in_reach: bool = True
    pages: set[str] = field(default_factory=set)
    opened: int = 0
    cookies: dict[str, str] = field(default_factory=dict)
    full: bool = False
    #: What is half typed, by field, as far as the phone said that it is kept; None: made good by an entry.
    drafts: dict[str, str | None] = field(default_factory=dict)

    #: Who it was when it was cleared: it has to say so.
    cleared_as: str | None = None
    #: What it was then as well, perhaps: nobody had heard of an entry of that name.
    cleared_unheard: str | None = None
    #: Drafts at the time of the phone's own backup; None: it has none.
    saved: dict[str, str | None] | None = None

    def cookie_header(self) -> dict[str, str]:
        text = "; ".join(f"{name}={value}" for name, value in self.cookies.items())
        return {"cookie": text} if text else {}

    def take_cookie(self, header: str | None) -> None:
        if not header:
            return
        name, _, value = header.partition(";")[0].partition("=")
        if value and "Max-Age=0" not in header:
            self.cookies[name] = value
        else:
            self.cookies.pop(name, None)
