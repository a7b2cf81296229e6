"""Where the shop's server is found: the one origin that phones keep, and the addresses of today."""

from dataclasses import dataclass, field


@dataclass
class Whereabouts:
    """`origin`: name and port under which every phone keeps its book, for ever the same. `addresses`: this machine's in
    the shop's network, which may change over night. `door_port`: of the join page, reached by address; None where a
    proxy of the shop's own domain stands before the server. `fingerprint`: of the shop's certificate authority."""

    origin: str
    name: str = ""
    port: int = 443
    door_port: int | None = None
    fingerprint: str | None = None
    addresses: list[str] = field(default_factory=list)

    def join_address(self, code: str) -> str:
        """What a joining phone opens. The code stands behind the "#", which no browser sends anywhere."""
        plain = code.replace("-", "")
        if self.door_port is None or not self.addresses:
            return f"{self.origin}/join#{plain}"
        return f"http://{bracketed(self.addresses[0])}:{self.door_port}/#{plain}"


def bracketed(address: str) -> str:
    return f"[{address}]" if ":" in address else address
