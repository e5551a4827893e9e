"""Addresses of the repairs page that list what stands behind a figure of costs.

An address is given only where the cost totals of that list are the figure itself;
restated amounts stand in no list.
"""

from datetime import date, timedelta
from typing import Any
from urllib.parse import urlencode

from django.urls import reverse

from analytics.exposure import Window
from analytics.reports.costs.basis import Basis
from analytics.reports.costs.groupings import CostGrouping, asked_for
from analytics.reports.costs.question import CostQuestion

A_DAY = timedelta(days=1)


def repairs_url(question: CostQuestion, window: Window, **facts: Any) -> str:
    """Repairs whose costs the basis puts on these days; `facts` narrow the list."""
    day = "booked" if question.basis is Basis.BOOKING else "reported"
    days = {f"{day}_from": window.start, f"{day}_to": window.end}
    return _address(question, days | facts)


def row_url(
    question: CostQuestion,
    grouping: CostGrouping,
    key: tuple[Any, ...],
    **facts: Any,
) -> str:
    """The repairs of one row of a table."""
    asked = asked_for(grouping, key) | facts
    return repairs_url(question, question.scope.window, **asked)


def money_url(question: CostQuestion, window: Window, **facts: Any) -> str:
    """The same for a sum of money: blank where it is not told as it was booked."""
    return repairs_url(question, window, **facts) if _is_as_booked(question) else ""


def row_money_url(
    question: CostQuestion,
    grouping: CostGrouping,
    key: tuple[Any, ...],
    **facts: Any,
) -> str:
    if not _is_as_booked(question):
        return ""
    return row_url(question, grouping, key, **facts)


def late_url(question: CostQuestion, window: Window, **facts: Any) -> str:
    """Repairs of earlier days with a cost line booked in the window."""
    if not _is_as_booked(question):
        return ""
    asked: dict[str, date] = {
        "reported_to": window.start - A_DAY,
        "booked_from": window.start,
        "booked_to": window.end,
    }
    return _address(question, asked | facts)


def _is_as_booked(question: CostQuestion) -> bool:
    return question.treatment.is_plain


def _address(question: CostQuestion, asked: dict[str, Any]) -> str:
    scope = question.scope
    if question.work.counted_as:
        asked = {"counted_as": question.work.counted_as} | asked
    if scope.area is not None:
        asked = {"area": scope.area.pk} | asked
    if scope.site is not None:
        asked = {"site": scope.site.pk} | asked
    return f"{reverse('records:repair_list')}?{urlencode(asked)}"
