"""Every unit of a fleet judged by the rule, each against its own peers."""

from dataclasses import fields

import numpy as np
import pandas as pd

from analytics.exposure import Floats, Ints
from analytics.peers import PeerGroup, peer_groups
from analytics.reports.bad_actors.rule import (
    Evidence,
    beyond_chance,
    evidence,
    posterior_rates,
    spread_p_values,
    verdict,
)

RATES = ("posterior", "low", "high")


def judged(
    units: pd.DataFrame, confidence: float, *, with_rates: bool = True
) -> pd.DataFrame:
    """Add what the peers say and which units the rule flags.

    `units` has the columns of `peer_groups` with `events`, whole numbers, and `days`.
    `with_rates` False leaves the pooled rates out, which decide nothing.
    """
    events = units["events"].to_numpy(dtype=np.int64)
    days = units["days"].to_numpy(dtype=float)
    groups = list(peer_groups(units))
    found = _evidence(groups, events, days)
    judgement = verdict(events, found, _spread(groups, events, days, found))
    # With one site alone its name in front of every group would say nothing.
    sites = units["site_name"].unique()
    only_site = f"{sites[0]}, " if len(sites) == 1 else ""
    peers = np.full(len(units), "", dtype=object)
    others = np.zeros(len(units), dtype=np.int64)
    for group in groups:
        peers[group.answers] = group.name.removeprefix(only_site)
        others[group.answers] = group.members.sum() - 1
    rates = _rates(groups, events, days, confidence) if with_rates else {}
    return units.assign(
        **rates,
        expected=found.expected,
        p_value=found.p_value,
        peers=peers,
        others=others,
        is_flagged=judgement.flagged,
        is_near_miss=judgement.near_miss,
        adjusted=judgement.adjusted,
        worse=judgement.worse,
    )


def _evidence(groups: list[PeerGroup], events: Ints, days: Floats) -> Evidence:
    names = [column.name for column in fields(Evidence)]
    found: dict[str, Floats] = {name: np.full(events.size, np.nan) for name in names}
    for group in groups:
        answer = evidence(events[group.members], days[group.members])
        asked = group.answers[group.members]
        for name in names:
            found[name][group.answers] = getattr(answer, name)[asked]
    return Evidence(**found)


def _spread(
    groups: list[PeerGroup], events: Ints, days: Floats, found: Evidence
) -> Floats:
    """Chances against spreading peers, for groups in which any unit stands out."""
    stands_out = beyond_chance(found.p_value).rejected
    spread = np.ones(events.size)
    for group in groups:
        if (group.answers & stands_out).any():
            asked = group.answers[group.members]
            chances = spread_p_values(events[group.members], days[group.members])
            spread[group.answers] = chances[asked]
    return spread


def _rates(
    groups: list[PeerGroup], events: Ints, days: Floats, confidence: float
) -> dict[str, Floats]:
    rates = {name: np.full(events.size, np.nan) for name in RATES}
    for group in groups:
        asked = group.answers[group.members]
        answers = posterior_rates(
            events[group.members], days[group.members], confidence
        )
        for name, values in zip(RATES, answers, strict=True):
            rates[name][group.answers] = values[asked]
    return rates
