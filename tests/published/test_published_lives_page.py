"""The published pump-seal and bearing lives, as the Life page shows them.

Files and sources: tests/published/data/published_lives/README.md. Expected values are
those printed there.
"""

import re
from pathlib import Path

import pytest
from django.core.management import call_command

FOLDER = Path(__file__).parent / "data" / "published_lives"


@pytest.fixture
def published_lives(db):
    call_command("import_fleet", str(FOLDER))


@pytest.mark.parametrize(
    ("address", "printed"),
    [
        ("?part=LIFE-A", ["4.4281", "28,860.2", "17,361.5", "−102.2110"]),
        ("?part=LIFE-B", ["2.4193", "7,858.3", "−94.1953"]),
        ("?component=seal", ["1.5243", "18,472.7"]),
        ("?part=LIFE-L", ["2.1021", "1,364.6"]),
        ("?component=bearing&part=LIFE-L", ["2.1021", "1,364.6"]),
    ],
)
def test_page_prints_the_published_values(
    engineer_client, published_lives, address, printed
):
    page = engineer_client.get(f"/life/{address}").content.decode()
    missing = [
        value for value in printed if not re.search(rf"(?<![\d,.]){value}(?!\d)", page)
    ]
    assert missing == []
