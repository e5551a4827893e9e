"""Cases side by side: open ones worked out anew, those of an action as promised."""

from collections.abc import Sequence
from dataclasses import dataclass, field

from analytics.reports.upgrade_follow_up.figures import Figure, payback_chances
from analytics.reports.upgrade_follow_up.promise import Promise
from analytics.reports.upgrades.report import UpgradeReport, upgrade_report
from plant.models import User
from records.models import UpgradeCase


@dataclass(frozen=True, slots=True)
class ComparedCase:
    """One column; `refusals` say why it has no figures."""

    case: UpgradeCase
    figures: dict[str, Figure] = field(default_factory=dict)
    chances: dict[int, float] = field(default_factory=dict)
    horizon_years: int | None = None
    discount_rate: float | None = None
    is_promise: bool = False
    refusals: tuple[str, ...] = ()

    @property
    def currency(self) -> str:
        return self.case.currency

    def figure(self, name: str) -> Figure:
        return self.figures.get(name, Figure(None))


@dataclass(frozen=True, slots=True)
class Comparison:
    """Two to four cases, and the months by which they are to have paid back."""

    cases: tuple[ComparedCase, ...]
    months: int

    @property
    def currencies(self) -> list[str]:
        return list(dict.fromkeys(one.currency for one in self.cases))

    @property
    def horizons(self) -> set[tuple[int | None, float | None]]:
        """Years and interest of those that have figures."""
        return {
            (one.horizon_years, one.discount_rate) for one in self.cases if one.figures
        }

    def name_of(self, case: UpgradeCase) -> str:
        """Its title, with its number where another has the same."""
        titles = [one.case.title for one in self.cases]
        if titles.count(case.title) > 1:
            return f"{case.title} (no. {case.pk})"
        return case.title

    def of_currency(self, currency: str) -> list[ComparedCase]:
        return [one for one in self.cases if one.currency == currency]


def comparison(cases: Sequence[UpgradeCase], months: int, user: User) -> Comparison:
    return Comparison(tuple(_column(case, user) for case in cases), months)


def _column(case: UpgradeCase, user: User) -> ComparedCase:
    if case.promise is not None:
        return promised_column(case, Promise.from_json(case.promise))
    return reckoned_column(upgrade_report(case, user))


def promised_column(case: UpgradeCase, promise: Promise) -> ComparedCase:
    return ComparedCase(
        case=case,
        figures=promise.figures,
        chances=promise.payback_chances,
        horizon_years=promise.horizon_years,
        discount_rate=promise.discount_rate,
        is_promise=True,
    )


def reckoned_column(report: UpgradeReport) -> ComparedCase:
    result = report.result
    if result is None:
        return ComparedCase(report.case, refusals=tuple(report.refusals))
    return ComparedCase(
        case=report.case,
        figures={
            one.key: Figure.from_record(one.as_record()) for one in report.figures
        },
        chances=payback_chances(result),
        horizon_years=result.inputs.horizon_years,
        discount_rate=float(result.inputs.discount_rate),
    )
