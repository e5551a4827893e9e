"""The reckoning of one stoppage in words and signs."""

from collections.abc import Sequence
from dataclasses import dataclass, fields
from decimal import Decimal
from functools import cached_property
from typing import Any

import pandas as pd

from analytics.money.stops import HOUR
from analytics.reports.lost_production.losses import CENT, Losses, Part
from analytics.reports.lost_production.outcome import Outcome
from analytics.reports.lost_production.partners import Partners
from plant.display import NO_BREAK_SPACE, count, money
from plant.tables.cells import as_entered

MOST_NAMED = 3


@dataclass(frozen=True, slots=True)
class Stoppage:
    """One row of the losses, as plain values."""

    row: int
    repair: int
    number: str
    category: str
    position: int
    member: int
    begin: int
    """Where the stop, cut to service and to the days, begins; microseconds."""
    end: int
    stood: int
    uncovered: int
    borne: int
    spent: int
    lost: int
    cents: int
    counted: int
    outcome: str
    is_open: bool
    is_cut: bool
    stop_as_reported: bool
    has_figure: bool

    @classmethod
    def of(cls, table: pd.DataFrame) -> list["Stoppage"]:
        """The rows of a part of the table of losses, in its order."""
        plain = table.assign(row=table.index)[[f.name for f in fields(cls)]]
        rows: list[dict[Any, Any]] = plain.to_dict("records")
        return [cls(**row) for row in rows]

    @property
    def amount(self) -> Decimal:
        return self.cents * CENT

    @property
    def counted_amount(self) -> Decimal:
        return self.counted * CENT


class Words:
    """Sentences about the rows of `losses`; tags and repairs by their names."""

    def __init__(self, found: Losses) -> None:
        self.losses = found
        self.partners = Partners(found)
        self._members = found.members.to_dict("records")

    def member(self, stoppage: Stoppage) -> dict[Any, Any]:
        return self._members[stoppage.member]

    def reckoning(self, stoppage: Stoppage) -> str:
        """The formula, or why nothing was lost."""
        member = self.member(stoppage)
        currency = member["currency"]
        outcome = Outcome(stoppage.outcome)
        if outcome is Outcome.COVERED:
            return f"none: {self._covered(stoppage)}"
        if outcome is Outcome.ASSUMED:
            return "none: an installed spare is on record, so cover is assumed"
        if outcome is Outcome.BORNE:
            return f"none here: borne by {self._bearers(stoppage)}"
        if outcome is Outcome.NO_TIME:
            return "none: no time of this stop lies in service and in the period"
        time = self._time(stoppage)
        if outcome is Outcome.BUFFER:
            return f"none: {time}, within the buffer"
        if outcome is Outcome.NO_SHARE:
            return f"none: {time}, but a stop here costs no output (share 0 %)"
        if outcome is Outcome.UNPRICED:
            return f"{time}; nobody has said what a stopped hour costs here"
        price = f"{money(member['cost'], currency)}/h{_share(member['share'])}"
        return f"{time}{self._missing(stoppage)} × {price} = " + money(
            stoppage.amount, currency
        )

    def bearing(self, stoppage: Stoppage) -> str:
        """Why this position's figures are used, where it is one of a spare group."""
        member = self.member(stoppage)
        if not stoppage.borne or member["group"] is None:
            return ""
        return (
            f"{member['tag']} bears it: of group {member['group_name']} it was the "
            "last to go down, so its cost per hour, share and buffer are used."
        )

    def entered_at(self, stoppage: Stoppage) -> str:
        """The repair with the figure, where another one of the outage has it."""
        found = self.losses.outages
        span = slice(found.first[stoppage.row], found.after[stoppage.row])
        named = {self._figures.get(int(outage)) for outage in found.outage[span]}
        return _listed(sorted(number for number in named if number))

    def _time(self, stoppage: Stoppage) -> str:
        """Hours stopped, less what was covered, less the buffer."""
        covered = stoppage.stood - stoppage.uncovered
        elsewhere = stoppage.uncovered - stoppage.borne
        taken_off = [
            (covered, f"covered by {self._names(stoppage)}" if covered else ""),
            (elsewhere, f"borne by {self._bearers(stoppage)}" if elsewhere else ""),
            (stoppage.spent, "buffer"),
        ]
        shown = hours(stoppage.stood)
        less = [f" − {hours(time)} {what}" for time, what in taken_off if time]
        return shown + "".join(less) + (f" = {hours(stoppage.lost)}" if less else "")

    def _missing(self, stoppage: Stoppage) -> str:
        """How many of how many were missing, where it was not all of them."""
        parts = self.losses.parts.get(stoppage.row, [])
        if all(short == wanted for _, short, wanted in parts):
            return ""
        if len(parts) == 1:
            return f" × {_of(parts[0])}"
        return f": ({' + '.join(f'{hours(p[0])} × {_of(p)}' for p in parts)})"

    def _able(self, stoppage: Stoppage) -> list[tuple[str, int]]:
        return self.partners.able(stoppage.member, (stoppage.begin, stoppage.end))

    def _covered(self, stoppage: Stoppage) -> str:
        able = self._able(stoppage)
        whole = stoppage.end - stoppage.begin
        through = sorted(tag for tag, time in able if time == whole)
        needed = self.member(stoppage)["needed"] or 1
        if len(through) == needed:
            return f"{_listed(through)} ran"
        if len(through) > needed:
            return f"{_listed(through)} stood ready, {needed} needed"
        return f"{_listed([tag for tag, _ in able])} ran in turn"

    def _names(self, stoppage: Stoppage) -> str:
        return _listed(sorted(tag for tag, _ in self._able(stoppage))) or "the others"

    def _bearers(self, stoppage: Stoppage) -> str:
        found = self.losses.outages
        span = slice(found.first[stoppage.row], found.after[stoppage.row])
        bearers = sorted(set(found.stop[span].tolist()) - {stoppage.row})
        tags = self.losses.members["tag"].array
        table = self.losses.table
        return _listed(
            [
                f"{tags[table['member'].iat[b]]} ({table['number'].iat[b]})"
                for b in bearers
            ]
        )

    @cached_property
    def _figures(self) -> dict[int, str]:
        """Number of a repair with an entered figure, by outage."""
        found, table = self.losses.outages, self.losses.table
        numbers = table["number"].array
        return {
            outage: str(numbers[row])
            for row in table.index[table["has_figure"]]
            for outage in found.outage[found.first[row] : found.after[row]].tolist()
        }


def hours(time: int) -> str:
    """Hours to a hundredth, with no zero at the end."""
    return f"{as_entered(round(time / HOUR, 2))}{NO_BREAK_SPACE}h"


def _share(share: float) -> str:
    """The part of the output lost, where it is not all of it."""
    shown = f"{as_entered(round(share * 100, 4))}{NO_BREAK_SPACE}%"
    return "" if share == 1 else f" × {shown}"


def _of(part: Part) -> str:
    return f"{part[1]} of {part[2]} missing"


def _listed(names: Sequence[str]) -> str:
    """P-1B and P-1C; of many the first few and how many more."""
    named = list(names[:MOST_NAMED])
    if len(names) > MOST_NAMED:
        named.append(count(len(names) - MOST_NAMED, "other"))
    if len(named) < 2:
        return "".join(named)
    return f"{', '.join(named[:-1])} and {named[-1]}"
