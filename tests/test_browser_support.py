"""The watch on browser pages sees what it must, or the page tests prove nothing."""

import pytest
from django.db import connection

pytestmark = pytest.mark.browser


def faults_after(page, watch, script):
    page.goto("/login/")
    page.evaluate(script)
    page.wait_for_timeout(100)
    return watch.taken()


def test_an_inline_script_is_a_fault(page, watch):
    faults = faults_after(
        page,
        watch,
        """() => {
          const script = document.createElement("script");
          script.textContent = "window.ran = true";
          document.head.append(script);
        }""",
    )
    assert "content security policy: script-src" in faults
    assert page.evaluate("window.ran") is None


def test_an_inline_style_is_a_fault(page, watch):
    faults = faults_after(
        page,
        watch,
        "document.body.insertAdjacentHTML('beforeend', '<p style=\"color:red\">x</p>')",
    )
    assert "content security policy: style-src" in faults


def test_a_script_error_is_a_fault(page, watch):
    script = "() => { setTimeout(() => { throw new Error('seal leaks') }) }"
    assert "seal leaks" in faults_after(page, watch, script)


def test_a_request_to_another_host_is_a_fault(page, watch):
    page.route("http://elsewhere.test/*", lambda route: route.abort())
    script = "() => { location.href = 'http://elsewhere.test/' }"
    assert "another host: http://elsewhere.test/" in faults_after(page, watch, script)


def test_the_server_reads_the_database_of_the_test_from_a_file(transactional_db):
    if connection.vendor == "sqlite":
        assert not connection.is_in_memory_db()
