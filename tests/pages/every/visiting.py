"""How a test of every page calls on one."""

from dataclasses import dataclass
from typing import Any

from playwright.sync_api import Page, Response

from tests.browser_support import Watch
from tests.pages.permission_row import Row
from tests.pages.permission_world import address

# Three loads share the server and the cores of the computer.
PATIENCE_MS = 60_000


@dataclass
class Screen:
    """A page on one screen, and what must not happen on it."""

    page: Page
    watch: Watch
    response: Response | None = None

    def set_out(self, row: Row, rows: dict[str, Any]) -> None:
        """Ask for the page; what it makes of the answer goes on by itself."""
        self.watch.taken()
        where = self.watch.host + address(row, rows)
        self.response = self.page.goto(where, wait_until="commit", timeout=PATIENCE_MS)

    def arrive(self) -> None:
        """Wait for its panels and charts, and see that nothing broke."""
        self.page.wait_for_load_state("networkidle", timeout=PATIENCE_MS)
        assert self.response is not None
        assert self.response.status == 200
        assert self.page.locator("h1").count() == 1
        assert self.watch.taken() == ""


def visit(screen: Screen, row: Row, rows: dict[str, Any]) -> Page:
    """The page of the row on this screen, whole."""
    screen.set_out(row, rows)
    screen.arrive()
    return screen.page
