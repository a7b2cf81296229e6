"""A thumb on the pad: touches as a screen reports them, and nothing besides.

The browser tests' hand looks a key up before each tap and listens for where the tap lands: both run in the slowed-down
page, in the very moment that is measured.
"""

from playwright.sync_api import Page

from tests.browser.stand import PAD

KEYS = "0123456789.<"
#: How long a quick thumb stays on a key.
DOWN_MS = 60


class Thumb:
    """Where the keys are is looked up once: the pad never moves."""

    def __init__(self, page: Page) -> None:
        self.page = page
        self.screen = page.context.new_cdp_session(page)
        self.keys = {key: self.middle(PAD.get(key, key)) for key in KEYS}

    def middle(self, name: str) -> dict[str, float]:
        box = self.page.get_by_role("button", name=name, exact=True).bounding_box()
        assert box is not None, f"no key {name} on the page"
        return {"x": box["x"] + box["width"] / 2, "y": box["y"] + box["height"] / 2}

    def press(self, key: str) -> None:
        self.screen.send("Input.dispatchTouchEvent", {"type": "touchStart", "touchPoints": [self.keys[key]]})
        self.page.wait_for_timeout(DOWN_MS)
        self.screen.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})
