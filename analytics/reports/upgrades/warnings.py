"""What a reader must know before trusting a case."""

from collections.abc import Iterator
from typing import TYPE_CHECKING

from analytics.money.quantities import quantity_interval
from analytics.reports.upgrades.assumptions import RatioFrom
from analytics.reports.upgrades.changes import all_changed
from analytics.reports.upgrades.history import FailureHistory
from analytics.reports.upgrades.words import ON_NO_RECORD, sure
from plant.display import fixed, money

if TYPE_CHECKING:
    from analytics.reports.upgrades.report import UpgradeReport


def warnings_of(report: "UpgradeReport", history: FailureHistory) -> list[str]:
    """Sentences, the weightiest first."""
    return [
        *_ratio(report),
        *_rate(report),
        *_positions(report, history),
        *_money(report),
    ]


def _ratio(report: "UpgradeReport") -> Iterator[str]:
    if report.assumptions.ratio_from == RatioFrom.TYPED:
        yield ON_NO_RECORD
    ratio = report.ratio.ratio
    if ratio is not None and ratio.interval.high >= 1.0:
        yield (
            "The records leave it open whether the change avoids any failures: the "
            "limits of the ratio hold 1, which is no change."
        )


def _rate(report: "UpgradeReport") -> Iterator[str]:
    rate = report.rate
    if rate is None:
        return
    limits = quantity_interval(rate.quantity)
    if rate.raw > limits.high:
        yield (
            f"As counted, these positions failed {fixed(rate.raw, 2)} times a year "
            f"each; reckoned is {fixed(rate.quantity.best, 2)}, drawn towards their "
            "peers, because part of a bad record is bad luck. By the counts alone the "
            f"chance that they are truly worse is {sure(rate.worse)}, and the rate "
            "allows for it; if another reason shows it, the case is better than it "
            "says."
        )


def _positions(report: "UpgradeReport", history: FailureHistory) -> Iterator[str]:
    _events, years = history.in_window(report.window)
    served = set(history.units.loc[years > 0, "key"])
    absent = [one.tag for one in report.positions if one.pk not in served]
    if absent:
        yield (
            "Not yet in service in these months, so counted with the rate of the "
            f"others: {', '.join(absent)}."
        )
    changed = all_changed(history.scope)
    recent = [one.tag for one in report.positions if one.pk in changed]
    if recent:
        yield (
            "Changed already in the time looked at, by an action or to another "
            f"piping plan: {', '.join(recent)}. Failures from before that still count "
            "in their rate."
        )


def _money(report: "UpgradeReport") -> Iterator[str]:
    found = report.money
    if found is None:
        return
    if found.elsewhere:
        sums = ", ".join(
            money(amount, currency) for currency, amount in found.elsewhere.items()
        )
        yield f"Not in these figures, as it is in another currency: {sums}."
