"""What the records say about the positions: failures a year and money a failure."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field
from decimal import Decimal

import numpy as np
import pandas as pd
from django.db.models import F, Q
from django.db.models.functions import Coalesce

from analytics.exposure import Flags, Window
from analytics.judging.expectation import FrozenExpectation, freeze
from analytics.money.errors import TooLittleData
from analytics.money.event_rate import Gamma
from analytics.money.mean_cost import MeanCost, mean_cost
from analytics.money.quantities import Quantity
from analytics.reports.actions.units import equals_of
from analytics.reports.upgrades.history import FailureHistory
from records.models import Repair
from records.selectors.costs import cost_sums, lines_of

# With fewer own failures that have amounts, those of like positions are taken in.
ENOUGH_AMOUNTS = 8
PARTS = {
    "repair_cost": "repair",
    "lost_production": "production",
    "environment": "environment",
}


@dataclass(frozen=True, slots=True, eq=False)
class RateEvidence:
    """Failures of one position a year as it is now.

    Parameters
    ----------
    quantity : Gamma
        Mean over the positions, each drawn towards its peers or, as far as it is one
        of them, towards the few truly worse ones.
    worse : float
        Mean probability of the positions to be one of the few truly worse.
    events, years : int, float
        Seen at the positions.
    raw : float
        Events over years: holds bad luck that passes by itself.
    peers : str
        Name of the peer group.
    peer_units, peer_events : int
        Of the group, the positions themselves among them.
    members : ndarray of bool
        Which units of the history are in the group.
    """

    quantity: Gamma
    worse: float
    events: int
    years: float
    peers: str
    peer_units: int
    peer_events: int
    members: Flags

    @property
    def raw(self) -> float:
        return self.events / self.years


def rate_evidence(
    history: FailureHistory, treated: Flags, window: Window
) -> RateEvidence:
    """Rate of the positions given their counts, their time and their peers.

    Raises
    ------
    TooLittleData
        If a position was not in service in the window.
    """
    events, years = history.in_window(window)
    served = years > 0
    own = treated & served
    if not own.any():
        raise TooLittleData("None of the positions was in service in these months.")
    units = history.units[served].reset_index(drop=True)
    members, group = equals_of(units, own[served])
    everyone = np.flatnonzero(served)[members]
    expected = freeze(
        events[everyone].astype(int).tolist(),
        years[everyone].tolist(),
        own[everyone].tolist(),
    )
    return RateEvidence(
        quantity=_mean_rate(expected),
        worse=float(expected.worse_chances().mean()),
        events=int(events[own].sum()),
        years=float(years[own].sum()),
        peers=group,
        peer_units=len(everyone),
        peer_events=int(events[everyone].sum()),
        members=np.isin(np.arange(len(years)), everyone),
    )


def _mean_rate(expected: FrozenExpectation) -> Gamma:
    """The gamma with the mean and variance of the mean rate of several positions."""
    count = len(expected.events)
    mean, variance = expected.moments([1.0 / count] * count)
    return Gamma(mean**2 / variance, mean / variance, mean)


@dataclass(frozen=True, slots=True)
class MoneyEvidence:
    """Money of one failure, from the ledger.

    Parameters
    ----------
    costs : dict of str to MeanCost
        By repair_cost, lost_production, environment.
    events, priced : int
        Failures in the window, and those of them with any amount in the currency.
    of_peers : bool
        Whether failures of like positions had to be taken in.
    elsewhere : dict of str to Decimal
        What is on record in other currencies, never added: sums by currency.
    """

    costs: dict[str, MeanCost]
    events: int
    priced: int
    of_peers: bool
    elsewhere: dict[str, Decimal] = field(default_factory=dict)

    def quantity(self, part: str) -> Quantity | None:
        return self.costs[part].quantity


def money_evidence(
    history: FailureHistory, treated: Flags, peers: Flags, window: Window, currency: str
) -> MoneyEvidence:
    """Mean money of the failures of a window, rework and shop work within it.

    Amounts count that were booked by the window's last day.
    """
    failures = _of_events_in(history, window)
    units = failures["unit"].to_numpy(dtype=np.int64)
    chosen = failures[(treated | peers)[units]]
    sums, elsewhere = _ledger(chosen, window, currency)
    is_own = treated[chosen["unit"].to_numpy(dtype=np.int64)]
    own = set(chosen.loc[is_own, "event"])
    priced = own & sums.keys()
    of_peers = len(priced) < ENOUGH_AMOUNTS
    taken = set(sums) if of_peers else priced
    return MoneyEvidence(
        costs={
            part: mean_cost([float(sums[event][part]) for event in sorted(taken)])
            for part in PARTS
        },
        events=chosen["event"].nunique() if of_peers else len(own),
        priced=len(taken),
        of_peers=of_peers,
        elsewhere=_sum_of(elsewhere, own),
    )


def _of_events_in(history: FailureHistory, window: Window) -> pd.DataFrame:
    """All failures of the events that opened inside a window."""
    events = history.events
    inside = events["day"].between(window.first_day, window.day_after - 1)
    opened = set(events.loc[inside, "event"])
    failures = history.failures
    return failures[
        failures["event"].isin(opened) & (failures["day"] < window.day_after)
    ]


Ledger = dict[float, dict[str, Decimal]]


def _ledger(
    failures: pd.DataFrame, window: Window, currency: str
) -> tuple[Ledger, Ledger]:
    """Sums of each event in the currency by part, and in each other one."""
    event_of = dict(zip(failures["repair"], failures["event"], strict=True))
    keys = list(event_of)
    repairs = Repair.objects.filter(Q(pk__in=keys) | Q(shop_work_of__in=keys))
    failure = Coalesce(F("repair__shop_work_of"), F("repair"))
    lines = lines_of(repairs).filter(booked_on__lte=window.end)
    own: Ledger = defaultdict(lambda: defaultdict(Decimal))
    others: Ledger = defaultdict(lambda: defaultdict(Decimal))
    for row in cost_sums(lines.annotate(failure=failure), "failure"):
        event = event_of.get(row["failure"])
        if event is None:
            continue
        for part, name in PARTS.items():
            amount = row[f"{name}_estimate"] + row[f"{name}_booked"]
            if row["currency"] == currency:
                own[event][part] += amount
            else:
                others[event][row["currency"]] += amount
    return own, others


def _sum_of(ledger: Ledger, events: Iterable[float]) -> dict[str, Decimal]:
    total: dict[str, Decimal] = defaultdict(Decimal)
    for event in events:
        for currency, amount in ledger.get(event, {}).items():
            total[currency] += amount
    return dict(sorted(total.items()))
