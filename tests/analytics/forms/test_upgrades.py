"""What is typed into an upgrade case, and how a stored one comes back to the form."""

from datetime import date
from decimal import Decimal

import pytest

from analytics.forms.upgrade_start import first_of_address
from analytics.forms.upgrades import CaseForm, first_values
from analytics.reports.upgrades.assumptions import Assumptions, Population, Range
from records.action_choices import ChangeMade
from records.models import ExchangeRate, PriceLevel
from tests.factories.plant import (
    AreaFactory,
    PositionFactory,
    SiteFactory,
    UserFactory,
)
from tests.factories.records import CostLineFactory, RepairFactory
from tests.factories.upgrades import UpgradeCaseFactory

pytestmark = pytest.mark.django_db


def typed(site, **more):
    return {
        "title": "Dual seals",
        "change_made": ChangeMade.DUAL_SEAL,
        "site": site.pk,
        "tags": "P-1",
        "as_of": "2024-03-01",
        "purchase": "12000",
        "horizon_years": "10",
        "timing": "end_of_year",
        "what_fails": "all",
        "window_months": "36",
        "ratio_from": "typed",
        "typed_ratio": "0,5",
        "component": "seal",
        "payback_months": "24",
        **more,
    }


@pytest.fixture
def site():
    site = SiteFactory()
    area = AreaFactory(site=site)
    for tag in ("P-1", "P-2"):
        PositionFactory(area=area, tag=tag)
    return site


def form_of(manager, site, initial=None, **more):
    form = CaseForm(typed(site, **more), user=manager, initial=initial)
    form.is_valid()
    return form


def test_money_is_read_as_least_likely_and_most(manager, site):
    form = form_of(
        manager,
        site,
        tags="P-2, P-1",
        purchase_least="10 000",
        purchase="12.500,50",
        purchase_most="15000",
        energy_change="-900",
        disposal="-50",
        discount_percent="6,5",
        new_plan="53B",
    )
    assert form.errors == {}
    chosen = form.cleaned_data["assumptions"]
    assert chosen.purchase == Range(Decimal("12500.50"), Decimal(10000), Decimal(15000))
    assert chosen.energy_change == Range(Decimal(-900))
    assert (chosen.disposal, chosen.discount_rate) == (Decimal(-50), Decimal("0.065"))
    assert (chosen.typed_ratio, chosen.repair_cost) == (Range(Decimal("0.5")), None)
    assert chosen.new == Population("seal", "", "53B")
    assert [p.tag for p in form.decision()["positions"]] == ["P-2", "P-1"]
    assert form.decision()["assumptions"] == chosen.to_json()


@pytest.mark.parametrize(
    ("field", "more", "sentence"),
    [
        ("tags", {"tags": "P-1 P-9"}, "No such tag at"),
        ("tags", {"tags": " "}, "required"),
        ("purchase", {"purchase_least": "5"}, "both the least and the most"),
        (
            "purchase",
            {"purchase_least": "20000", "purchase_most": "30000"},
            "must lie between",
        ),
        ("purchase", {"purchase": "-1"}, "below zero"),
        ("purchase", {"purchase": "much"}, "Enter a number"),
        ("purchase_most", {"purchase_most": "1,234"}, "may mean"),
        ("typed_ratio", {"typed_ratio": ""}, "Type the share"),
        ("typed_ratio", {"typed_ratio": "0"}, "failures after over failures before"),
        ("old_part", {"ratio_from": "lives", "new_plan": "11"}, "Name a part"),
        ("new_part", {"ratio_from": "lives", "old_plan": "11"}, "Name a part"),
        ("discount_percent", {"discount_percent": "120"}, "less than or equal to 99"),
        ("horizon_years", {"horizon_years": "0"}, "greater than or equal to 1"),
        ("payback_months", {"horizon_years": "1"}, "ends before"),
        ("lead_months", {"lead_months": "130"}, "after the end"),
        ("currency", {"currency": "EU"}, "three letters"),
        ("currency", {"currency": "EUX"}, "is in EUX"),
        ("as_of", {"as_of": "26-01-01"}, "Enter a valid date"),
    ],
)
def test_what_cannot_be_is_refused_beside_its_field(
    manager, site, field, more, sentence
):
    form = form_of(manager, site, **more)
    assert sentence in " ".join(form.errors[field])
    assert list(form.errors) == [field]


