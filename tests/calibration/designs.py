"""Ways in which a sample of lives comes about, drawn thousands at a time.

Lives are Weibull with shape and scale one; every statistic looked at is free
of the true parameters. The draws here share no code with the simulation that
calibrates the thresholds.
"""

from dataclasses import dataclass

import numpy as np

from analytics.life.weibull.likelihood import LifeSums, sums_from_rows

ENTRY_CHANCE = 0.3


@dataclass(frozen=True)
class Design:
    """Plan of a cell: `failures` is the number expected."""

    kind: str
    failures: int
    cut_share: float

    @property
    def name(self):
        if self.kind == "complete":
            return "complete"
        return f"{self.kind}, {self.cut_share:.0%} cut"

    @property
    def lives(self):
        return round(self.failures / self.failing)

    @property
    def failing(self):
        """Expected share of lives that fail."""
        if self.kind != "late entry":
            return 1.0 - self.cut_share
        chance = 1.0 - self.cut_share
        return 0.5 * chance + 0.5 * (chance - ENTRY_CHANCE) / (1.0 - ENTRY_CHANCE)

    @property
    def cut(self):
        """Age at the cut, infinite for a complete sample."""
        return -np.log(self.cut_share) if self.cut_share else np.inf

    @property
    def entry(self):
        return -np.log1p(-ENTRY_CHANCE)


def drawn_samples(design, runs, generator):
    """Ages, failed flags and weights of many samples as flat rows."""
    if design.kind == "failure ended":
        return _failure_ended(design, runs, generator)
    early = design.lives
    entered = 0
    if design.kind == "late entry":
        early, entered = design.lives - design.lives // 2, design.lives // 2
    blocks = [_lives(early, 0.0, design.cut, runs, generator)]
    if entered:
        blocks.append(_lives(entered, design.entry, design.cut, runs, generator))
    return _flat(blocks, runs)


def life_sums_of(rows):
    ages, failed, weights, owner, runs = rows
    return sums_from_rows(ages, failed, np.bincount(owner, minlength=runs), weights)


def _lives(number, entry, cut, runs, generator):
    """Rows of one block: failures, one row for the cut, one for the entry."""
    if np.isinf(cut):
        ages = generator.exponential(size=(runs, number))
        owner = np.repeat(np.arange(runs), number)
        return [(ages.ravel(), np.ones(ages.size, bool), np.ones(ages.size), owner)]
    ends = entry + generator.exponential(size=(runs, number))
    dead = ends <= cut
    owner, _ = np.nonzero(dead)
    rows = [(ends[dead], np.ones(owner.size, bool), np.ones(owner.size), owner)]
    everyone = np.arange(runs)
    left = number - dead.sum(axis=1)
    rows.append(
        (np.full(runs, cut), np.zeros(runs, bool), left.astype(float), everyone)
    )
    if entry > 0.0:
        weight = np.full(runs, -float(number))
        rows.append((np.full(runs, entry), np.zeros(runs, bool), weight, everyone))
    return rows


def _failure_ended(design, runs, generator):
    ends = np.sort(generator.exponential(size=(runs, design.lives)), axis=1)
    ends = ends[:, : design.failures]
    weights = np.ones_like(ends)
    weights[:, -1] += design.lives - design.failures
    owner = np.repeat(np.arange(runs), design.failures)
    block = [(ends.ravel(), np.ones(ends.size, bool), weights.ravel(), owner)]
    return _flat([block], runs)


def _flat(blocks, runs):
    # A row that weighs nothing must not set the greatest age of its sample.
    rows = [
        tuple(part[row[2] != 0.0] for part in row) for block in blocks for row in block
    ]
    ages, failed, weights, owner = (
        np.concatenate(part) for part in zip(*rows, strict=True)
    )
    order = np.argsort(owner, kind="stable")
    return ages[order], failed[order], weights[order], owner[order], runs


def sums_for(design, runs, generator) -> LifeSums:
    return life_sums_of(drawn_samples(design, runs, generator))
