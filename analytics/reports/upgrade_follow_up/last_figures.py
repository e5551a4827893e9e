"""Figures kept with a case when it was stored, so that a list simulates nothing."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from analytics.reports.upgrade_follow_up.figures import Figure
from analytics.reports.upgrades.report import UpgradeReport
from records.models import UpgradeCase
from records.selectors.upgrade_cases import LAST_FIGURES

LISTED = ("investment", "net_present_value", "payback_chance")


@dataclass(frozen=True, slots=True)
class LastFigures:
    """What a line of the list shows; `refusal` says why there is no figure."""

    worked_out_on: date | None
    investment: Figure
    net_present_value: Figure
    payback_chance: float | None
    payback_months: int | None
    refusal: str = ""


def listed_figures(report: UpgradeReport, worked_out_on: date) -> dict[str, Any]:
    """The record kept under `LAST_FIGURES`; numbers stand alone so that they sort."""
    record: dict[str, Any] = {
        "worked_out_on": str(worked_out_on),
        "payback_months": report.assumptions.payback_months,
    }
    if report.result is None:
        return record | {"refusal": " ".join(report.refusals)}
    for name in LISTED:
        figure = report.figure(name)
        record[f"{name}_limits"] = [figure.low, figure.high]
        # Without a number there is no column to sort by, and no zero.
        record |= {} if figure.value is None else {name: figure.value}
    return record


def last_figures(case: UpgradeCase) -> LastFigures:
    """The record taken back; a case without one has no figures."""
    kept: Mapping[str, Any] = case.assumptions.get(LAST_FIGURES) or {}
    on = kept.get("worked_out_on")
    return LastFigures(
        worked_out_on=date.fromisoformat(on) if on else None,
        investment=_figure(kept, "investment"),
        net_present_value=_figure(kept, "net_present_value"),
        payback_chance=kept.get("payback_chance"),
        payback_months=kept.get("payback_months"),
        refusal=kept.get("refusal", ""),
    )


def _figure(kept: Mapping[str, Any], name: str) -> Figure:
    low, high = kept.get(f"{name}_limits") or (None, None)
    return Figure(kept.get(name), low, high)
