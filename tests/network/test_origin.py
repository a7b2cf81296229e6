"""The one origin of a shop, this machine's addresses, and the name in the network."""

from pathlib import Path
from types import SimpleNamespace

import ifaddr
import pytest
import zeroconf

from standbook.network import addresses as finding
from standbook.network import announcing
from standbook.network.addresses import lan_addresses
from standbook.network.announcing import Announcer
from standbook.network.origin import Origin, OtherOrigin, host_name, origin

NOTHING: dict[str, str | int | None] = {"name": None, "port": None, "door_port": None}


def test_the_origin_is_chosen_once_and_kept(tmp_path: Path) -> None:
    first = origin(tmp_path, {**NOTHING, "name": "stand.lan", "port": 9443})
    assert first.address == "https://stand.lan:9443"
    assert origin(tmp_path, NOTHING) == first


def test_another_name_or_port_is_refused_until_the_shop_says_that_it_moves(tmp_path: Path) -> None:
    origin(tmp_path, NOTHING)
    for other in ({"name": "stand.lan"}, {"port": 9443}):
        with pytest.raises(OtherOrigin, match=r"https://standbook\.local:8443"):
            origin(tmp_path, {**NOTHING, **other})
    assert origin(tmp_path, {**NOTHING, "name": "stand.lan"}, move=True).name == "stand.lan"
    assert origin(tmp_path, NOTHING).name == "stand.lan"


def test_the_door_may_move_without_asking(tmp_path: Path) -> None:
    """No phone keeps anything by it."""
    origin(tmp_path, NOTHING)
    assert origin(tmp_path, {**NOTHING, "door_port": 9000}).door_port == 9000


@pytest.mark.parametrize("damage", ["", "{", "[]", '{"name": "x"}'])
def test_a_damaged_note_of_it_is_written_anew(tmp_path: Path, damage: str) -> None:
    (tmp_path / "origin.json").write_text(damage)
    assert origin(tmp_path, NOTHING) == Origin("standbook.local", 8443, 8764)


def test_the_usual_port_of_https_is_not_said() -> None:
    assert Origin("stand.lan", 443, 80).address == "https://stand.lan"


@pytest.mark.parametrize("name", ["", "192.168.1.20", "a b", "-x.local", "x_y.local", "x..local", "a" * 64, "ä.local"])
def test_what_is_no_name_of_a_host_is_refused(name: str) -> None:
    with pytest.raises(ValueError, match="a name such as"):
        host_name(name)


def test_a_name_is_written_in_small_letters() -> None:
    assert host_name(" Stand-2.LOCAL. ") == "stand-2.local"


def test_addresses_that_a_phone_can_use_come_first(monkeypatch: pytest.MonkeyPatch) -> None:
    def adapter(name: str, *ips: str | tuple[str, int, int]) -> SimpleNamespace:
        return SimpleNamespace(name=name, ips=[SimpleNamespace(ip=ip) for ip in ips])

    there = [
        adapter("lo", "127.0.0.1", ("::1", 0, 0)),
        adapter("docker0", "172.17.0.1"),
        adapter("eth0", "10.0.0.5", ("fe80::1", 0, 2), ("fd00::5", 0, 0), "203.0.114.9"),
        adapter("wlan0", "192.168.1.20", "169.254.3.4"),
    ]
    monkeypatch.setattr(ifaddr, "get_adapters", lambda: there)
    assert lan_addresses() == ["192.168.1.20", "10.0.0.5", "203.0.114.9", "fd00::5"]


def test_this_machines_own_are_found() -> None:
    assert not set(finding.lan_addresses()) & {"127.0.0.1", "::1"}


def test_the_name_is_announced_with_all_addresses(monkeypatch: pytest.MonkeyPatch) -> None:
    told: list[zeroconf.ServiceInfo] = []

    class Network:
        def __init__(self, interfaces: list[str]) -> None:
            self.interfaces = interfaces

        def register_service(self, info: zeroconf.ServiceInfo, allow_name_change: bool) -> None:
            told.append(info)

        def close(self) -> None:
            told.clear()

    monkeypatch.setattr(announcing, "Zeroconf", Network)
    announcer = Announcer("standbook.local", 8443)
    assert announcer.announce(["192.168.1.20", "fd00::20"])
    (info,) = told
    assert (info.server, info.port) == ("standbook.local.", 8443)
    assert info.parsed_addresses() == ["192.168.1.20", "fd00::20"]
    announcer.close()
    assert told == []


def test_a_router_name_is_the_routers_to_announce() -> None:
    assert not Announcer("stand.lan", 8443).announce(["192.168.1.20"])


@pytest.mark.parametrize("refusal", [OSError, zeroconf.NonUniqueNameException])
def test_a_network_that_does_not_take_the_name_is_lived_with(
    monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture, refusal: type[Exception]
) -> None:
    def refuse(interfaces: list[str]) -> None:
        raise refusal("no multicast here")

    monkeypatch.setattr(announcing, "Zeroconf", refuse)
    assert not Announcer("standbook.local", 8443).announce(["192.168.1.20"])
    assert "no multicast here" in caplog.text
