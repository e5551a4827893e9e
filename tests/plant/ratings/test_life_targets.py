"""What the standards ask, with how sure each source is."""

import pytest

from plant.ratings import LIFE_TARGETS, Scope, Status


@pytest.mark.parametrize(
    ("source", "hours", "scope", "status"),
    [
        ("ISO 5199", 17_500, Scope.BEARING, Status.MEMORY),
        ("ASME B73.1", 17_500, Scope.BEARING, Status.MEMORY),
        ("API 610 and ISO 13709", 25_000, Scope.SYSTEM, Status.FOUND),
        ("API 610 and ISO 13709", 16_000, Scope.SYSTEM, Status.FOUND),
        (
            "often asked of thrust pairs mounted back to back",
            50_000,
            Scope.THRUST,
            Status.PRACTICE,
        ),
    ],
)
def test_a_target_names_its_source_scope_and_sureness(source, hours, scope, status):
    found = [t for t in LIFE_TARGETS if t.hours.source == source and t.hours == hours]
    assert [(t.scope, t.hours.status, t.hours.unit) for t in found] == [
        (scope, status, "h")
    ]


def test_every_target_says_where_it_holds():
    assert all(target.where for target in LIFE_TARGETS)
    assert len(LIFE_TARGETS) == 5
