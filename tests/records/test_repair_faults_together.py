"""Whatever can be known to be wrong with a typed repair is shown at once."""

import re
from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from records.models import Repair
from records.services.repairs import repair_log
from tests.records.plant_at_hand import FINISHED, RETURNED, plant_at_hand
from tests.records.repair_pages import swapped_seal, typed
from tests.records.test_repair_form_page import page


@pytest.fixture
def here(db):
    return plant_at_hand()


@pytest.fixture
def url(here):
    return f"{reverse('records:repair_new')}?position={here.position.pk}"


def test_format_times_components_and_signing_are_one_round(here, url, planner_client):
    late = swapped_seal(here, removed_at="2024-03-02T17:00")
    answer = planner_client.post(
        url,
        typed(
            swaps=[late],
            man_hours="1,234",
            reported_at="2024-03-02T14:00",
            stopped_at="2024-03-02T13:00",
            active_hours="-1",
            activity="",
            action="sign",
        ),
    )
    assert [(f["label"], f["text"]) for f in answer.context["faults"]] == [
        ("What was done", "Say what was done."),
        ("Work took", "Hours are zero or more; leave blank what is not known."),
        ("Man-hours", "1,234 may mean 1234 or 1.2340. Write it as 1234.50."),
    ] + [
        (
            "Seal, single end, inner",
            "Seal, single end, inner: the old one is taken out on 2024-03-02 17:00, "
            "later than the new one is fitted on 2024-03-02 15:00. Correct one of the "
            "two times.",
        )
    ]
    assert not Repair.objects.exists()


def test_what_could_not_be_read_is_not_called_missing(url, planner_client):
    answer = planner_client.post(
        url, typed(returned_at="soon", item="coupling", action="sign")
    )
    [fault] = answer.context["faults"]
    assert fault["label"] == "Handed back"


def test_the_time_since_the_last_repair_is_counted_to_the_report(
    here, planner, planner_client
):
    repair_log(by=planner, position=here.position, **FINISHED)
    record = repair_log(
        by=planner,
        position=here.position,
        reported_at=RETURNED + timedelta(days=40),
        category="corrective",
    )
    edit = reverse("records:repair_edit", args=[record.pk])
    shown = page(planner_client.get(edit))
    assert "40 days since the last repair, at this report." in shown


def test_on_a_new_form_it_is_counted_to_now(here, url, planner, planner_client):
    repair_log(by=planner, position=here.position, **FINISHED)
    days = (timezone.now() - RETURNED).days
    shown = page(planner_client.get(url))
    assert f"{days:,} days since the last repair, now." in shown


def test_without_a_pump_the_search_says_what_to_do(db, planner_client, engineer_client):
    new = reverse("records:repair_find")
    assert "an administrator imports a whole fleet" in page(planner_client.get(new))
    html = engineer_client.get(new).content.decode()
    assert f'href="{reverse("plant:position_new")}"' in html


def test_the_first_submit_button_stores_nothing(url, planner_client):
    form = planner_client.get(url).content.decode().split('<form class="form"')[1]
    first = re.search(r"<button[^>]*>", form).group()
    assert " disabled" in first
    assert 'type="submit"' in first


def test_impact_carries_its_meaning(url, planner_client):
    shown = page(planner_client.get(url))
    assert "Critical: function lost at once" in shown
    assert "Year-month-day, 24 h clock of the site." in shown


def test_a_form_sent_without_a_button_is_shown_again_and_not_stored(
    url, planner_client
):
    data = typed(text="Seal leaked")
    del data["action"]
    answer = planner_client.post(url, data)
    assert "Enter stores nothing. Press one of the buttons" in page(answer)
    assert "Seal leaked" in page(answer)
    assert not Repair.objects.exists()
