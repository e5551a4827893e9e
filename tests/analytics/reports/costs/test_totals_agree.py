"""Every total of the costs is the sum of the repairs page, for made questions.

Fifty questions from one seed: place, days, basis, work, and whose eyes.
"""

import csv
import io
from datetime import date, timedelta
from decimal import Decimal

import numpy as np
import pytest
from django.http import QueryDict

from analytics.exposure import Window
from analytics.reports.costs.basis import Basis
from analytics.reports.costs.groupings import CostGrouping
from analytics.reports.costs.report import cost_report
from analytics.reports.costs.table import all_repairs_url, cells
from analytics.reports.costs.work import Work
from analytics.scope import Scope
from plant.access import sites_visible
from plant.models import Area
from records.counting import rules_by_site
from records.forms.repair_filter import RepairFilterForm
from records.selectors.cost_totals import CostTotals, cost_totals
from records.selectors.repair_filter import repairs_filtered
from tests.analytics.reports.costs.made_fleet import made_fleet
from tests.conftest import logged_in

pytestmark = pytest.mark.django_db
QUESTIONS = 50
PARTS = ("repair_cost", "lost_production", "environment_safety")
SUMS = {"repair": 0, "production": 1, "environment": 2}


def listed(user, url):
    """What the repairs page adds up at this address, by currency."""
    path, _, query = url.partition("?")
    assert path == "/repairs/"
    form = RepairFilterForm(QueryDict(query), user=user)
    choice = form.choice()
    assert not form.errors, url
    rules = rules_by_site(sites_visible(user))
    rows = repairs_filtered(user=user, choice=choice, rules=rules)
    totals = cost_totals(rows, choice.of_lines())
    return {t.currency: tuple(getattr(t, p) for p in PARTS) for t in totals}


def told(row):
    """The amounts of a row of a table, by unit."""
    return {
        unit: tuple(getattr(amounts, part) for part in PARTS)
        for unit, amounts in row.amounts.items()
    }


def asked_at_random(rng, users):
    start = date(2021, 1, 1) + timedelta(days=int(rng.integers(3 * 365)))
    length = int(rng.integers(1, 800))
    user = users[int(rng.integers(len(users)))]
    seen = list(sites_visible(user))
    site = seen[int(rng.integers(len(seen)))] if rng.random() < 0.5 else None
    areas = list(Area.objects.filter(site=site)) if site else []
    return {
        "user": user,
        "window": Window(start, start + timedelta(days=length)),
        "site": site,
        "area": areas[0] if areas and rng.random() < 0.5 else None,
        "basis": list(Basis)[int(rng.integers(2))],
        "work": list(Work)[int(rng.integers(3))],
        "grouping": list(CostGrouping)[int(rng.integers(len(CostGrouping)))],
    }


@pytest.fixture
def users(manager, django_user_model):
    """A manager of all sites, and one of the first site alone."""
    sites = made_fleet()
    one = django_user_model.objects.create(username="of_one_site")
    one.groups.set(manager.groups.all())
    one.sites.add(sites[0])
    return [manager, one]


def test_totals_of_fifty_questions_are_those_of_the_repairs_page(users):
    rng = np.random.default_rng(50)
    some = 0
    for _ in range(QUESTIONS):
        asked = asked_at_random(rng, users)
        report = report_of(asked)
        expected = listed(asked["user"], all_repairs_url(report))
        some += bool(expected)
        for grouping in CostGrouping:
            assert told(report.breakdown(grouping).total) == expected, asked
        assert compared(report) == expected, asked
        for top in report.top_ten:
            assert top.total.repair_cost == expected[top.unit][0]
            shown = sum((t.amounts.repair_cost for t in top.lines), Decimal(0))
            assert shown + top.rest.repair_cost == top.total.repair_cost
        assert of_csv(asked, report.currencies) == expected, asked
    assert some > QUESTIONS / 2


