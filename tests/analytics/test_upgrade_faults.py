"""Pages of upgrade cases where something is in the way."""

from datetime import UTC, date, datetime

import pytest
from django.utils import timezone

from records.models import Action
from records.selectors.upgrade_cases import upgrade_case_version
from records.services.upgrade_cases import upgrade_case_change
from tests.analytics.upgrade_plant import TYPED, case_of, plant
from tests.factories.plant import AreaFactory, PositionFactory, SiteFactory

NEW = "/costs/upgrades/new/"


@pytest.fixture
def positions(db):
    return plant()


@pytest.fixture
def case(manager, positions):
    return case_of(manager, positions[:2])


def decision(form, owner, **more):
    return {
        "owner": owner.pk,
        "due_on": "2030-03-01",
        "judge_after_months": "12",
        "reason": form["reason"].value(),
        "offered": form["offered"].value(),
        "version": form["version"].value(),
        **more,
    }


def changed_meanwhile(manager, case):
    upgrade_case_change(
        by=manager,
        case=case,
        version=upgrade_case_version(case),
        title=case.title,
        change_made=case.change_made,
        positions=list(case.positions.all()),
        as_of=case.as_of,
        currency=case.currency,
        assumptions=TYPED | {"purchase": 60_000},
    )


@pytest.mark.parametrize("touched", [False, True])
def test_after_a_stale_refusal_the_reason_is_renewed_if_untouched(
    manager, manager_client, case, touched
):
    url = f"{case.get_absolute_url()}action/"
    form = manager_client.get(url).context["form"]
    old = str(form["reason"].value())
    sent = decision(form, manager, **({"reason": "Because."} if touched else {}))
    changed_meanwhile(manager, case)
    answer = manager_client.post(url, sent)
    again = answer.context["form"]
    assert not Action.objects.exists()
    assert "saving again stores what stands below" not in answer.content.decode()
    assert "freezes that" in answer.content.decode()
    new = str(again["offered"].value())
    assert new != old
    assert again["reason"].value() == ("Because." if touched else new)
    manager_client.post(url, decision(again, manager))
    assert Action.objects.get().reason == ("Because." if touched else new)


def test_a_file_of_an_unknown_state_is_refused_as_other_files_are(manager_client, case):
    assert manager_client.get("/costs/upgrades.csv").status_code == 200
    assert manager_client.get("/costs/upgrades.csv?state=open").status_code == 200
    answer = manager_client.get("/costs/upgrades.csv?state=zzz")
    assert answer.status_code == 400
    assert "text/html" in answer["Content-Type"]


def test_the_last_day_is_that_of_the_site_of_the_case(manager_client, monkeypatch):
    SiteFactory(name="A first", time_zone="Pacific/Honolulu")
    far = SiteFactory(name="Far", time_zone="Pacific/Auckland")
    position = PositionFactory(area=AreaFactory(site=far))
    # Already the 2nd in Auckland, still the 1st in Honolulu.
    now = datetime(2024, 3, 1, 20, tzinfo=UTC)
    monkeypatch.setattr("analytics.scope.timezone.localdate", _at(now))
    form = manager_client.get(f"{NEW}?position={position.pk}").context["form"]
    assert form["as_of"].value() == date(2024, 3, 2)
    sent = {"site": far.pk, "tags": position.tag, "as_of": "2024-03-02"}
    assert "as_of" not in manager_client.post(NEW, sent).context["form"].errors
    refused = manager_client.post(NEW, sent | {"as_of": "2024-03-03"})
    assert "as_of" in refused.context["form"].errors


def _at(now):
    return lambda value=None: timezone.localtime(value or now).date()


def test_a_position_given_up_is_refused_beside_the_field(manager_client, positions):
    gone = positions[0]
    gone.out_of_service_on = date(2023, 5, 1)
    gone.save()
    sent = {"site": gone.site_id, "tags": gone.tag, "as_of": "2024-03-02"}
    form = manager_client.post(NEW, sent).context["form"]
    assert "saves nothing" in str(form.errors["tags"])
    form = manager_client.post(NEW, sent | {"as_of": "2023-04-30"}).context["form"]
    assert "tags" not in form.errors


def test_tags_with_spaces_and_commas_can_be_in_a_case(manager_client):
    area = AreaFactory()
    for tag in ("P 10", "P 10 A", "P-7, old"):
        PositionFactory(area=area, tag=tag)
    sent = {"site": area.site_id, "tags": "P-7, old, P 10 A", "as_of": "2024-03-02"}
    form = manager_client.post(NEW, sent).context["form"]
    assert "tags" not in form.errors
    tags = [row.tag for row in form.cleaned_data["positions"]]
    assert tags == ["P-7, old", "P 10 A"]
