"""What treated units would do if nothing changed, frozen on the day of the decision.

Who is chosen for treatment is chosen for a bad record, part of which was bad luck and
goes away by itself. What to expect is therefore not the record but each unit's rate
drawn towards its equals, as far as the counts of all of them tell that rates differ.
A unit so far out that it belongs to the few worse ones is drawn towards those and
keeps its bad record.
"""

from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass, fields, replace
from typing import Any, Self

import numpy as np
from numpy.typing import NDArray
from scipy import special

from analytics.judging.pools import Floats, possible_pools
from analytics.life.pooling import checked_counts, marginal_log_likelihood

DRAWN_IN_WORDS = (
    "the rate of each unit is drawn towards its equals, as far as the counts of all of "
    "them tell that rates differ; a unit too far out for that is one of a few truly "
    "worse ones and is drawn towards those (gamma-Poisson with two groups, averaged "
    "over the pools that the counts leave possible)."
)

Complex = NDArray[np.complex128]
# Chance of either group, and gamma shape and rate of a unit's rate in it.
Posterior = tuple[Floats, Floats, Floats]


@dataclass(frozen=True, slots=True)
class FrozenExpectation:
    """Posterior rates of the treated units, kept with the decision.

    Each pool of `alphas` (gamma shape) and `means` (events per unit of exposure) has
    its weight. Under it the rate of a treated unit is gamma with shape alpha + events
    and rate alpha / mean + exposure. `equal_rate` is the rate that the untreated
    equals together were expected to show, resting on `equal_events`.

    Of a pool, `shares` are worse: for them `worse_alphas` and `worse_means` stand for
    alpha and mean. An expectation stored without these three has no worse units.
    """

    weights: tuple[float, ...]
    alphas: tuple[float, ...]
    means: tuple[float, ...]
    events: tuple[int, ...]
    exposures: tuple[float, ...]
    equal_rate: float
    equal_events: int
    shares: tuple[float, ...] = ()
    worse_alphas: tuple[float, ...] = ()
    worse_means: tuple[float, ...] = ()

    @classmethod
    def from_record(cls, record: Mapping[str, Any]) -> Self:
        """Take back what `as_record` gave, lists for tuples."""
        names = [field.name for field in fields(cls) if field.name in record]
        values: dict[str, Any] = {name: record[name] for name in names}
        lists = {
            name: tuple(one) for name, one in values.items() if isinstance(one, list)
        }
        return cls(**values | lists)

    def as_record(self) -> dict[str, Any]:
        """Plain numbers and lists, to be stored as JSON."""
        return {
            name: list(value) if isinstance(value, tuple) else value
            for name, value in asdict(self).items()
        }

    def rates(self) -> Floats:
        """Expected rate of each treated unit if nothing changes."""
        chance, shape, rate = self.posterior()
        means = (chance * shape / rate).sum(axis=0)
        return np.asarray(np.array(self.weights) @ means)

    def worse_chances(self) -> Floats:
        """Probability of each treated unit that it is one of the few worse ones."""
        chance = self.posterior()[0]
        return np.asarray(np.array(self.weights) @ chance[1:].sum(axis=0))

    def expected(self, exposure_after: Sequence[float]) -> float:
        """Events of all treated units together if nothing changes."""
        return float(self.rates() @ np.asarray(exposure_after, dtype=float))

    def moments(self, exposure_after: Sequence[float]) -> tuple[float, float]:
        """Mean and variance of the true rates of all, each times its exposure."""
        after = np.asarray(exposure_after, dtype=float)
        mean, variance = self._pool_moments(after)
        weights = np.array(self.weights)
        whole = float(weights @ mean)
        return whole, float(weights @ (variance + mean**2)) - whole**2

    def count_chances(
        self, exposure_after: Sequence[float], scales: Sequence[float] = (1.0,)
    ) -> Floats:
        """Chance of 0, 1, 2 ... events of all treated units together.

        Every rate is multiplied by a scale; several scales are equally likely. The sum
        of unlike counts comes from the product of their generating functions, taken on
        the unit circle; that of one unit is a mixture of negative binomials.
        """
        after = np.asarray(exposure_after, dtype=float)
        size = self._longest(float(np.max(scales)) * after)
        circle = 1.0 - np.exp(-2j * np.pi * np.arange(size // 2 + 1) / size)
        posterior = self.posterior()
        total = np.zeros(circle.size, dtype=complex)
        for scale in scales:
            total += np.array(self.weights) @ self._product(
                scale * after, circle, posterior
            )
        chances = np.fft.irfft(total / len(scales), size)
        return np.asarray(np.clip(chances, 0.0, 1.0), dtype=np.float64)

    def _product(self, after: Floats, circle: Complex, posterior: Posterior) -> Complex:
        """Generating functions of all units multiplied, a row a pool."""
        chance, _shape, rate = posterior
        alphas, _means = self._groups()
        events, times = np.array(self.events), np.array(self.exposures)
        spans, kind = np.unique([times, after], axis=1, return_inverse=True)
        product = np.ones((len(self.weights), circle.size), dtype=complex)
        for place, later in enumerate(spans[1]):
            # Units watched alike share all but their events.
            alike = np.flatnonzero(kind.ravel() == place)
            base = 1.0 + later / rate[..., alike[:1]] * circle
            none, each = np.exp(-alphas * np.log(base)), 1.0 / base
            for count in np.unique(events[alike]):
                same = alike[events[alike] == count]
                own = chance[..., same[:1]] * none * each ** int(count)
                product *= own.sum(axis=0) ** same.size
        return product

    def _longest(self, after: Floats) -> int:
        """A power of two beyond any count that could come up."""
        mean, variance = self._pool_moments(after)
        reach = (mean + 10 * np.sqrt(mean + variance)).max()
        return 1 << int(np.ceil(np.log2(reach + 20)))

    def _pool_moments(self, after: Floats) -> tuple[Floats, Floats]:
        """Mean and variance of the rates times exposure of all, an entry a pool."""
        chance, shape, rate = self.posterior()
        mean = (chance * shape / rate).sum(axis=0)
        square = (chance * shape * (shape + 1) / rate**2).sum(axis=0)
        return mean @ after, (square - mean**2) @ after**2

    def posterior(self) -> Posterior:
        """Arrays of shape (groups, pools, treated units).

        The first group is that of most units; the second, of the worse ones, is left
        out where no pool has any.
        """
        events, times = np.array(self.events), np.array(self.exposures)
        alphas, means = self._groups()
        chance = np.ones((1, alphas.shape[1], events.size))
        if len(alphas) > 1:
            share = np.array(self.shares)[:, None]
            usual, worse = marginal_log_likelihood(events, times, alphas, means)
            with np.errstate(divide="ignore"):
                odds = worse - usual + np.log(share) - np.log1p(-share)
            chance = np.stack([special.expit(-odds), special.expit(odds)])
        return chance, alphas + events, alphas / means + times

    def _groups(self) -> tuple[Floats, Floats]:
        """Alphas and means of most units and, where there are, of the worse ones."""
        alphas, means = [self.alphas], [self.means]
        if any(self.shares):
            alphas, means = [*alphas, self.worse_alphas], [*means, self.worse_means]
        return np.array(alphas)[..., None], np.array(means)[..., None]


def freeze(
    events: Sequence[int], exposures: Sequence[float], treated: Sequence[bool]
) -> FrozenExpectation:
    """Expectation of the treated units among their equals, all counts up to now.

    `events` and `exposures` are of all units of one peer group, with the treated ones
    among them: without them the pool would not know what it takes to look bad.
    InvalidSample if a number is out of range or lengths differ.
    """
    counts, times = checked_counts(events, exposures)
    chosen = np.asarray(treated, dtype=bool)
    pools: dict[str, Any] = {
        name: tuple(column.tolist())
        for name, column in asdict(possible_pools(counts, times)).items()
    }
    everyone = FrozenExpectation(
        events=tuple(int(count) for count in counts),
        exposures=tuple(times.tolist()),
        equal_rate=0.0,
        equal_events=0,
        **pools,
    )
    rates, others = everyone.rates(), ~chosen
    time = times[others].sum()
    return replace(
        everyone,
        events=tuple(int(count) for count in counts[chosen]),
        exposures=tuple(times[chosen].tolist()),
        equal_rate=float(rates[others] @ times[others] / time) if time else 0.0,
        equal_events=int(counts[others].sum()),
    )
