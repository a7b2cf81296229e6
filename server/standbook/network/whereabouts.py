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
        doors = self.join_addresses()
        return f"{doors[0]}/#{plain}" if doors else f"{self.origin}/join#{plain}"

    def join_addresses(self) -> list[str]:
        """The join page's, by each of this machine's addresses, the likeliest first."""
        if self.door_port is None:
            return []
        return [f"http://{bracketed(address)}:{self.door_port}" for address in self.addresses]


def bracketed(address: str) -> str:
    return f"[{address}]" if ":" in address else address