def test_a_currency_is_known_by_site_ledger_rates_or_levels(manager, site):
    form = form_of(manager, site, currency="EUX")
    assert "Known are EUR; an administrator adds" in form.errors["currency"][0]
    ExchangeRate.objects.create(year=2024, currency="USD", into="EUR", rate=1)
    PriceLevel.objects.create(year=2024, currency="CHF", level=100)
    here = RepairFactory(position=site.positions.first())
    CostLineFactory(repair=here, currency="GBP")
    CostLineFactory(repair=RepairFactory(), currency="SEK")
    for code in ("eur", "USD", "chf", "GBP", ""):
        form = form_of(manager, site, currency=code)
        assert form.errors == {}
        assert form.decision()["currency"] == code.upper()
    refused = form_of(manager, site, currency="SEK").errors["currency"][0]
    assert "Known are EUR, CHF, GBP, USD;" in refused


def test_a_stored_case_keeps_a_currency_that_nothing_knows_any_more(manager, site):
    form = form_of(manager, site, initial={"currency": "SEK"}, currency="SEK")
    assert form.errors == {}


def test_a_day_to_come_is_refused(manager, site):
    form = form_of(manager, site, as_of="2099-01-01")
    assert "today or an earlier day" in form.errors["as_of"][0]


def test_a_site_of_others_cannot_be_chosen(site):
    stranger = UserFactory(role="manager", sees_all_sites=False)
    stranger.sites.add(SiteFactory())
    assert "site" in form_of(stranger, site).errors


def test_a_stored_case_comes_back_as_it_was_typed(manager, site):
    form = form_of(
        manager,
        site,
        purchase_least="10000",
        purchase_most="15000",
        discount_percent="6.5",
        old_plan="11",
        repair_cost="2500",
    )
    decided = form.decision()
    case = UpgradeCaseFactory(
        site=site,
        as_of=date(2024, 3, 1),
        assumptions=decided["assumptions"] | {"last_figures": {"investment": 5.0}},
        positions=decided["positions"],
        title="Dual seals",
    )
    shown = CaseForm(user=manager, initial=first_values(case))
    again = {name: shown[name].value() for name in shown.fields}
    sent = {name: value for name, value in again.items() if value is not None}
    form = CaseForm(sent, user=manager)
    assert form.is_valid(), form.errors
    assert form.decision()["assumptions"] == decided["assumptions"]
    assert form.decision()["positions"] == decided["positions"]


def test_assumptions_that_cannot_be_read_leave_the_form_usable():
    case = UpgradeCaseFactory(assumptions={"horizon_years": "many"})
    assert first_values(case)["horizon_years"] == Assumptions().horizon_years


class Query(dict):
    """An address such as ?position=1&position=2."""

    def get(self, name, default=""):
        return (self.getlist(name) or [default])[-1]

    def getlist(self, name):
        return super().get(name, [])


def test_the_form_begins_with_positions_of_one_site(manager, site):
    one, two = site.positions.order_by("tag")
    elsewhere = PositionFactory(tag="Z-1")
    keys = [str(two.pk), str(elsewhere.pk), str(one.pk), "x", "9" * 30]
    first = first_of_address(Query(position=keys), manager)
    assert (first["tags"], first["site"]) == ("P-1, P-2", site.pk)


def test_what_is_out_of_sight_is_left_out(site):
    stranger = UserFactory(role="manager", sees_all_sites=False)
    stranger.sites.add(SiteFactory())
    case = UpgradeCaseFactory(site=site)
    asked = Query(position=["1"], like=[str(case.pk)])
    assert "tags" not in first_of_address(asked, stranger)
    assert "title" not in first_of_address(asked, stranger)


def test_a_copy_begins_with_what_the_other_says(manager, site):
    case = UpgradeCaseFactory(site=site, title="x" * 160)
    first = first_of_address(Query(like=[str(case.pk)]), manager)
    assert first["change_made"] == case.change_made
    assert len(first["title"]) == 160
