"""This period beside the one before it and the same days last year."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal

from django.db.models import Count, Q

from analytics.exposure import MONTH_DAYS, Window, exposure_days
from analytics.reports.costs.amounts import NOTHING, kept_apart
from analytics.reports.costs.basis import Basis
from analytics.reports.costs.comparison_lines import (
    LATE,
    MAIN,
    REWORK,
    ComparisonLine,
    Sum,
)
from analytics.reports.costs.facts import (
    Fact,
    days_of,
    facts_of,
    late_facts_of,
)
from analytics.reports.costs.links import late_url, money_url, repairs_url
from analytics.reports.costs.periods import Period, Periods
from analytics.reports.costs.question import CostQuestion
from plant.display import date as shown_date
from records.models import CostLine, Repair
from records.selectors.exposure import service_spans
from records.selectors.repair_filter import day_starts_at
from records.selectors.repairs import rework_and_its_shop_work

YEAR_DAYS = 12 * MONTH_DAYS
ALL = 1_000_000_000
LINK = Callable[[CostQuestion, Window, dict[str, str]], str]


@dataclass(frozen=True, slots=True)
class Comparison:
    """Lines of three periods; money lines once for each unit that occurs in any."""

    periods: Periods
    lines: list[ComparisonLine]
    notes: list[str]

    @property
    def units(self) -> list[str]:
        return list(dict.fromkeys(line.unit for line in self.lines if line.unit))

    def line(self, key: str, unit: str = "") -> ComparisonLine:
        """The one with this key; StopIteration where there is none."""
        return next(own for own in self.lines if (own.key, own.unit) == (key, unit))


def comparison_of(
    question: CostQuestion, periods: Periods, facts: Iterable[Fact]
) -> Comparison:
    """Set the periods side by side, which are the first windows of the facts.

    Four queries: lines of rework, late lines, repairs, time in service.
    """
    windows = [period.window for period in periods]
    main = [fact for fact in facts if fact.windows[0] < len(windows)]
    reworked = _rework_facts(question, windows)
    late = late_facts_of(question, windows)
    years = _pump_years(question, windows)
    found = [
        *_time_lines(question, windows, years),
        *(
            line
            for unit in sorted({fact.unit for fact in [*main, *late]})
            for line in _of_unit(question, windows, unit, years, (main, reworked, late))
        ),
    ]
    booked = {fact.booked for fact in [*main, *late] if fact.booked is not None}
    notes = [*kept_apart(question.treatment, booked), *_about(question, periods)]
    return Comparison(periods, found, notes)


def _rework_facts(question: CostQuestion, windows: Sequence[Window]) -> list[Fact]:
    """Sums of lines of repairs that are rework; whichever day the basis looks at."""
    days = days_of(windows)
    repairs = question.repairs(*days)
    if question.basis is Basis.BOOKING:
        booked = CostLine.objects.filter(booked_on__range=days).order_by()
        repairs = Repair.objects.visible_to(question.scope.user).filter(
            pk__in=booked.values("repair")
        )
    # Cut at a number that no logbook reaches: PostgreSQL then makes the list first.
    # Else it may look for the repair before each of them once for every line.
    rework = rework_and_its_shop_work(repairs).order_by().values("pk")[:ALL]
    lines = question.lines(*days).filter(repair__in=rework)
    return facts_of(question, lines, windows)


def _of_unit(
    question: CostQuestion,
    windows: Sequence[Window],
    unit: str,
    years: Sequence[float],
    facts: tuple[list[Fact], list[Fact], list[Fact]],
) -> list[ComparisonLine]:
    main, rework, late = ([f for f in of if f.unit == unit] for of in facts)

    def lines(sums: Iterable[Sum], of: list[Fact], link: LINK) -> list[ComparisonLine]:
        return [_line(question, windows, unit, one, of, link) for one in sums]

    of_main = lines(MAIN, main, lambda q, w, asked: money_url(q, w, **asked))
    by_key = {line.key: line for line in of_main}
    return [
        *of_main,
        _per_year(by_key["repair"], "Repair cost", years),
        _per_year(by_key["production"], "Lost production", years),
        _preventive_share(by_key),
        *lines(
            REWORK, rework, lambda q, w, asked: money_url(q, w, rework="on", **asked)
        ),
        *lines(LATE, late, lambda q, w, asked: late_url(q, w, **asked)),
    ]


def _line(
    question: CostQuestion,
    windows: Sequence[Window],
    unit: str,
    what: Sum,
    facts: list[Fact],
    link: LINK,
) -> ComparisonLine:
    values = [NOTHING] * len(windows)
    for fact in facts:
        if what.takes(fact):
            for place in fact.windows:
                if place < len(values):
                    values[place] += fact.amount
    urls = [
        link(question, window, what.asked) if value else ""
        for window, value in zip(windows, values, strict=True)
    ]
    return ComparisonLine(
        what.key, what.label, unit, "money", what.level, tuple(values), tuple(urls)
    )


def _per_year(
    line: ComparisonLine, label: str, years: Sequence[float]
) -> ComparisonLine:
    values = tuple(
        value / Decimal(str(served)) if isinstance(value, Decimal) and served else None
        for value, served in zip(line.values, years, strict=True)
    )
    return ComparisonLine(
        f"{line.key}_per_year", f"{label} per pump-year", line.unit, "money", 0, values
    )


def _preventive_share(by_key: dict[str, ComparisonLine]) -> ComparisonLine:
    """Preventive work of preventive and corrective; modification stands apart."""
    shares = []
    for preventive, corrective, condition in zip(
        *(by_key[key].values for key in ("preventive", "corrective", "condition")),
        strict=True,
    ):
        both = preventive + corrective + condition
        shares.append(float(preventive / both) if both > 0 else None)
    return ComparisonLine(
        "preventive_share",
        "Preventive share of preventive and corrective",
        by_key["repair"].unit,
        "share",
        0,
        tuple(shares),
    )


def _time_lines(
    question: CostQuestion, windows: Sequence[Window], years: Sequence[float]
) -> list[ComparisonLine]:
    repairs = _repairs(question, windows)
    urls = [
        repairs_url(question, window) if size else ""
        for window, size in zip(windows, repairs, strict=True)
    ]
    return [
        ComparisonLine(
            "repairs", "Repairs", "", "count", 0, tuple(repairs), tuple(urls)
        ),
        ComparisonLine(
            "pump_years", "Pump-years in service", "", "years", 0, tuple(years)
        ),
    ]


def _repairs(question: CostQuestion, windows: Sequence[Window]) -> list[int]:
    """Repairs of each window, shop work left out; one query."""
    start, end = days_of(windows)
    names = [f"in_{place}" for place, _ in enumerate(windows)]
    rows: object
    if question.basis is Basis.EVENT:
        own = question.repairs(start, end).filter(shop_work_of__isnull=True)
        rows = own.aggregate(
            **{
                name: Count("pk", filter=_reported_in(window))
                for name, window in zip(names, windows, strict=True)
            }
        )
    else:
        booked = question.lines(start, end).filter(repair__shop_work_of__isnull=True)
        rows = booked.aggregate(
            **{
                name: Count("repair", distinct=True, filter=_booked_in(window))
                for name, window in zip(names, windows, strict=True)
            }
        )
    return [int(rows[name]) for name in names]


def _reported_in(window: Window) -> Q:
    after = Window(window.start, window.end).day_after
    return Q(
        reported_at__gte=day_starts_at(window.start),
        reported_at__lt=day_starts_at(window.start.fromordinal(after)),
    )


def _booked_in(window: Window) -> Q:
    return Q(booked_on__range=(window.start, window.end))


def _pump_years(question: CostQuestion, windows: Sequence[Window]) -> list[float]:
    """Calendar time in service, as the MTBR counts it."""
    spans = service_spans(question.scope.positions())
    return [float(exposure_days(spans, window).sum()) / YEAR_DAYS for window in windows]


def _about(question: CostQuestion, periods: Sequence[Period]) -> list[str]:
    """What a reader must know before setting the periods side by side."""
    this, before, last_year = (period.window for period in periods)
    found = []
    if before == last_year:
        found.append(
            "The period before and the same days last year are the same days here."
        )
    first = min(before.start, last_year.start)
    late = [
        site
        for site in question.scope.sites
        if site.records_from is not None and site.records_from > first
    ]
    found += [
        f"Records of {site.name} begin on {shown_date(site.records_from)}: what "
        "happened before that day is missing in the earlier periods."
        for site in late
    ]
    return found
