"""From readings to a judgement: hand cases, what is left out, and refusals."""

import pytest
from django.core.exceptions import PermissionDenied
from django.db import connection
from django.test.utils import CaptureQueriesContext
from scipy import stats

from analytics.reports.energy.judging import Verdict
from analytics.reports.energy.report import energy_report
from plant.models import Placement
from records.choices import Activity, Item
from tests.analytics.reports.energy.pumps import (
    AS_OF,
    NEWEST,
    WATER_KW,
    position_worn,
    scope_of,
)
from tests.factories.energy import day, round_of, round_read
from tests.factories.plant import (
    PlacementFactory,
    PumpFactory,
    SiteFactory,
    UserFactory,
)
from tests.factories.records import RepairFactory

pytestmark = pytest.mark.django_db


def line_of(user, position, **more):
    report = energy_report(scope_of(user, position), as_of=AS_OF, **more)
    (line,) = report.lines
    return line


def test_a_worn_pump_by_hand(engineer):
    """61, 60 and 59 % of 70: ten points, Student limits with two degrees."""
    line = line_of(engineer, position_worn(0.61, 0.60, 0.59))
    found = line.efficiency
    assert found.verdict is Verdict.WORN
    assert found.now.value == pytest.approx(0.60)
    assert found.as_new == pytest.approx(0.70)
    assert found.drop.value == pytest.approx(0.10)
    reach = stats.t.ppf(0.95, 2) * 0.01 / 3**0.5
    limits = found.drop.interval
    assert (limits.low, limits.high) == pytest.approx((0.10 - reach, 0.10 + reach))
    assert line.known.words == "3 acceptance points"


def test_energy_and_cost_by_hand(engineer):
    """Half the year runs: 365 days x 12 h; shaft power over that as new, / 93 %."""
    line = line_of(engineer, position_worn(0.60, 0.60, 0.60))
    excess = WATER_KW / 0.60 - WATER_KW / 0.70
    assert line.running.hours == pytest.approx(4380)
    assert line.running.is_estimated
    assert line.kwh.value == pytest.approx(excess * 4380 / 0.93, rel=1e-5)
    assert line.cost.value == pytest.approx(line.kwh.value * 0.1)


def test_without_a_price_there_is_energy_and_no_money(engineer):
    position = position_worn(0.60, 0.60, 0.60)
    position.site.energy_price_per_kwh = None
    position.site.save()
    line = line_of(engineer, position)
    assert line.kwh is not None
    assert line.cost is None


def test_fewer_than_three_rounds_give_a_sentence_and_no_figure(engineer):
    found = line_of(engineer, position_worn(0.60, 0.60)).efficiency
    assert found.verdict is Verdict.NO_FIGURE
    assert found.sentence.startswith(
        "2 readings at hand since 2020-01-01, when it was placed here; 3 of one flow"
    )
    assert (found.now, found.drop, found.measured) == (None, None, None)


def test_a_drop_within_meter_error_is_called_so(engineer):
    """2 points lie below 3.5, which is 5 % of 70."""
    found = line_of(engineer, position_worn(0.681, 0.680, 0.679)).efficiency
    assert found.verdict is Verdict.SMALL
    assert "plant meters may err by 3.5\u00a0points" in found.sentence
    assert found.measured is not None


def test_a_drop_within_the_spread_has_no_cost(engineer):
    line = line_of(engineer, position_worn(0.72, 0.66, 0.70))
    assert line.efficiency.verdict is Verdict.NOT_CLEAR
    assert line.kwh is None
    assert line.efficiency.drop.interval.low < 0 < line.efficiency.drop.interval.high


def test_better_than_as_new_asks_for_the_meters(engineer):
    found = line_of(engineer, position_worn(0.80, 0.80, 0.801)).efficiency
    assert found.verdict is Verdict.BETTER
    assert "better than as new" in found.sentence


def test_without_acceptance_points_the_rated_duty_stands_in_and_says_so(engineer):
    position = position_worn(
        0.60,
        0.60,
        0.601,
        points=False,
        flow_m3_h=60.0,
        head_m=40.0,
        power_kw=WATER_KW / 0.72,
    )
    line = line_of(engineer, position)
    assert line.known.words == "rated duty, not a test"
    assert line.efficiency.as_new == pytest.approx(0.72)
    assert line.efficiency.verdict is Verdict.WORN


def test_without_any_figure_as_new_efficiency_is_shown_and_no_drop(engineer):
    found = line_of(engineer, position_worn(0.6, 0.6, 0.6, points=False)).efficiency
    assert found.verdict is Verdict.NO_FIGURE
    assert found.now.value == pytest.approx(0.6)
    assert found.drop is None
    assert "the efficiency as new is not known" in found.sentence


