""".env.example names every setting that the app reads."""

import re

from tests.config.running import ROOT

READ = re.compile(r"(?:env\.)?\b(?:text|flag|number|listed|secret)\(\s*f?\"([A-Z_]+)\"")


def names_read():
    """Names that any module of the project asks the environment for."""
    return {
        name
        for path in (ROOT / "config").glob("*.py")
        for name in READ.findall(path.read_text())
    }


def test_every_setting_is_listed():
    listed = set(re.findall(r"\b([A-Z_]+)=", (ROOT / ".env.example").read_text()))
    assert {"DATABASE_URL", "DATA_DIR", "BIND", "DEBUG"} <= names_read()
    assert names_read() - listed == set()
