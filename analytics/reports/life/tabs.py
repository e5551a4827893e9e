"""The views of one population: links and forms that keep the question."""

from typing import Any
from urllib.parse import urlencode

from django.forms import Form
from django.http import QueryDict
from django.urls import reverse

from analytics.reports.life.question import LifeQuestion
from analytics.tables import address_with
from plant.choices import Component

TABS = {
    "life": "Life",
    "life_distributions": "Other distributions",
    "life_comparison": "Compare",
    "life_replacement": "Replacement",
    "life_forecast": "Forecast",
    "life_rating": "Rating life",
}
BEARINGS_ONLY = "life_rating"


def life_tabs(
    current: str, query: QueryDict, question: LifeQuestion | None
) -> list[dict[str, Any]]:
    """Links to the other views; rating life only where bearings are chosen."""
    is_seal = question is None or Component.SEAL in question.choice.components
    tabs = [
        {
            "label": label,
            "url": address_with(reverse(f"analytics:{name}"), query),
            "is_current": name == current,
        }
        for name, label in TABS.items()
        if name != BEARINGS_ONLY or not is_seal or name == current
    ]
    component = urlencode({"component": query.get("component") or "seal"})
    drivers = {
        "label": "What drives life",
        "url": f"{reverse('analytics:life_drivers')}?{component}",
        "is_current": False,
    }
    return [*tabs, drivers]


def question_context(
    name: str,
    query: QueryDict,
    form: Form,
    own: Form,
    question: LifeQuestion | None,
) -> dict[str, Any]:
    """Tabs and both forms of a view, each with what the other one asked."""
    return {
        "tabs": life_tabs(name, query, question),
        "here": reverse(f"analytics:{name}"),
        "form": form,
        "own": own,
        "carried": carried(query, set(form.fields)),
        "carried_to_own": carried(query, set(own.fields)),
    }


def carried(query: QueryDict, own: set[str]) -> list[tuple[str, str]]:
    """What was asked by another form of the page, to be sent along with this one."""
    return [
        (name, value)
        for name, values in query.lists()
        if name not in own
        for value in values
        if value
    ]
