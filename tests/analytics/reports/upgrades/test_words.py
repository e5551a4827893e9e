import pytest

from analytics.reports.upgrades.words import sure


@pytest.mark.parametrize(
    ("chance", "words"),
    [
        (1.0, "more than 99 %"),
        (0.99, "99 %"),
        (0.5, "50 %"),
        (0.01, "1 %"),
        (0.0, "less than 1 %"),
    ],
)
def test_a_chance_is_never_shown_as_certain(chance, words):
    assert sure(chance).replace("\u00a0", " ") == words
