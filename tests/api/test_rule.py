"""A route's address, written by the route's name."""

from werkzeug.routing import Map, Rule

from standbook.api.rule import Route

PATTERNS = ("/", "/builds/<build>", "/devices/<device>/held/<int:device_no>", "/<path:page>")
WORDS = {"build": "a b", "device": "d-1", "device_no": 7, "page": "a/b.js"}


def test_an_address_is_written_as_werkzeugs_own_rule_writes_it() -> None:
    for pattern in PATTERNS:
        written = []
        for kind in (Route, Rule):
            rule = kind(pattern, endpoint="it")
            at = Map([rule]).bind("shop.example")
            known = {name: value for name, value in WORDS.items() if name in rule.arguments}
            written.append((at.build("it", known), at.build("it", {**known, "more": "x"})))
        assert written[0] == written[1]
