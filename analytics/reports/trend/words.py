"""What the Trend page says in words: the verdict, the comparison, the method."""

from analytics.life.recurrence import TrendTest
from analytics.reports.trend.positions import LEAST_EVENTS, LEVEL
from analytics.reports.trend.question import TrendClock
from analytics.reports.trend.report import Group, TrendReport, level_at
from plant.display import count, fixed, interval, number, percent

PACE = {"worsening": "faster", "improving": "slower"}
CHANGES = {"worsening": "worse", "improving": "better"}
ORIGIN = {
    TrendClock.DAYS: (
        "The time of a position runs from the day its own records begin, or from the "
        "day it went into service where that is later. It is no age: what stood there "
        "had run before, and nothing here says how a new pump begins. Days are whole "
        "days; what came on one day is one step."
    ),
    TrendClock.HOURS: (
        "The time of a position is its running hours since the first reading of its "
        "meter in service, up to the last one; it is no age. Positions without a meter "
        "take no part, and calendar days are never mixed in."
    ),
}
METHOD = (
    "Curve: mean cumulative function with limits that stay right when events come in "
    "clusters at a position; every position counts while it is watched, with events "
    "or without.",
    "Trend: the Laplace test and the test of MIL-HDBK-189 (1981); a trend is told when "
    "both see it, the same way. Power law: maximum likelihood, its fit tested after "
    "Cramér and von Mises. A whole pump is repaired and not renewed, so no Weibull "
    "life is fitted to the times between its repairs.",
)


def p_text(p_value: float) -> str:
    """A chance as text, in hundredths where that says enough."""
    if p_value < 0.001:
        return "below 0.001"
    return fixed(p_value, 3 if p_value < 0.1 else 2)


def verdict_sentence(report: TrendReport) -> str:
    """Whether events come faster or slower, in one sentence or two."""
    verdict, event = report.verdict, report.question.counted.one
    if verdict.laplace is None or verdict.handbook is None:
        return ""
    chances = (
        f"Laplace {p_text(verdict.laplace.p_value)}, MIL-HDBK-189 "
        f"{p_text(verdict.handbook.p_value)}"
    )
    if verdict.direction:
        return (
            f"{event.capitalize()}s come {PACE[verdict.direction]} the longer the "
            f"records run: both tests see it (chance of that at a steady rate: "
            f"{chances})."
        )
    if len(verdict.seeing) == 1:
        return _one_test_only(verdict.seeing[0], event, chances)
    return (
        f"No trend can be told: {count(report.group.events, event)} came as a steady "
        f"rate would bring them (chance of more drift than this: {chances}). That is "
        "no proof that the rate is steady."
    )


def _one_test_only(test: TrendTest, event: str, chances: str) -> str:
    return (
        f"No trend can be told yet: {event}s may come {PACE[test.direction]}, but only "
        f"one of the two tests sees it ({chances}). Look again when more have come."
    )


def chance_sentence(report: TrendReport) -> str:
    """What the trend of a position is worth, given how many were looked at."""
    own = report.own_trend
    if own is None or not report.verdict.direction:
        return ""
    tested = count(len(report.positions), "position")
    if own.stands_out:
        return (
            f"It stands out also among the {tested} with {LEAST_EVENTS} events or more "
            f"(chance adjusted for their number {p_text(own.adjusted)})."
        )
    return (
        f"But who looks at {tested} meets such a trend by chance (adjusted for their "
        f"number {p_text(own.adjusted)}): take it as a hint, not as a finding."
    )


def power_law_sentence(report: TrendReport) -> str:
    """What the power law says, and whether it may be believed."""
    verdict, fit = report.verdict, report.verdict.power_law
    if fit is None:
        return verdict.power_law_refusal
    if not verdict.fits:
        return (
            "The power law does not fit these events (Cramér-von Mises, chance "
            f"{p_text(fit.fit_p_value)}): read neither its shape nor its present time "
            "between events. Look for a day on which something changed."
        )
    limits = interval(fit.shape_interval.low, fit.shape_interval.high, _two)
    return (
        f"The power law fits: shape {_two(fit.shape)} ({limits}); 1 is a steady rate, "
        "above 1 events come faster, below 1 slower."
    )


