"""This machine's addresses in the shop's network."""

import ipaddress

import ifaddr

#: Adapters that lead to no phone: containers and virtual machines of this machine.
INWARD = ("docker", "br-", "veth", "virbr", "vmnet", "vbox")


def lan_addresses() -> list[str]:
    """Those of the usual home and shop networks first: what stands at the front goes into the QR code.

    IPv6 link-local ones need a zone, which no browser takes.
    """
    found = [
        ipaddress.ip_address(ip.ip if isinstance(ip.ip, str) else ip.ip[0])
        for adapter in ifaddr.get_adapters()
        if not adapter.name.lower().startswith(INWARD)
        for ip in adapter.ips
    ]
    usable = {one for one in found if not (one.is_loopback or one.is_link_local or one.is_multicast)}
    return [str(one) for one in sorted(usable, key=unlikely)]


def unlikely(address: ipaddress.IPv4Address | ipaddress.IPv6Address) -> tuple[bool, bool, bool, int]:
    """Sorts what a phone can least use to the end."""
    return address.version == 6, not address.is_private, not str(address).startswith("192.168."), int(address)
