"""What the Fleet page is given to show."""

from typing import Any

from django.http import QueryDict
from django.urls import NoReverseMatch, reverse

from analytics.reports.bad_actors.changes import Change
from analytics.reports.fleet.report import FleetReport, FleetTrend
from analytics.reports.fleet.rows import RowKind
from analytics.reports.mtbr import page as mtbr_page
from analytics.tables import Cell, address_with
from analytics.wording import interval_sentence, sample_text, value_text
from plant.access import may
from plant.display import count, fixed, interval, money, months, number, percent
from records.quality.figures import QualityFigure

BEYOND_CHANCE = 0.10
# What hurts people comes first.
FACTS = (RowKind.RELEASES, RowKind.NO_SPARE, RowKind.STOPPED, RowKind.UNSIGNED)
CONCERNS = (RowKind.HIGH_ZONE, RowKind.OVERDUE)
SHARES = ("mechanism", "cause", "meter")
NAMED = 4
GAP_NOUNS = {
    RowKind.NO_SEAL: "pump",
    RowKind.NO_BEARING: "pump",
    RowKind.NO_MODE: "failure",
    RowKind.UNKNOWN_BEGINNING: "part",
}


def context(report: FleetReport, query: QueryDict) -> dict[str, Any]:
    return {
        "report": report,
        "tiles": [
            *[_count_tile(report, kind, query) for kind in FACTS],
            _flagged_tile(report, query),
            *[_count_tile(report, kind, query) for kind in CONCERNS],
            _positions_tile(report, query),
        ],
        "likely_url": address_with(reverse("analytics:fleet_likely"), query),
        "mtbr_tiles": [_mtbr_tile(report, query), _year_before_tile(report, query)],
        "verdict": verdict(report),
        "cost_tiles": _cost_tiles(report, query),
        "gaps": [
            *[_gap(report, kind, query) for kind in RowKind if kind.is_gap],
            *[
                _share(figure, query)
                for figure in report.quality
                if figure.measure.key in SHARES
            ],
        ],
        "quality_url": address_with(reverse("records:data_quality"), query),
        "counting": [*report.scope.rule_in_words(), *mtbr_page.METHOD],
        **mtbr_page.rolling(report.rolling),
    }


def empty_state(report: FleetReport) -> Cell:
    """What to do with a database that holds no pumps yet."""
    if may(report.scope.user, "records.import_fleet"):
        text = (
            "Import the fleet from your own tables: sites, positions, pumps, parts "
            "and repairs. To look around first, load the invented demo plant at the "
            "server's command line: manage.py load_demo."
        )
        return {"text": text, "url": _import_address(), "label": "Import a fleet"}
    return {
        "text": "Ask the administrator to import the fleet, or to let you see a site; "
        "the pumps then stand here."
    }


def _import_address() -> str:
    try:
        return reverse("records:import_list")
    except NoReverseMatch:
        return ""


def verdict(report: FleetTrend) -> str:
    """Whether the change against the year before is more than chance."""
    change = report.change
    if change is None:
        return "There is no year before to compare with."
    if not report.mtbr.events and not report.year_before.events:
        return "No repair in either year: there is no change to judge."
    limits = interval(change.interval.low, change.interval.high)
    sure = percent(change.interval.confidence)
    if change.p_value < BEYOND_CHANCE:
        better = change.ratio is not None and change.ratio < 1
        word = "better" if better else "worse"
        head = f"This year is {word} than the year before, beyond chance"
    else:
        head = "The change against the year before is within chance"
    times = f"{number(change.ratio)} times those of the year before"
    if not report.year_before.events:
        least = number(change.interval.low)
        times = f"at least {least} times those of the year before, which had none"
    return (
        f"{head}: repairs per position-month are {times} ({sure} interval {limits}, "
        f"exact; p = {number(change.p_value, 2)})."
    )


def _mtbr_tile(report: FleetReport, query: QueryDict) -> Cell:
    return {
        "label": "MTBR, last 12 months",
        "value": value_text(report.mtbr, months, none="no repairs"),
        "interval": interval_sentence(report.mtbr, fixed, "months"),
        "note": sample_text(report.mtbr, event="repair", exposure="position-months"),
        "url": address_with(reverse("analytics:mtbr"), query),
    }


def _year_before_tile(report: FleetReport, query: QueryDict) -> Cell:
    before = report.year_before
    window = report.scope.window.year_before
    days = {"start": str(window.start), "end": str(window.end)}
    return {
        "label": "MTBR, the year before",
        "value": value_text(before, months, none="no repairs"),
        "interval": interval_sentence(before, fixed, "months"),
        "note": sample_text(before, event="repair", exposure="position-months"),
        "url": address_with(reverse("analytics:mtbr"), query, **days),
    }


def _positions_tile(report: FleetReport, query: QueryDict) -> Cell:
    return {
        "label": "Positions in service",
        "value": number(report.in_service),
        "note": f"of {number(report.all_positions)} on record",
        "url": address_with(reverse("plant:position_list"), query),
    }


def _count_tile(report: FleetReport, kind: RowKind, query: QueryDict) -> Cell:
    return {
        "label": kind.label,
        "value": number(report.counts[kind]),
        "note": kind.meaning,
        "url": _rows_address(kind, query),
    }


def _flagged_tile(report: FleetReport, query: QueryDict) -> Cell:
    new = [name for name, change in report.flagged.items() if change is Change.NEW]
    return {
        "label": "Bad actors flagged, 12 months",
        "value": number(len(report.flagged)),
        "interval": f"New since a month ago: {_named(new)}" if new else "",
        "note": _named(list(report.flagged))
        or "No position is worse than its peers beyond chance.",
        "url": address_with(reverse("analytics:bad_actors"), query),
    }


def _named(labels: list[str]) -> str:
    named = ", ".join(labels[:NAMED])
    more = len(labels) - NAMED
    return f"{named} and {number(more)} more" if more > 0 else named


def _cost_tiles(report: FleetReport, query: QueryDict) -> list[Cell]:
    url = address_with(reverse("analytics:costs"), query)
    tiles = []
    for total in report.costs or []:
        pairs = (
            ("Repair cost, 12 months", total.repair_cost),
            ("Lost production, 12 months", total.lost_production),
        )
        tiles += [
            {
                "label": label,
                "value": money(amount, places=0),
                "unit": total.currency,
                "url": url,
            }
            for label, amount in pairs
        ]
    return tiles


def _gap(report: FleetReport, kind: RowKind, query: QueryDict) -> Cell:
    noun = GAP_NOUNS[kind]
    return {
        "term": kind.label,
        "text": count(report.counts[kind], noun),
        "url": _rows_address(kind, query) if report.counts[kind] else "",
        "note": kind.meaning if report.counts[kind] else "",
    }


def _share(figure: QualityFigure, query: QueryDict) -> Cell:
    measure = figure.measure
    entry = {"term": measure.label, "text": f"no {measure.out_of_words}"}
    if figure.share is None:
        return entry
    entry["text"] = (
        f"{percent(figure.share)}, {number(figure.doubtful)} of "
        f"{number(figure.total)} {measure.out_of_words}"
    )
    if not figure.doubtful:
        return entry
    url = reverse("records:data_quality_rows", args=[measure.key])
    return entry | {"url": address_with(url, query), "note": measure.why}


def _rows_address(kind: RowKind, query: QueryDict) -> str:
    return address_with(reverse("analytics:fleet_rows", args=[kind]), query)
