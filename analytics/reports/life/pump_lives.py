"""The lives of one pump with their ages, for its page."""

from datetime import datetime
from typing import Any

from analytics.ages import Clock
from analytics.reports.life.tables import STATUS_WORDS, columns, numeric
from analytics.samples import Sample, SampleRule, sample_build
from plant.choices import Beginning, ConditionFitted, Ending, Location
from plant.display import NO_VALUE, date, days, hours
from plant.models import Pump, User
from records.selectors.lives import LifeFilter, LifeTables, life_tables


def pump_lives_table(*, user: User, pump: Pump, now: datetime) -> dict[str, Any]:
    """Newest life first; ages in days in service and in running hours."""
    tables = life_tables(user=user, choice=LifeFilter(pump=pump.pk), as_of=now)
    by_clock = {
        clock: _sample(tables, now, clock) for clock in (Clock.DAYS, Clock.HOURS)
    }
    in_hours = by_clock[Clock.HOURS].rows.set_index("life_id")
    rows = []
    lives = by_clock[Clock.DAYS].rows.sort_values("fitted_at", ascending=False)
    for life in lives.to_dict("records"):
        run = in_hours.loc[life["life_id"]]
        rows.append(
            [
                {"text": Location(life["location"]).label},
                {"text": life["part"] or NO_VALUE},
                {"text": date(life["fitted_at"])},
                {"text": date(life["ended"]) if life["closed"] else NO_VALUE},
                {"text": Ending(life["ending"]).label},
                numeric(_age(life, days)),
                _hours_cell(run),
                {"text": _counted_as(life)},
            ]
        )
    labels = ("Age in service", "Running hours")
    return {
        "columns": columns(
            *("Place", "Part", "Fitted", "Ended", "How it ended"),
            *labels,
            "In life figures",
            numbers=labels,
        ),
        "rows": rows,
    }


def _sample(tables: LifeTables, now: datetime, clock: Clock) -> Sample:
    rule = SampleRule(as_of=now, clock=clock, conditions=tuple(ConditionFitted.values))
    return sample_build(tables, rule)


def _hours_cell(run: Any) -> dict[str, Any]:
    cell = numeric(_age(run, hours))
    is_known = cell["text"] != NO_VALUE
    return {**cell, "flag": "estimated" if is_known and run["estimated"] else ""}


def _counted_as(life: Any) -> str:
    """Failed or suspended; for what is left out also why."""
    status = STATUS_WORDS[life["status"]]
    return f"{status}: {life['reason'].lower()}" if life["reason"] else status


def _age(life: Any, show: Any) -> str:
    """An age, or a dash where the beginning or the hours are not known."""
    is_known = life["beginning"] != Beginning.UNKNOWN and life["age"] == life["age"]
    return str(show(life["age"])) if is_known else NO_VALUE
