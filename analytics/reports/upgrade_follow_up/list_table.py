"""The list of upgrade cases as a table and as a file."""

from collections.abc import Iterable
from typing import Any

from analytics.reports.upgrade_follow_up import words
from analytics.reports.upgrade_follow_up.last_figures import LastFigures, last_figures
from plant import display
from plant.listing import Column
from records.models import UpgradeCase
from records.selectors.upgrade_cases import CaseState, state_of

Cell = dict[str, Any]
MOST_NAMED = 5
COLUMNS = (
    Column("Case", "title", ("title",)),
    Column("Site", "site", ("site__name",)),
    Column("State"),
    Column("Positions"),
    Column("Spent once", "spent", ("currency", "last_investment"), numeric=True),
    Column(
        "Net present value",
        "worth",
        ("currency", "last_net_present_value"),
        numeric=True,
    ),
    Column("Chance of payback", "chance", ("last_payback_chance",), numeric=True),
    Column("Changed", "changed", ("changed_at",)),
)
EXPORT_HEADER = (
    *("case", "site", "change", "state", "positions", "currency", "records_up_to"),
    *("investment", "investment_low", "investment_high"),
    *("net_present_value", "net_present_value_low", "net_present_value_high"),
    *("payback_chance", "payback_months", "worked_out_on", "not_worked_out"),
    *("stored_by", "changed_on"),
)


def case_cells(cases: Iterable[UpgradeCase]) -> list[list[Cell]]:
    return [_row(case, last_figures(case)) for case in cases]


def tags_of(case: UpgradeCase, most: int | None = MOST_NAMED) -> str:
    tags = sorted(position.tag for position in case.positions.all())
    named = ", ".join(tags[:most])
    more = len(tags) - (most or len(tags))
    return f"{named} and {more} more" if more > 0 else named


def _row(case: UpgradeCase, last: LastFigures) -> list[Cell]:
    return [
        {
            "text": case.title,
            "url": case.get_absolute_url(),
            "note": case.get_change_made_display(),
        },
        {"text": case.site.name},
        _state(case),
        {"text": display.text(tags_of(case))},
        words.money_cell(last.investment, case.currency),
        _worth(case, last),
        _chance(last),
        {"text": display.date(case.changed_at), "note": f"by {case.stored_by}"},
    ]


def _state(case: UpgradeCase) -> Cell:
    state = state_of(case)
    if state is CaseState.ACTED and case.action is not None:
        return {"text": str(state.label), "url": case.action.get_absolute_url()}
    return {"text": str(state.label)}


def _worth(case: UpgradeCase, last: LastFigures) -> Cell:
    if last.net_present_value.value is None:
        note = last.refusal or "open the case to work it out"
        return words.numeric(display.NO_VALUE, note)
    return words.money_cell(last.net_present_value, case.currency)


def _chance(last: LastFigures) -> Cell:
    if last.payback_chance is None:
        return words.numeric(display.NO_VALUE)
    within = f"within {last.payback_months} months"
    return words.numeric(display.percent(last.payback_chance), within)


def export_row(case: UpgradeCase) -> list[Any]:
    last = last_figures(case)
    return [
        case.title,
        case.site.name,
        case.get_change_made_display(),
        str(state_of(case).label),
        tags_of(case, None),
        case.currency,
        case.as_of,
        *last.investment.as_record().values(),
        *last.net_present_value.as_record().values(),
        last.payback_chance,
        last.payback_months,
        last.worked_out_on or "",
        last.refusal,
        case.stored_by.username,
        display.date(case.changed_at),
    ]