def test_a_rated_duty_that_cannot_be_is_refused_in_words(engineer):
    position = position_worn(
        0.6, 0.6, 0.6, points=False, flow_m3_h=60.0, head_m=40.0, power_kw=1.0
    )
    found = line_of(engineer, position).efficiency
    assert "check flow, head, density and power" in found.sentence


def test_without_a_density_nothing_is_told(engineer):
    position = position_worn(0.6, 0.6, 0.6)
    position.density_kg_m3 = None
    position.save()
    found = line_of(engineer, position).efficiency
    assert found.verdict is Verdict.NO_FIGURE
    assert found.sentence.startswith("The density of the liquid is not recorded")


def test_rounds_before_the_wet_end_was_opened_do_not_mix(engineer):
    position = position_worn(0.50, 0.50, 0.69, 0.70, 0.71)
    pump = Placement.objects.get(position=position).pump
    RepairFactory(
        position=position,
        pump=pump,
        item=Item.WEAR_RING,
        activity=Activity.REPLACE,
        reported_at=day(NEWEST - 250),
        stopped_at=day(NEWEST - 250),
        returned_at=day(NEWEST - 248),
    )
    line = line_of(engineer, position)
    assert line.efficiency.now.value == pytest.approx(0.70)
    reasons = [one.reason for one in line.efficiency.left_out]
    assert reasons == ["before the wet end was opened"] * 2
    assert "when its wet end was last opened" in line.series.since_words


def test_rounds_of_another_pump_never_mix(engineer):
    position = position_worn(0.50, 0.50, 0.50)
    old = Placement.objects.get(position=position)
    old.removed_at = day(NEWEST - 50)
    old.save()
    PlacementFactory(
        position=position,
        pump=PumpFactory(site=position.site),
        placed_at=day(NEWEST - 50),
    )
    line = line_of(engineer, position)
    assert line.efficiency.verdict is Verdict.NO_FIGURE
    assert line.series.of_others == 2
    assert len(line.series.whole) == 1


def test_a_position_where_no_pump_stands_says_so(engineer):
    position = position_worn(0.50, 0.50, 0.50)
    Placement.objects.update(removed_at=AS_OF)
    found = line_of(engineer, position).efficiency
    assert found.sentence == "No pump stands here now, so there is nothing to judge."


def test_readings_of_more_than_a_year_ago_say_nothing_about_now(engineer):
    position = position_worn(0.5, 0.5, 0.5)
    late = day(NEWEST + 400)
    report = energy_report(scope_of(engineer, position), as_of=late)
    found = report.lines[0].efficiency
    assert found.now is None
    assert "more than a year ago" in found.sentence


def test_each_round_left_out_says_why(engineer):
    position = position_worn(0.6, 0.6, 0.6, 0.6, 0.6, 0.6)
    round_of(position, day(NEWEST - 50), flow=66.0, efficiency=0.6)
    round_of(position, day(NEWEST - 51), flow=90.0, efficiency=0.6)
    round_of(position, day(NEWEST - 52), efficiency=1.2)
    round_read(position, day(NEWEST - 53), FLOW=60.0, HEAD=40.0)
    reasons = {one.reason for one in line_of(engineer, position).efficiency.left_out}
    assert reasons == {
        "more than 400 days before the newest",
        "at another flow",
        "as new is not known at this flow",
        "no power read within the hour",
        "The liquid would take 6.54 kW from a shaft that gives 5.45 kW; check flow, "
        "head, density and power",
    }


def test_the_motor_asked_for_moves_the_efficiency(engineer):
    position = position_worn(0.60, 0.60, 0.60)
    found = line_of(engineer, position, motor_efficiency=0.96).efficiency
    assert found.now.value == pytest.approx(0.60 * 0.93 / 0.96)


def test_only_positions_with_a_whole_round_are_listed(engineer):
    worn = position_worn(0.6, 0.6, 0.6)
    other = PlacementFactory().position
    round_read(other, day(NEWEST), FLOW=60.0, POWER=8.0)
    report = energy_report(scope_of(engineer), as_of=AS_OF)
    assert [line.position for line in report.lines] == [worn]


def test_nobody_sees_positions_of_another_site_or_without_the_right():
    position_worn(0.6, 0.6, 0.6)
    elsewhere = UserFactory(role="manager", sees_all_sites=False)
    elsewhere.sites.add(SiteFactory())
    assert energy_report(scope_of(elsewhere), as_of=AS_OF).lines == []
    with pytest.raises(PermissionDenied):
        energy_report(scope_of(UserFactory()), as_of=AS_OF)


def test_ten_positions_cost_as_many_queries_as_one(engineer):
    def queries():
        with CaptureQueriesContext(connection) as seen:
            energy_report(scope_of(engineer), as_of=AS_OF)
        return len(seen)

    position_worn(0.6, 0.6, 0.6)
    # The first question also asks what the role may.
    queries()
    one = queries()
    for _number in range(9):
        position_worn(0.6, 0.6, 0.61)
    assert queries() == one
