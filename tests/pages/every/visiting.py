"""How a test of every page calls on one."""

from tests.pages.permission_world import address


def visit(page, watch, row, rows):
    """Open the page, wait for its panels and charts, and see that nothing broke."""
    watch.taken()
    response = page.goto(address(row, rows), wait_until="networkidle")
    assert response.status == 200
    assert page.locator("h1").count() == 1
    assert watch.taken() == ""
