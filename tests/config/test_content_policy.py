"""The policy that goes out with every page allows no inline code."""

import pytest


@pytest.mark.django_db
@pytest.mark.parametrize("path", ["/login/", "/password/", "/nowhere/", "/health/"])
def test_the_policy_is_sent_and_has_no_way_around(engineer_client, path):
    policy = engineer_client.get(path).headers["Content-Security-Policy"]
    directives = {
        words[0]: words[1:] for words in (part.split() for part in policy.split(";"))
    }
    assert directives["default-src"] == ["'self'"]
    assert directives["script-src"] == ["'self'"]
    assert directives["object-src"] == ["'none'"]
    assert directives["frame-ancestors"] == ["'none'"]
    assert "unsafe" not in policy
    assert "http" not in policy
    allowed = directives["style-src"]
    assert all(part == "'self'" or part.startswith("'sha256-") for part in allowed)
