"""Two people at once, on PostgreSQL: one wins, the other gets a sentence."""

from concurrent.futures import ThreadPoolExecutor
from datetime import timedelta
from threading import Barrier

import pytest
from django.core.exceptions import ValidationError
from django.db import connection

from plant.choices import Component, Location
from plant.models import FittedLife
from records.choices import RepairState
from records.models import Repair
from records.selectors.repairs import repair_version
from records.services.component_rows import ComponentIn
from records.services.costs import CostEntry, cost_line_replace
from records.services.hours import hours_record
from records.services.repairs import (
    repair_log,
    repair_sign,
    repair_update_draft,
)
from tests.factories.plant import PositionFactory
from tests.factories.records import CostLineFactory
from tests.records.plant_at_hand import (
    FINISHED,
    NOTHING_MOVED,
    REPORTED,
    plant_at_hand,
    seal_in,
    seal_out,
)

pytestmark = [pytest.mark.postgresql, pytest.mark.django_db(transaction=True)]


def both(first, second):
    """Run two actions at the same moment; each answers with its sentence or None."""
    ready = Barrier(2)

    def run(action):
        try:
            ready.wait(timeout=10)
            action()
        except ValidationError as error:
            return error.messages[0]
        finally:
            connection.close()
        return None

    with ThreadPoolExecutor(2) as pool:
        return list(pool.map(run, [first, second]))


def one_wins(answers, sentence):
    assert answers.count(None) == 1, answers
    [refusal] = [answer for answer in answers if answer is not None]
    assert sentence in refusal
    return True


def test_two_signers(planner, engineer):
    draft = repair_log(by=planner, position=plant_at_hand().position, **FINISHED)
    answers = both(
        lambda: repair_sign(by=planner, repair=draft, as_is=NOTHING_MOVED),
        lambda: repair_sign(by=engineer, repair=draft, as_is=NOTHING_MOVED),
    )
    assert one_wins(answers, "was already signed by")
    assert draft.history.filter(state=RepairState.SIGNED).count() == 1


def test_two_swaps_of_one_seal(planner):
    here = plant_at_hand()

    def swap(hours):
        times = {**FINISHED, "reported_at": REPORTED - timedelta(hours=hours)}
        repair_log(
            by=planner,
            position=here.position,
            components_out=[seal_out(here)],
            components_in=[seal_in(serial=f"S-{hours}")],
            **times,
        )

    answers = both(lambda: swap(2), lambda: swap(5))
    assert one_wins(answers, "was already taken out on")
    assert Repair.objects.count() == 1
    assert FittedLife.objects.filter(pump=here.pump, component="seal").count() == 2


def test_two_swaps_of_one_seal_from_two_drafts(planner):
    here = plant_at_hand()
    drafts = [
        repair_log(
            by=planner,
            position=here.position,
            **{**FINISHED, "reported_at": REPORTED - timedelta(hours=hours)},
        )
        for hours in (2, 5)
    ]
    actions = [
        lambda draft=draft: repair_update_draft(
            by=planner,
            repair=draft,
            components_out=[seal_out(here)],
            components_in=[seal_in()],
        )
        for draft in drafts
    ]
    assert one_wins(both(*actions), "was already taken out on")
    assert FittedLife.objects.filter(pump=here.pump, component="seal").count() == 2


def test_two_fittings_in_one_empty_place(planner):
    here = plant_at_hand()

    def fit(hours):
        repair_log(
            by=planner,
            position=here.position,
            components_in=[ComponentIn(Component.THRUST, Location.THRUST)],
            **{**FINISHED, "reported_at": REPORTED - timedelta(hours=hours)},
        )

    answers = both(lambda: fit(2), lambda: fit(5))
    assert one_wins(answers, "Take that one out first.")


def test_the_same_event_sent_twice(planner):
    here = plant_at_hand()

    def log():
        repair_log(by=planner, position=here.position, **FINISHED)

    assert one_wins(both(log, log), "This looks like")
    assert Repair.objects.count() == 1


def test_two_repairs_get_two_numbers(planner):
    here = plant_at_hand()
    other = PositionFactory(area=here.position.area)
    answers = both(
        lambda: repair_log(by=planner, position=here.position, **FINISHED),
        lambda: repair_log(by=planner, position=other, **FINISHED),
    )
    assert answers == [None, None]
    numbers = sorted(Repair.objects.values_list("number", flat=True))
    assert numbers == ["NWP-2024-0001", "NWP-2024-0002"]


def test_two_editors_of_one_draft(planner, engineer):
    draft = repair_log(by=planner, position=plant_at_hand().position, **FINISHED)
    opened = repair_version(draft)
    answers = both(
        lambda: repair_update_draft(
            by=planner, repair=draft, version=opened, text="One"
        ),
        lambda: repair_update_draft(
            by=engineer, repair=draft, version=opened, text="Two"
        ),
    )
    assert one_wins(answers, "Nothing was overwritten.")


def test_two_better_figures_for_one_line(planner):
    line = CostLineFactory()
    answers = both(
        *[
            lambda amount=amount: cost_line_replace(
                by=planner, line=line, entry=CostEntry("parts", amount, "booked")
            )
            for amount in (80, 90)
        ]
    )
    assert one_wins(answers, "This line was already replaced by")


def test_two_readings_of_one_moment(planner):
    position = PositionFactory()

    def read():
        hours_record(
            by=planner, position=position, read_at=REPORTED, meter_hours=30_000.0
        )

    assert one_wins(both(read, read), "stands already")
