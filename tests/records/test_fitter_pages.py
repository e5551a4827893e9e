"""A fitter logs and signs, and is never asked what it cost."""

import pytest
from django.core.exceptions import PermissionDenied
from django.urls import reverse

from records.choices import RepairState
from records.models import CostLine, Repair
from records.services.costs import cost_line_add
from records.services.repairs import repair_log
from tests.conftest import logged_in
from tests.factories.plant import UserFactory
from tests.factories.records import CostLineFactory
from tests.records.plant_at_hand import FINISHED, plant_at_hand
from tests.records.test_cost_services import entry


@pytest.fixture
def fitter(db):
    return UserFactory(username="fitter", role="fitter")


@pytest.fixture
def browser(fitter):
    return logged_in(fitter)


@pytest.fixture
def draft(fitter):
    return repair_log(by=fitter, position=plant_at_hand().position, **FINISHED)


def test_the_classic_form_asks_no_costs(browser, planner_client, draft):
    urls = [
        f"{reverse('records:repair_new')}?position={draft.position_id}",
        reverse("records:repair_edit", args=[draft.pk]),
    ]
    for url in urls:
        assert b"cost-TOTAL_FORMS" not in browser.get(url).content
        assert b"cost-TOTAL_FORMS" in planner_client.get(url).content


def test_a_draft_is_stored_from_the_form_without_costs(browser, draft):
    url = f"{reverse('records:repair_new')}?position={draft.position_id}"
    lines = {
        f"{prefix}-{name}_FORMS": 0
        for prefix in ("swap", "added")
        for name in ("TOTAL", "INITIAL")
    }
    typed = {
        **lines,
        "reported_at": "2024-05-01T09:00",
        "category": "corrective",
        "action": "draft",
    }
    assert browser.post(url, typed).status_code == 302
    assert Repair.objects.filter(state=RepairState.DRAFT).count() == 2


def test_costs_are_neither_shown_nor_taken(browser, fitter, draft):
    line = CostLineFactory(repair=draft)
    page = browser.get(draft.get_absolute_url()).content
    assert b"Add a cost" not in page
    assert b"Cost lines" not in page
    url = reverse("records:cost_new", args=[draft.pk])
    assert browser.get(url).status_code == 403
    replace = reverse("records:cost_replace", args=[draft.pk, line.pk])
    assert browser.get(replace).status_code == 403
    with pytest.raises(PermissionDenied):
        cost_line_add(by=fitter, repair=draft, entry=entry("100"))
    assert CostLine.objects.count() == 1