def _two(value: object) -> str:
    return fixed(value, 2)  # type: ignore[arg-type]


def curve_sentence(report: TrendReport) -> str:
    """The height of the curve, and the peers beside a single position."""
    group, event = report.group, report.question.counted.one
    unit = report.question.clock.in_words
    if report.question.subject is None:
        return _height(group, unit, event)
    own = (
        f"{group.name} had {count(group.events, event)} in "
        f"{number(round(group.longest))} {unit}"
    )
    if report.peers is None or report.peers.curve is None:
        return f"{own}; it has no peers with events to stand beside it."
    found = level_at(report.peers.curve, group.longest)
    if found is None:
        return f"{own}; none of its peers had one in that time."
    mean, lower, upper = found
    return (
        f"{own}; its {count(report.peers.positions, 'peer')} had {fixed(mean)} on "
        f"average ({interval(lower, upper, fixed)}), in the same time on record."
    )


def _height(group: Group, unit: str, event: str) -> str:
    curve = group.curve
    if curve is None:
        return ""
    mean, lower, upper = (v[-1] for v in (curve.mean, curve.lower, curve.upper))
    return (
        f"By {number(float(curve.time[-1]), 4)} {unit} on record a position had "
        f"{fixed(mean)} {event}s on average ({interval(lower, upper, fixed)})."
    )


def sample_sentence(report: TrendReport) -> str:
    """Positions, events and time behind every figure."""
    group = report.group
    exposure = group.histories.exposure
    unit = (
        "position-months"
        if report.question.clock is TrendClock.DAYS
        else "running hours"
    )
    shown = number(round(exposure)) if exposure >= 1000 else fixed(exposure, 1)
    return (
        f"Sample: {count(group.positions, 'position')}, "
        f"{count(group.events, report.question.counted.one)}, {shown} {unit}; "
        f"{percent(report.question.scope.confidence)} intervals, two-sided."
    )


def doubts(report: TrendReport) -> list[str]:
    """What a reader must know before using the figures."""
    said = []
    if report.group.positions > 1 and report.verdict.laplace is not None:
        said.append(
            "The tests and the power law take all positions as alike: one that grows "
            "worse can hide among many. Positions that change by themselves stand in "
            "their own table."
        )
    if report.verdict.power_law is not None:
        said += report.verdict.power_law.warnings
    if not report.question.merges_rework:
        said.append(
            "Rework is not merged: repairs that come in bursts make both tests see "
            "more than there is."
        )
    shown = report.group if report.question.subject is None else report.peers
    if shown is not None and shown.curve is not None:
        said += shown.curve.warnings
        if shown.positions > 1 and shown.curve.lower[-1] == shown.curve.upper[-1]:
            said.append(
                "Every position had as many events as the others by the end of the "
                "curve, so its interval closes there: that is no certainty."
            )
    alone = report.question.subject is not None
    of_all = "Of all positions looked at: " if alone else ""
    return [*said, *(f"{of_all}{note}" for note in report.notes)]


def advice(report: TrendReport) -> str:
    """Why there is no verdict or no curve, and what to do."""
    refusal = report.verdict.refusal or report.group.refusal
    if not refusal:
        return ""
    if not report.group.positions:
        return (
            f"{refusal} Widen the choice, or look whether the positions have a day in "
            "service or a start of records."
        )
    return (
        f"{refusal} Pool more positions, or wait: too few events show no trend, in "
        "either way."
    )


def positions_reading(verdicts: int, found: int) -> str:
    """How the table of single positions is judged."""
    none = "none stands out" if not found else f"{count(found, 'position')} stand out"
    return (
        f"{count(verdicts, 'position')} with {LEAST_EVENTS} events or more tested one "
        f"by one; {none} with the share of false discoveries held at "
        f"{percent(LEVEL)}. The clearest are shown."
    )
