"""A case's answer as plain data: kept with the promise, and with the case for lists."""

from dataclasses import asdict
from typing import TYPE_CHECKING, Any

from plant.version import VERSION

if TYPE_CHECKING:
    from analytics.reports.upgrades.report import UpgradeReport

METHOD = (
    "Failures a year: posterior rate of the positions among their peers. Money of a "
    "failure: mean of the ledger with log-normal limits. 20,000 simulations of all "
    "uncertain inputs, drawn independently with a fixed seed; 90 % limits."
)
LISTED = ("investment", "yearly_saving", "net_present_value", "internal_rate")


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


def last_figures_of(report: "UpgradeReport") -> dict[str, Any]:
    """Flat figures, None where there are none."""
    values = {figure.key: figure.value for figure in report.figures}
    return {
        **{key: values.get(key) for key in LISTED},
        "payback_chance": values.get("payback_chance"),
        "payback_months": report.assumptions.payback_months,
        "as_of": report.case.as_of.isoformat(),
        "currency": report.currency,
        "software_version": VERSION,
    }
