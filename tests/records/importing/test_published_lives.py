"""The published lives come in whole, in each form that a file may have."""

from datetime import UTC, date, datetime
from decimal import Decimal

import pytest

from plant.access import shell_user
from plant.choices import Ending, Location, WhyRemoved
from plant.endings import ending_of
from plant.models import DutyPeriod, FittedLife, Placement, Position, Pump, Site
from records.choices import CostKind, RepairState
from records.importing.layout import SHEETS
from records.models import ComponentChange, CostLine, Repair
from tests.records.importing.sheets import as_csv, as_xlsx, counts, published, stored

pytestmark = pytest.mark.django_db

NUMBERS = ("running_share", "fitted_hours", "removed_hours", "active_hours")


def with_decimal_commas():
    tables = published()
    for rows in tables.values():
        for place in (n for n, name in enumerate(rows[0]) if name in NUMBERS):
            for row in rows[1:]:
                row[place] = row[place] and f"{float(row[place]):.1f}".replace(".", ",")
    return tables


def as_spreadsheet_values():
    """Numbers as numbers and dates as dates, as a spreadsheet keeps them."""
    tables = published()
    for rows in tables.values():
        for row in rows[1:]:
            for place, name in enumerate(rows[0]):
                if name in NUMBERS:
                    row[place] = float(row[place])
                elif name.endswith(("_on", "_at")) and row[place]:
                    row[place] = datetime.fromisoformat(row[place])
    return tables


FORMS = {
    "plain": lambda: as_csv(published()),
    "semicolons, decimal commas and byte-order mark": lambda: as_csv(
        with_decimal_commas(), separator=";", encoding="utf-8-sig"
    ),
    "workbook": lambda: as_xlsx(as_spreadsheet_values()),
}


@pytest.mark.parametrize("form", FORMS)
def test_the_published_lives_are_stored_whole(form):
    found = stored(FORMS[form](), shell_user())
    assert counts(found) == dict.fromkeys(SHEETS, (43, 0, 0))
    assert Position.objects.count() == Pump.objects.count() == 43
    assert Placement.objects.filter(removed_at__isnull=True).count() == 43
    hours = FittedLife.objects.filter(part_number="LIFE-A").values_list(
        "fitted_hours", "removed_hours"
    )
    assert sorted(hours)[0] == (0.0, 14400.0)
    assert FittedLife.objects.filter(designation="LIFE-L").count() == 23
    assert Repair.objects.filter(state=RepairState.SIGNED).count() == 43


def test_each_form_gives_the_same_rows():
    lives = []
    for form in FORMS.values():
        stored(form(), shell_user())
        names = ("pump__serial_number", "fitted_at", "removed_at", "removed_hours")
        lives.append(list(FittedLife.objects.order_by("pump").values_list(*names)))
    # The second and third form found everything in place.
    assert FittedLife.objects.count() == 43
    assert lives[0] == lives[1] == lives[2]


def test_the_same_files_again_change_nothing():
    stored(as_csv(published()), shell_user())
    histories = (Position.history, Pump.history, FittedLife.history, Repair.history)
    before = [history.count() for history in histories]
    found = stored(as_csv(published()), shell_user())
    assert counts(found) == dict.fromkeys(SHEETS, (0, 0, 43))
    assert [history.count() for history in histories] == before == [43] * 4
    assert CostLine.objects.count() == 86


def test_facts_of_one_life_and_its_repair():
    stored(as_csv(published()), shell_user())
    life = FittedLife.objects.get(pump__serial_number="SN-A-01")
    assert life.location == Location.SEAL_DE_INNER
    assert life.fitted_at == datetime(2018, 1, 1, 6, tzinfo=UTC)
    assert (life.defect_detected, life.why_removed) == (True, WhyRemoved.DEFECT)
    assert life.position.tag == "A-01"
    assert (life.liquid, life.running_share, life.piping_plan) == ("water", 1.0, "11")
    ending = ending_of(
        removed_at=life.removed_at,
        started_at=life.fitted_at,
        ended_at=life.removed_at,
        defect_detected=life.defect_detected,
        condition_found=life.condition_found,
        why_removed=life.why_removed,
    )
    assert ending == Ending.FAILED
    repair = Repair.objects.get(number="PL-001")
    assert (repair.is_imported, repair.signed_by) == (True, shell_user())
    change = ComponentChange.objects.get(repair=repair)
    assert (change.life, change.change) == (life, "out")
    # Zero is an amount, not a blank.
    line = CostLine.objects.get(repair=repair, kind=CostKind.LABOUR)
    assert (line.amount, line.booked_on) == (Decimal(0), date(2019, 8, 24))


def test_a_plain_radial_bearing_of_an_overhung_pump_is_the_one_at_the_impeller():
    stored(as_csv(published()), shell_user())
    life = FittedLife.objects.get(pump__serial_number="SN-L-01")
    assert life.location == Location.RADIAL_NDE


def test_history_says_who_and_what_was_stored():
    stored(as_csv(published()), shell_user())
    row = Repair.history.get(number="PL-001")
    assert (row.history_user, row.history_type) == (shell_user(), "+")
    assert row.history_change_reason == "Fleet import"
    assert row.failure_mode == "ELP"


def test_a_new_site_takes_the_clock_of_the_server(settings):
    settings.TIME_ZONE = "Europe/Amsterdam"
    stored(as_csv(published()), shell_user())
    assert Site.objects.get().time_zone == "Europe/Amsterdam"
    life = FittedLife.objects.get(pump__serial_number="SN-A-01")
    assert life.fitted_at == datetime(2018, 1, 1, 5, tzinfo=UTC)
    # The eve in UTC is still the first day of the duty period at the site.
    assert life.running_share == 1.0


def test_the_piping_plan_of_the_newest_seal_becomes_that_of_the_tag():
    stored(as_csv(published()), shell_user())
    assert DutyPeriod.objects.get(position__tag="A-01").piping_plan == "11"
    assert DutyPeriod.objects.get(position__tag="L-01").piping_plan == ""
