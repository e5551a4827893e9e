from datetime import date

from analytics.exposure import window_of_months
from analytics.reports.bad_actors.changes import Change, a_month_before, list_changes
from analytics.scope import Scope
from plant.models import User


def test_units_are_new_still_recovered_or_gone():
    found = list_changes(
        now={"A", "B"}, before={"B", "C", "D"}, judged={"A", "B", "C", "E"}
    )
    assert (found.new, found.still) == (("A",), ("B",))
    assert (found.recovered, found.gone) == (("C",), ("D",))
    assert found.by_unit()["C"] is Change.RECOVERED
    assert "E" not in found.by_unit()


def test_the_list_before_is_of_as_many_months_a_month_earlier():
    scope = Scope(User(), window_of_months(date(2024, 3, 31), 12))
    earlier = a_month_before(scope).window
    assert earlier.end == date(2024, 2, 29)
    assert earlier.start == date(2023, 3, 1)
