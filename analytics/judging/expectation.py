"""What treated units would do if nothing changed, frozen on the day of the decision.

Who is chosen for treatment is chosen for a bad record, part of which was bad luck and
goes away by itself. What to expect is therefore not the record but each unit's rate
drawn towards its equals, as far as the counts of all of them tell that rates differ.
"""

from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass
from typing import Any, Self

import numpy as np
from numpy.typing import NDArray

from analytics.life.pooling import checked_counts, marginal_log_likelihood

Floats = NDArray[np.float64]

# Spread of the rates between equals: standard deviation over mean. Before anything is
# counted, equals are as likely as not to have next to none (the first), else a usual
# one; a fleet with a real spread soon says so.
SPREADS = np.linspace(0.03, 1.95, 33)
USUAL_SPREAD = 0.5
ALL_ALIKE = 0.5
MEANS = np.linspace(-3.0, 3.0, 9)
LEAST_WEIGHT = 1e-3


@dataclass(frozen=True, slots=True)
class FrozenExpectation:
    """Posterior rates of the treated units, kept with the decision.

    Each pool of `alphas` (gamma shape) and `means` (events per unit of exposure) has
    its weight. Under it the rate of a treated unit is gamma with shape alpha + events
    and rate alpha / mean + exposure. `equal_rate` is the rate that the untreated
    equals together were expected to show, resting on `equal_events`.
    """

    weights: tuple[float, ...]
    alphas: tuple[float, ...]
    means: tuple[float, ...]
    events: tuple[int, ...]
    exposures: tuple[float, ...]
    equal_rate: float
    equal_events: int

    @classmethod
    def from_record(cls, record: Mapping[str, Any]) -> Self:
        """Take back what `as_record` gave, lists for tuples."""
        names = ("weights", "alphas", "means", "events", "exposures")
        weights, alphas, means, events, exposures = (
            tuple(record[name]) for name in names
        )
        return cls(
            weights,
            alphas,
            means,
            events,
            exposures,
            float(record["equal_rate"]),
            int(record["equal_events"]),
        )

    def as_record(self) -> dict[str, Any]:
        """Plain numbers and lists, to be stored as JSON."""
        return {
            name: list(value) if isinstance(value, tuple) else value
            for name, value in asdict(self).items()
        }

    def rates(self) -> Floats:
        """Expected rate of each treated unit if nothing changes."""
        shape, rate = self._posterior()
        return np.asarray(np.array(self.weights) @ (shape / rate))

    def expected(self, exposure_after: Sequence[float]) -> float:
        """Events of all treated units together if nothing changes."""
        return float(self.rates() @ np.asarray(exposure_after, dtype=float))

    def count_chances(
        self, exposure_after: Sequence[float], scales: Sequence[float] = (1.0,)
    ) -> Floats:
        """Chance of 0, 1, 2 ... events of all treated units together.

        Every rate is multiplied by a scale; several scales are equally likely. The sum
        of unlike negative binomial counts comes from the product of their generating
        functions, taken on the unit circle.
        """
        after = np.asarray(exposure_after, dtype=float)
        size = self._longest(float(np.max(scales)) * after)
        circle = 1.0 - np.exp(-2j * np.pi * np.arange(size // 2 + 1) / size)
        # Units watched alike before and after share one factor.
        (before, later), kind = np.unique(
            np.stack([np.array(self.exposures), after]), axis=1, return_inverse=True
        )
        units = np.bincount(kind.ravel())
        events = np.bincount(kind.ravel(), self.events)
        weights, alphas = np.array(self.weights), np.array(self.alphas)
        shape = alphas[:, None] * units + events
        rate = (alphas / np.array(self.means))[:, None] + before
        total = np.zeros(circle.size, dtype=complex)
        for scale in scales:
            steps = np.zeros((weights.size, circle.size), dtype=complex)
            for place in range(later.size):
                ratio = np.outer(scale * later[place] / rate[:, place], circle)
                steps += shape[:, place, None] * np.log1p(ratio)
            total += weights @ np.exp(-steps)
        chances = np.fft.irfft(total / len(scales), size)
        return np.asarray(np.clip(chances, 0.0, 1.0), dtype=np.float64)

    def _longest(self, after: Floats) -> int:
        """A power of two beyond any count that could come up."""
        shape, rate = self._posterior()
        mean = (shape / rate * after).sum(axis=1)
        spread = np.sqrt((shape / rate * after * (1 + after / rate)).sum(axis=1))
        return 1 << int(np.ceil(np.log2((mean + 12 * spread).max() + 40)))

    def _posterior(self) -> tuple[Floats, Floats]:
        """Gamma shape and rate, a row a pool and a column a treated unit."""
        alphas, means = np.array(self.alphas), np.array(self.means)
        shape = alphas[:, None] + np.array(self.events)
        return shape, (alphas / means)[:, None] + np.array(self.exposures)


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
    weights, alphas, means = _pools(counts, times)
    everyone = FrozenExpectation(
        weights=tuple(weights.tolist()),
        alphas=tuple(alphas.tolist()),
        means=tuple(means.tolist()),
        events=tuple(int(count) for count in counts),
        exposures=tuple(times.tolist()),
        equal_rate=0.0,
        equal_events=0,
    )
    rates, others = everyone.rates(), ~chosen
    time = times[others].sum()
    return FrozenExpectation(
        weights=everyone.weights,
        alphas=everyone.alphas,
        means=everyone.means,
        events=tuple(int(count) for count in counts[chosen]),
        exposures=tuple(times[chosen].tolist()),
        equal_rate=float(rates[others] @ times[others] / time) if time else 0.0,
        equal_events=int(counts[others].sum()),
    )


def _pools(counts: Floats, times: Floats) -> tuple[Floats, Floats, Floats]:
    """Weight, shape and mean of the pools that the counts leave possible."""
    pooled = max(float(counts.sum()), 0.5) / float(times.sum())
    alphas = np.repeat(SPREADS**-2.0, MEANS.size)
    # Wide enough for what the counts and the spread leave open about the mean.
    widths = np.sqrt(1 / max(counts.sum(), 0.5) + SPREADS**2 / counts.size)
    means = pooled * np.exp(np.outer(widths, MEANS)).ravel()
    # Units of the same count and time add the same; a fleet has many of them.
    (kinds, spans), sizes = np.unique(
        np.stack([counts, times]), axis=1, return_counts=True
    )
    fits = np.array(
        [
            marginal_log_likelihood(kinds, spans, alpha, mean) @ sizes
            for alpha, mean in zip(alphas, means, strict=True)
        ]
    )
    usual = np.exp(-0.5 * (SPREADS / USUAL_SPREAD) ** 2)
    usual[0] = usual[1:].sum() * ALL_ALIKE / (1 - ALL_ALIKE)
    log_weights = fits + np.repeat(np.log(usual * widths), MEANS.size)
    weights = np.exp(log_weights - log_weights.max())
    kept = weights > LEAST_WEIGHT * weights.max()
    return weights[kept] / weights[kept].sum(), alphas[kept], means[kept]
