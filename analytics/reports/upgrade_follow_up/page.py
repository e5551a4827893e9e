"""Promise beside reality, as the page of a case shows it."""

from typing import Any

from django.urls import reverse

from analytics.reports.actions.page import WORDS
from analytics.reports.budget.figures import amount
from analytics.reports.upgrade_follow_up import words
from analytics.reports.upgrade_follow_up.booked import BookedCost
from analytics.reports.upgrade_follow_up.figures import Figure
from analytics.reports.upgrade_follow_up.promise import Promise
from analytics.reports.upgrade_follow_up.reality import FollowUp, is_dropped, what_fails
from analytics.reports.upgrades.shown import two_places
from plant import display

Cell = dict[str, Any]
COLUMNS = [
    {"label": "All positions together"},
    {"label": "Promised with the change", "numeric": True},
    {"label": "Without it", "numeric": True},
    {"label": "Since it was done", "numeric": True},
]
COUNTED = (
    "Repairs are all separate ones of the positions, beside what the action froze as "
    "to be expected without it: so the action is judged, and so the saving is told, "
    "at what the case said that one failure costs. Energy, water and barrier fluid "
    "are not measured here and left out on both sides."
)
NOTHING_YET = "not yet"


def context(found: FollowUp) -> dict[str, Any]:
    return {
        "action": found.action,
        "action_url": reverse("records:action_detail", args=[found.action.pk]),
        "conclusion": conclusion(found),
        "columns": COLUMNS,
        "rows": rows(found),
        "sentences": [*cost_sentences(found), COUNTED],
        "promised": promise_words(found.promise),
    }


def conclusion(found: FollowUp) -> str:
    """How far it is, in one or two sentences."""
    if is_dropped(found):
        return f"The action was dropped: {found.action.dropped_reason}"
    if found.action.done_on is None:
        due = display.date(found.action.due_on)
        return f"Not done yet; the action is due on {due}. Nothing can be compared."
    said = f"{WORDS[found.judged.finding]}. {found.judged.reason}"
    if not found.is_too_early or found.judged.planned_on is None:
        return said
    planned = display.date(found.judged.planned_on)
    return f"{said} What stands below describes; it is judged on {planned}."


def rows(found: FollowUp) -> list[list[Cell]]:
    promise, real = found.promise, found.reality
    kind = what_fails(found.case).label.lower()
    early = {"flag": "too early"} if found.is_too_early and real is not None else {}
    return [
        [
            {"text": "Failures a year", "note": f"counted: {kind}"},
            words.rate_cell(promise.figure("failures_after")),
            words.rate_cell(promise.figure("failures_before")),
            words.rate_cell(real.failures) | early if real else _not_yet(),
        ],
        [
            {"text": "Repairs a year", "note": "as the action is judged"},
            _none(),
            _expected(real.expected) if real else _none(),
            words.rate_cell(real.observed) | early if real else _not_yet(),
        ],
        *_money_rows(found, early),
    ]


def _money_rows(found: FollowUp, early: Cell) -> list[list[Cell]]:
    promise, real = found.promise, found.reality
    code = promise.currency
    return [
        [
            {"text": "Spent once"},
            words.money_cell(promise.figure("investment"), code),
            _none(),
            booked_cell(found),
        ],
        [
            {"text": "Saved a year", "note": "by failures avoided"},
            words.money_cell(promise.figure("saving_failures"), code),
            _none(),
            words.money_cell(real.saving, code) | early if real else _not_yet(),
        ],
        [
            {"text": "Saved so far", "note": "by failures avoided"},
            _none(),
            _none(),
            words.money_cell(real.saved_so_far, code) | early if real else _not_yet(),
        ],
        [
            {"text": "Simple payback"},
            words.months_cell(promise.figure("simple_payback")),
            _none(),
            {"text": payback_words(found), "numeric": True},
        ],
    ]


def _expected(frozen: Figure) -> Cell:
    limits = display.interval(frozen.low, frozen.high, two_places)
    return words.numeric(two_places(frozen.value), f"nine in ten: {limits}")


def booked_cell(found: FollowUp) -> Cell:
    own = found.own_cost
    if own is None:
        return words.numeric(NOTHING_YET, "nothing is booked")
    note = "all of it booked"
    if own.estimate:
        note = f"{money(own, own.estimate)} of it estimated"
    return words.numeric(money(own, own.total), note)


def money(cost: BookedCost, value: Any) -> str:
    return display.money(value, cost.currency)


def payback_words(found: FollowUp) -> str:
    """Whether what was spent has come back yet; no forecast is made of it."""
    own, real = found.own_cost, found.reality
    if own is None or real is None or real.saved_so_far.value is None:
        return NOTHING_YET
    low, high = real.saved_so_far.low, real.saved_so_far.high
    spent = float(own.total)
    if low is not None and low >= spent:
        return "has paid back"
    if high is not None and high < spent:
        return "has not paid back yet"
    return "open: the interval holds what was spent"


def cost_sentences(found: FollowUp) -> list[str]:
    """What the cost so far is the sum of."""
    number = display.count(found.modifications, "repair")
    said = [
        f"Spent so far is labour, parts, contractor and other of {number} of category "
        "modification at these positions, reported from the day of the decision to the "
        "day it was done. It is a sum of the ledger and has no interval."
    ]
    others = [money(cost, cost.total) for cost in found.other_currencies]
    if others:
        said.append(f"In other currencies, not added: {', '.join(others)}.")
    return said


def promise_words(promise: Promise) -> list[str]:
    """The promise with what it rests on."""
    chances = ", ".join(
        f"{display.percent(chance)} within {months} months"
        for months, chance in promise.payback_chances.items()
    )
    worth = promise.figure("net_present_value")
    limits = words.limits(worth)
    return [
        promise.headline,
        f"Net present value over {promise.horizon_years} years at "
        f"{display.percent(promise.discount_rate, 1)} a year: "
        f"{amount(worth.value, promise.currency)}"
        f"{f' ({limits})' if limits else ''}.",
        f"Chance of payback: {chances or 'not worked out'}.",
        f"Promised on {display.date(promise.promised_on)} by version "
        f"{promise.software_version}, with the records up to "
        f"{display.date(promise.as_of)}. It stands as it was; what the records would "
        "say now does not change it.",
        promise.method,
    ]


def _none() -> Cell:
    return words.numeric(display.NO_VALUE)


def _not_yet() -> Cell:
    return words.numeric(NOTHING_YET)
