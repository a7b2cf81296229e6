"""What a phone wants before it installs an app, and what the server sends along with every page."""

import json
import struct

import pytest

from tests.browser.pocket import Pocket
from tests.browser.shop import Shop

PNG = b"\x89PNG\r\n\x1a\n"


def png_size(content: bytes) -> str:
    """Width and height of a PNG as a manifest writes them. Source: PNG specification (ISO/IEC 15948), IHDR."""
    assert content[:8] == PNG
    width, height = struct.unpack(">II", content[16:24])
    return f"{width}x{height}"


def test_chromium_finds_nothing_that_keeps_the_stand_from_being_installed(phone: Pocket) -> None:
    page = phone.open()
    page.evaluate("navigator.serviceWorker.ready.then(() => true)")
    browser = phone.context.new_cdp_session(page)
    assert browser.send("Page.getInstallabilityErrors")["installabilityErrors"] == []
    manifest = browser.send("Page.getAppManifest")
    assert manifest["errors"] == []
    assert manifest["url"].endswith("/manifest.webmanifest")


def test_the_manifest_names_what_installing_wants(shop: Shop) -> None:
    """Web Application Manifest (W3C); the 192 and 512 px icons are what Chromium asks for (from memory)."""
    content, headers = shop.file("/manifest.webmanifest")
    manifest = json.loads(content)
    assert headers["content-type"] == "application/manifest+json"
    assert manifest["name"]
    assert manifest["short_name"]
    assert manifest["start_url"] == manifest["scope"] == manifest["id"] == "/"
    assert manifest["display"] == "standalone"
    assert {"192x192", "512x512"} <= {icon["sizes"] for icon in manifest["icons"]}
    assert "maskable" in {icon.get("purpose") for icon in manifest["icons"]}


def test_every_icon_exists_and_has_the_size_that_the_manifest_says(shop: Shop) -> None:
    for icon in json.loads(shop.text("/manifest.webmanifest"))["icons"]:
        content, headers = shop.file(icon["src"])
        assert headers["content-type"] == icon["type"]
        assert icon["sizes"] == ("any" if icon["type"] == "image/svg+xml" else png_size(content))


@pytest.mark.parametrize("path", ["/", "/desk", "/build/some-build/step/solid_lash"])
def test_every_page_comes_with_a_policy_that_lets_in_no_foreign_script(shop: Shop, path: str) -> None:
    policy = shop.file(path)[1]["content-security-policy"]
    rules = {rule.split()[0]: rule.split()[1:] for rule in policy.split(";")}
    assert rules["default-src"] == ["'self'"]
    assert rules["script-src"] == ["'self'", "'wasm-unsafe-eval'"]
    assert rules["object-src"] == rules["base-uri"] == ["'none'"]
