"""What a case promised on the day it became an action; never written again."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from analytics.reports.upgrade_follow_up.figures import (
    Figure,
    cost_per_failure,
    payback_chances,
    saving_of_failures,
)
from analytics.reports.upgrades.report import UpgradeReport


@dataclass(frozen=True, slots=True)
class Promise:
    """The figures of the page with what they rest on, as they were that day."""

    promised_on: date
    as_of: date
    software_version: str
    currency: str
    headline: str
    method: str
    horizon_years: int
    discount_rate: float
    cost_per_failure: float
    figures: dict[str, Figure]
    payback_chances: dict[int, float]

    @classmethod
    def from_json(cls, stored: Mapping[str, Any]) -> "Promise":
        chances, figures = stored["payback_chances"], stored["figures"]
        return cls(
            promised_on=date.fromisoformat(stored["promised_on"]),
            as_of=date.fromisoformat(stored["as_of"]),
            software_version=stored["software_version"],
            currency=stored["currency"],
            headline=stored["headline"],
            method=stored["method"],
            horizon_years=stored["horizon_years"],
            discount_rate=stored["discount_rate"],
            cost_per_failure=stored["cost_per_failure"],
            figures={name: Figure.from_record(kept) for name, kept in figures.items()},
            payback_chances={int(m): chance for m, chance in chances.items()},
        )

    def figure(self, name: str) -> Figure:
        return self.figures.get(name, Figure(None))


def promise_record(report: UpgradeReport, *, promised_on: date) -> dict[str, Any]:
    """The whole report as plain data, with what reality will be set beside."""
    result = report.result
    assert result is not None
    figures: dict[str, Any] = {one.key: one.as_record() for one in report.figures}
    figures["saving_failures"] = saving_of_failures(result).as_record()
    return report.as_record() | {
        "promised_on": str(promised_on),
        "horizon_years": result.inputs.horizon_years,
        "discount_rate": float(result.inputs.discount_rate),
        "cost_per_failure": cost_per_failure(result.inputs),
        "figures": figures,
        "payback_chances": {str(m): c for m, c in payback_chances(result).items()},
    }
