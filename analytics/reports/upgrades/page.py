"""What the answer of an upgrade case is given to show."""

from typing import Any

from analytics import peers
from analytics.judging.expectation import DRAWN_IN_WORDS
from analytics.reports.upgrades import tables
from analytics.reports.upgrades.drawings import charts
from analytics.reports.upgrades.report import UpgradeReport
from analytics.reports.upgrades.shown import limits_of, value_of
from analytics.tables import Cell
from plant.display import count, date

MANAGEMENT_OF_CHANGE = (
    "Another seal type, piping plan, bearing arrangement, material, size or speed is a "
    "change and not like for like: the site's management of change comes first."
)
TILES = ("payback_chance", "yearly_saving", "investment", "net_present_value")
TIMINGS = {
    "end_of_year": "at the end of its year",
    "mid_year": "in the middle of its year",
}


def upgrade_answer(report: UpgradeReport) -> dict[str, Any]:
    """Everything that analytics/upgrade_answer.html shows."""
    answer: dict[str, Any] = {
        "report": report,
        "headline": report.headline,
        "refusals": report.refusals,
        "warnings": report.warnings,
        "evidence": report.ratio.sentences,
        "input_columns": tables.INPUT_COLUMNS,
        "input_rows": tables.input_rows(report),
        "method": method(report),
        "caution": MANAGEMENT_OF_CHANGE,
    }
    if report.result is None:
        return answer
    return answer | {
        "tiles": tiles(report),
        "figure_columns": tables.FIGURE_COLUMNS,
        "failure_rows": tables.figure_rows(report, tables.FAILURES),
        "saving_rows": tables.figure_rows(report, tables.savings(report)),
        "saving_totals": tables.saving_totals(report),
        "worth_rows": tables.figure_rows(report, tables.WORTH),
        "cost_columns": tables.COST_COLUMNS,
        "cost_rows": tables.cost_rows(report),
        "cost_totals": tables.cost_totals(report),
        "cost_words": cost_words(report),
        "compared_columns": tables.COMPARED_COLUMNS,
        "compared_rows": tables.compared_rows(report),
        "charts": charts(report),
    }


def tiles(report: UpgradeReport) -> list[Cell]:
    found = []
    for key in TILES:
        figure = report.figure(key)
        limits = limits_of(figure)
        tile = {"label": figure.label, "value": value_of(figure, report.currency)}
        tile |= {"interval": f"90 %: {limits}"} if limits else {"note": figure.reason}
        found.append(tile)
    return found


def cost_words(report: UpgradeReport) -> str:
    """What the totals of the table may come to."""
    before, after = (report.figure(key) for key in ("cost_before", "cost_after"))
    saved = report.figure("net_present_value")
    limits = [
        limits_of(figure) or "taken as certain" for figure in (before, after, saved)
    ]
    years = count(report.assumptions.horizon_years, "year")
    return (
        f"Worth today over {years}, in {report.currency}, each uncertain input at its "
        "mean. 90 % limits of the totals: "
        f"without the change {limits[0]}, with it {limits[1]}, saved {limits[2]}. What "
        "is saved in all is the net present value."
    )


def method(report: UpgradeReport) -> list[str]:
    """How it is worked out, from what and with which limits."""
    chosen = report.assumptions
    window = report.window
    return [
        f"{chosen.what_fails.label} count, from {date(window.start)} to "
        f"{date(window.end)}, of the positions and their peers, with the amounts "
        "booked by then.",
        *report.counting,
        peers.RULE_IN_WORDS,
        f"Failures a year of a position, as for actions: {DRAWN_IN_WORDS} A bad past "
        "alone is not promised away.",
        "Money of a failure: mean of the ledger, limits on a log scale. Lost "
        "production is what was entered, never worked out here, and stands apart; "
        "the total holds it and both are shown.",
        "Saving a year = positions × failures a year × (1 \u2212 share that stays) × "
        "(repair cost + lost production + environment), less what energy, water and "
        "barrier fluid add. Nothing is saved before the lead time is over.",
        f"Prices are those of today; the saving of a year is taken "
        f"{TIMINGS[chosen.timing]} and discounted at a rate beyond inflation.",
        "Values are means, every uncertain input at its mean; paybacks, the internal "
        "rate and the saving for each unit spent are medians, as some simulations "
        "may never pay back. A most likely value is none of them.",
        "Limits and chances: 20,000 simulations with a fixed seed draw every "
        "uncertain input, independently of the others. They hold the doubt about how "
        "large the inputs are, not the luck of single years.",
    ]