def report_of(asked):
    scope = Scope(asked["user"], asked["window"], asked["site"], asked["area"])
    return cost_report(scope, asked["basis"], asked["grouping"], asked["work"])


def compared(report):
    """The first column of the comparison where it holds anything, by unit."""
    comparison = report.comparison
    return {
        unit: tuple(comparison.line(key, unit).values[0] for key in SUMS)
        for unit in report.currencies
    }


def of_csv(asked, units):
    """The last row of the CSV of the same question."""
    window = asked["window"]
    answer = logged_in(asked["user"]).get(
        "/costs/export.csv",
        {
            "start": window.start,
            "end": window.end,
            "site": asked["site"].pk if asked["site"] else "",
            "area": asked["area"].pk if asked["area"] else "",
            "basis": asked["basis"].value,
            "work": asked["work"].value,
            "by": asked["grouping"].value,
        },
    )
    rows = list(csv.DictReader(io.StringIO(answer.getvalue().decode("utf-8-sig"))))
    if not rows:
        return {}
    heads = ("Repair cost", "Lost production", "Environment and safety")
    return {
        unit: tuple(Decimal(rows[-1][f"{head} {unit}"]) for head in heads)
        for unit in units
    }


def test_every_link_of_a_figure_lists_what_adds_up_to_it(users):
    rng = np.random.default_rng(51)
    opened = 0
    for _ in range(6):
        asked = asked_at_random(rng, users)
        report = report_of(asked)
        for line in report.comparison.lines:
            for value, url in zip(line.values, line.urls, strict=True):
                if url and line.kind == "money":
                    found = listed(asked["user"], url)[line.unit]
                    assert sum(found) == value, (asked, line.key, url)
                    opened += 1
        for row in rng.permutation(np.array(report.rows, dtype=object))[:5]:
            opened += opens_its_figures(report, row)
        for rolling in report.rolling:
            assert len(rolling.months) == 24
    assert opened > 150


def opens_its_figures(report, row):
    """How many figures of a row were opened, each with its sum."""
    question, size = report.scope.user, len(row.names)
    count, *amounts = cells(row, report)[size:]
    assert listed(question, count["url"]) == told(row)
    opened = 0
    for place, unit in enumerate(report.currencies):
        three = amounts[3 * place : 3 * place + 3]
        for part, cell in enumerate(three):
            if cell["url"]:
                found = listed(question, cell["url"])[unit]
                assert found[part] == told(row)[unit][part]
                opened += 1
    return opened


def test_a_manager_of_one_site_sees_nothing_of_another_by_any_parameter(users):
    everywhere, here = users
    own_site = here.sites.get()
    other = sites_visible(everywhere).exclude(pk=own_site.pk).first()
    area = Area.objects.filter(site=other).first()
    position, pump = other.positions.first(), other.pumps.first()
    client = logged_in(here)
    days = {"start": "2021-01-01", "end": "2024-12-31"}
    for by, basis in zip(CostGrouping.values, 5 * Basis.values, strict=True):
        asked = days | {"by": by, "basis": basis}
        page = client.get("/costs/", asked).content.decode()
        assert own_site.name in page
        assert other.name not in page
    for foreign in ({"site": other.pk}, {"area": area.pk}):
        page = client.get("/costs/", days | foreign)
        assert "report" not in page.context
        assert client.get("/costs/export.csv", days | foreign).status_code == 400
    whole = listed(here, "/repairs/?")
    for foreign in ({"position": position.pk}, {"pump": pump.pk}):
        rows = client.get("/repairs/", foreign).context["page"].object_list
        assert {row.site_id for row in rows} == {own_site.pk}
    assert whole == {
        t.currency: (t.repair_cost, t.lost_production, t.environment_safety)
        for t in totals_of_site(own_site)
    }


def totals_of_site(site) -> list[CostTotals]:
    return cost_totals(site.repairs.all())
