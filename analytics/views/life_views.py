"""The other views of a population: one small question and one answer each."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from django.http import HttpResponse
from django.http.response import HttpResponseBase
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_safe

from analytics.forms.life import LifeForm
from analytics.forms.life_views import CompareForm, CostsForm, OwnForm
from analytics.reports.life.answer import (
    EXPORT_HEADER,
    ViewAnswer,
    file_rows,
    population_context,
)
from analytics.reports.life.comparison import life_comparison
from analytics.reports.life.comparison_page import comparison_answer
from analytics.reports.life.costs import mean_repair_costs
from analytics.reports.life.distributions import life_distributions
from analytics.reports.life.distributions_page import distributions_answer
from analytics.reports.life.forecast import life_forecast as forecast_of
from analytics.reports.life.forecast_page import forecast_answer
from analytics.reports.life.methods import METHODS
from analytics.reports.life.rating import life_ratings
from analytics.reports.life.rating_page import rating_answer
from analytics.reports.life.reading import LifeReading, life_reading
from analytics.reports.life.replacement import life_replacement as replacement_of
from analytics.reports.life.replacement_page import replacement_answer
from analytics.reports.life.tabs import TABS, question_context
from analytics.tables import address_with
from plant.csv_export import csv_response
from plant.models import User
from plant.requests import UserRequest

Answer = Callable[[User, LifeReading, Any], ViewAnswer]


@dataclass(frozen=True, slots=True)
class PopulationView:
    """A view: the name of its address, what it asks and how it answers."""

    name: str
    subtitle: str
    answer: Answer
    form: type[OwnForm] | None = None


def _distributions(user: User, reading: LifeReading, own: Any) -> ViewAnswer:
    return distributions_answer(life_distributions(reading))


def _comparison(user: User, reading: LifeReading, own: CompareForm) -> ViewAnswer:
    found = life_comparison(user=user, reading=reading, asked=own.asked)
    own.offer([*(group.name for group in found.groups), *found.others])
    return comparison_answer(found)


def _replacement(user: User, reading: LifeReading, own: CostsForm) -> ViewAnswer:
    costs = mean_repair_costs(user=user, choice=reading.question.choice)
    return replacement_answer(replacement_of(reading, own.costs), costs)


def _forecast(user: User, reading: LifeReading, own: Any) -> ViewAnswer:
    return forecast_answer(forecast_of(reading))


def _rating(user: User, reading: LifeReading, own: Any) -> ViewAnswer:
    return rating_answer(life_ratings(user=user, reading=reading))


DISTRIBUTIONS = PopulationView(
    "life_distributions",
    "Whether another distribution explains these lives better",
    _distributions,
)
COMPARISON = PopulationView(
    "life_comparison",
    "Whether groups of these lives last equally long",
    _comparison,
    CompareForm,
)
REPLACEMENT = PopulationView(
    "life_replacement",
    "Whether planned replacement pays, and at what age",
    _replacement,
    CostsForm,
)
FORECAST = PopulationView(
    "life_forecast",
    "How many will fail, which ones, and the spares to hold",
    _forecast,
)
RATING = PopulationView(
    "life_rating",
    "What the bearings are rated for, against what they did",
    _rating,
)


@require_safe
def life_distributions_page(request: UserRequest) -> HttpResponse:
    return _page(request, DISTRIBUTIONS)


@require_safe
def life_distributions_export(request: UserRequest) -> HttpResponseBase:
    return _file(request, DISTRIBUTIONS)


@require_safe
def life_comparison_page(request: UserRequest) -> HttpResponse:
    return _page(request, COMPARISON)


@require_safe
def life_comparison_export(request: UserRequest) -> HttpResponseBase:
    return _file(request, COMPARISON)


@require_safe
def life_replacement_page(request: UserRequest) -> HttpResponse:
    return _page(request, REPLACEMENT)


@require_safe
def life_replacement_export(request: UserRequest) -> HttpResponseBase:
    return _file(request, REPLACEMENT)


@require_safe
def life_forecast_page(request: UserRequest) -> HttpResponse:
    return _page(request, FORECAST)


@require_safe
def life_forecast_export(request: UserRequest) -> HttpResponseBase:
    return _file(request, FORECAST)


@require_safe
def life_rating_page(request: UserRequest) -> HttpResponse:
    return _page(request, RATING)


@require_safe
def life_rating_export(request: UserRequest) -> HttpResponseBase:
    return _file(request, RATING)


@require_safe
def life_methods(request: UserRequest) -> HttpResponse:
    return render(request, "analytics/life_methods.html", {"methods": METHODS})


@dataclass(slots=True)
class _Asked:
    """Both forms as sent, and the answer if neither has an error."""

    form: LifeForm
    own: OwnForm
    reading: LifeReading | None = None
    answer: ViewAnswer | None = None


def _asked(request: UserRequest, view: PopulationView) -> _Asked:
    form = LifeForm(request.GET or None, user=request.user)
    own = (view.form or OwnForm)(request.GET)
    asked = _Asked(form, own)
    is_sound = own.is_valid() and (not form.is_bound or form.is_valid())
    if is_sound:
        question = form.question()
        asked.reading = life_reading(user=request.user, question=question)
        asked.answer = view.answer(request.user, asked.reading, own)
    return asked


def _page(request: UserRequest, view: PopulationView) -> HttpResponse:
    return _shown(request, view, _asked(request, view))


def _file(request: UserRequest, view: PopulationView) -> HttpResponseBase:
    asked = _asked(request, view)
    if asked.answer is None:
        return _shown(request, view, asked, status=400)
    name = view.name.replace("_", "-")
    return csv_response(f"{name}.csv", EXPORT_HEADER, file_rows(asked.answer))


def _shown(
    request: UserRequest, view: PopulationView, asked: _Asked, status: int = 200
) -> HttpResponse:
    question = asked.reading.question if asked.reading else None
    context = question_context(
        view.name, request.GET, asked.form, asked.own, question
    ) | {
        "title": TABS[view.name],
        "subtitle": view.subtitle,
        "answer": asked.answer,
        "export_url": address_with(
            reverse(f"analytics:{view.name}_export"), request.GET
        ),
    }
    if asked.reading is not None:
        context |= population_context(asked.reading)
        context["choice"] = asked.form.in_words()
    return render(request, "analytics/life_view.html", context, status=status)
