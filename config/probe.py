"""Asks the running app for its health; the container's health check runs this."""

import json
import sys
from urllib.error import HTTPError
from urllib.request import ProxyHandler, Request, build_opener

from config import env

TIMEOUT_SECONDS = 5


def host_header() -> str:
    """A host name that ALLOWED_HOSTS lets in."""
    hosts = [host.lstrip(".") for host in env.listed("ALLOWED_HOSTS") if host != "*"]
    return hosts[0] if hosts else "localhost"


def health(bind: str) -> str:
    """What /health/ says, or why it cannot be asked; "ok" when all is well."""
    port = bind.rpartition(":")[2]
    request = Request(
        f"http://127.0.0.1:{port}/health/", headers={"Host": host_header()}
    )
    # The question never leaves this computer, whatever proxy the environment names.
    opener = build_opener(ProxyHandler({}))
    try:
        with opener.open(request, timeout=TIMEOUT_SECONDS) as response:
            return str(json.load(response)["database"])
    except HTTPError as error:
        return f"the app answers {error.code}"
    except (OSError, ValueError, KeyError) as error:
        return f"no answer: {error}"


if __name__ == "__main__":
    state = health(env.text("BIND", "127.0.0.1:8000"))
    sys.exit(None if state == "ok" else state)
