"""The comparison as a table, a chart for each currency, and a file."""

from collections.abc import Callable, Iterator
from typing import Any

from analytics.charts.compared_cases import CaseDrawn, compared_cases
from analytics.charts.theme import figure_json
from analytics.reports.budget.figures import amount
from analytics.reports.upgrade_follow_up import words
from analytics.reports.upgrade_follow_up.compare import ComparedCase, Comparison
from analytics.reports.upgrade_follow_up.list_table import tags_of
from plant import display
from records.selectors.upgrade_cases import state_of

Cell = dict[str, Any]
Show = Callable[[ComparedCase], Cell]
READING = (
    "Each mark is the net present value, each line holds nine in ten of the simulated "
    "outcomes. What lies wholly right of zero pays; lines that overlap say that chance "
    "may turn the order round."
)
EXPORT_HEADER = ("case", "currency", "figure", "value", "low", "high", "why_none")
EXPORTED = (
    *("investment", "failures_before", "failures_after", "yearly_saving"),
    *("simple_payback", "discounted_payback", "net_present_value", "internal_rate"),
    *("savings_to_investment", "cost_before", "cost_after", "gain_chance"),
)


def context(found: Comparison) -> dict[str, Any]:
    return {
        "columns": [
            {"label": "Figure"},
            *[
                {"label": found.name_of(one.case), "numeric": True}
                for one in found.cases
            ],
        ],
        "rows": rows(found),
        "notices": notices(found),
        "charts": list(charts(found)),
    }


def notices(found: Comparison) -> list[str]:
    """What must be known before the columns are set against each other."""
    said = []
    if len(found.currencies) > 1:
        said.append(
            f"Amounts are in {' and '.join(found.currencies)}: they stand apart and "
            "are not converted, so only rates, paybacks and chances compare."
        )
    if len(found.horizons) > 1:
        said.append(
            "The cases look at different numbers of years or use different interest: "
            "net present values and life-cycle costs do not compare as they are."
        )
    for one in found.cases:
        if one.refusals:
            said.append(f"{found.name_of(one.case)}: {' '.join(one.refusals)}")
    if any(one.is_promise for one in found.cases):
        said.append(
            "A case that became an action is shown with the figures it promised then."
        )
    return said


def rows(found: Comparison) -> list[list[Cell]]:
    lines: list[tuple[str, Show]] = [
        ("Kind of change", lambda one: {"text": one.case.get_change_made_display()}),
        ("Positions", lambda one: {"text": tags_of(one.case)}),
        ("State", lambda one: {"text": str(state_of(one.case).label)}),
        ("Records up to", lambda one: {"text": display.date(one.case.as_of)}),
        ("Spent once", money("investment")),
        ("Failures a year, now", rate("failures_before")),
        ("Failures a year, after", rate("failures_after")),
        ("Saved a year", money("yearly_saving")),
        ("Simple payback", months("simple_payback")),
        ("Discounted payback", months("discounted_payback")),
        (f"Chance of payback in {found.months} months", chance(found.months)),
        ("Net present value", money("net_present_value")),
        ("Chance that it gains", chance_of("gain_chance")),
        ("Internal rate of return", share("internal_rate")),
        ("Life-cycle cost without it", money("cost_before")),
        ("Life-cycle cost with it", money("cost_after")),
        ("Years and interest", _years),
    ]
    return [
        [{"text": label}, *[numeric(show(one)) for one in found.cases]]
        for label, show in lines
    ]


def numeric(cell: Cell) -> Cell:
    return cell | {"numeric": True}


def money(name: str) -> Show:
    return lambda one: words.money_cell(one.figure(name), one.currency)


def rate(name: str) -> Show:
    return lambda one: words.rate_cell(one.figure(name))


def months(name: str) -> Show:
    def show(one: ComparedCase) -> Cell:
        if not one.figures:
            return words.numeric(display.NO_VALUE)
        return words.months_cell(one.figure(name))

    return show


def share(name: str) -> Show:
    return lambda one: words.share_cell(one.figure(name))


def chance_of(name: str) -> Show:
    return lambda one: words.numeric(display.percent(one.figure(name).value))


def chance(within: int) -> Show:
    def show(one: ComparedCase) -> Cell:
        if one.figures and not one.chances:
            return words.numeric(display.NO_VALUE, one.figure("simple_payback").reason)
        if one.figures and within not in one.chances:
            years = display.count(one.horizon_years or 0, "year")
            return words.numeric(display.NO_VALUE, f"the case ends after {years}")
        return words.numeric(display.percent(one.chances.get(within)))

    return show


def _years(one: ComparedCase) -> Cell:
    if one.horizon_years is None:
        return words.numeric(display.NO_VALUE)
    years = display.count(one.horizon_years, "year")
    return words.numeric(years, f"{display.percent(one.discount_rate, 1)} a year")


def charts(found: Comparison) -> Iterator[dict[str, Any]]:
    """One for each currency: amounts of two never share an axis."""
    for place, currency in enumerate(found.currencies):
        drawn = [
            CaseDrawn(found.name_of(one.case), worth.value, worth.low, worth.high)
            for one in found.of_currency(currency)
            if (worth := one.figure("net_present_value")).value is not None
        ]
        if drawn:
            yield {
                "id": f"worth-{place}",
                "heading": f"Net present value, {currency}",
                "reading": READING,
                "figure": figure_json(compared_cases(drawn, currency)),
                "columns": [
                    {"label": "Case"},
                    {"label": "Net present value", "numeric": True},
                    {"label": words.INTERVAL, "numeric": True},
                ],
                "rows": [_drawn_row(case, currency) for case in drawn],
            }


def _drawn_row(case: CaseDrawn, currency: str) -> list[Cell]:
    limits = display.interval(case.low, case.high, lambda v: amount(v, ""))
    worth = words.numeric(amount(case.worth, currency))
    return [{"text": case.label}, worth, words.numeric(limits)]


def export_rows(found: Comparison) -> Iterator[list[Any]]:
    """A line a figure of each case, unrounded."""
    for one in found.cases:
        named = [found.name_of(one.case), one.currency]
        for name in EXPORTED:
            figure = one.figure(name)
            why = figure.reason or " ".join(one.refusals)
            yield [*named, name, figure.value, figure.low, figure.high, why]
        for within, share_of in one.chances.items():
            yield [*named, f"payback_chance_{within}_months", share_of, None, None, ""]
