"""A case's answer as plain data, kept as the promise of an action."""

from dataclasses import asdict
from typing import TYPE_CHECKING, Any

from analytics.judging.expectation import DRAWN_IN_WORDS
from plant.version import VERSION

if TYPE_CHECKING:
    from analytics.reports.upgrades.report import UpgradeReport

METHOD = (
    f"Failures a year: {DRAWN_IN_WORDS} Money of a failure: mean of the ledger with "
    "log-normal limits. 20,000 simulations of all uncertain inputs, drawn "
    "independently with a fixed seed; 90 % limits."
)


def promise_of(report: "UpgradeReport") -> dict[str, Any]:
    """Everything that was said, with how and from what."""
    return {
        "headline": report.headline,
        "figures": [figure.as_record() for figure in report.figures],
        "inputs": [asdict(line) for line in report.inputs],
        "warnings": report.warnings,
        "as_of": report.case.as_of.isoformat(),
        "currency": report.currency,
        "positions": [{"pk": one.pk, "tag": one.tag} for one in report.positions],
        "payback_months": report.assumptions.payback_months,
        "method": METHOD,
        "software_version": VERSION,
    }
