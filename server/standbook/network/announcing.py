"""Telling the shop's network the server's `.local` name, by multicast DNS (RFC 6762)."""

import ipaddress
import logging

from zeroconf import Error, ServiceInfo, Zeroconf

log = logging.getLogger(__name__)
KIND = "_https._tcp.local."


class Announcer:
    """Announces name and addresses until closed. A network that takes no multicast is told of once and lived with."""

    def __init__(self, name: str, port: int) -> None:
        self.name = name
        self.port = port
        self._running: Zeroconf | None = None

    def announce(self, addresses: list[str]) -> bool:
        """Anew with these addresses. False where it is no `.local` name, or the network takes no multicast."""
        self.close()
        if not self.name.endswith(".local") or not addresses:
            return False
        try:
            self._running = Zeroconf(interfaces=[one for one in addresses if ":" not in one] or addresses)
            self._running.register_service(self.service(addresses), allow_name_change=True)
        except (OSError, Error) as error:
            log.warning("the name %s cannot be announced in this network: %s", self.name, error)
            self.close()
            return False
        return True

    def service(self, addresses: list[str]) -> ServiceInfo:
        packed = [ipaddress.ip_address(one).packed for one in addresses]
        label = self.name.removesuffix(".local")
        return ServiceInfo(KIND, f"{label}.{KIND}", port=self.port, addresses=packed, server=f"{self.name}.")

    def close(self) -> None:
        if self._running is not None:
            self._running.close()
            self._running = None
