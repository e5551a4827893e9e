"""Log-in attempts are counted by the address that our own proxy saw."""

from django.test import RequestFactory

from config.proxy import client_address


def request(**headers):
    return RequestFactory().get("/", REMOTE_ADDR="10.0.0.2", **headers)


def test_without_a_proxy_a_forwarded_header_is_only_a_claim(settings):
    settings.TRUSTED_PROXY = False
    claimed = request(HTTP_X_FORWARDED_FOR="203.0.113.9")
    assert client_address(claimed) == "10.0.0.2"


def test_behind_a_proxy_the_last_entry_counts(settings):
    settings.TRUSTED_PROXY = True
    forwarded = request(HTTP_X_FORWARDED_FOR="198.51.100.1, 203.0.113.9")
    assert client_address(forwarded) == "203.0.113.9"


def test_behind_a_proxy_a_request_without_the_header_keeps_its_own(settings):
    settings.TRUSTED_PROXY = True
    assert client_address(request()) == "10.0.0.2"
