"""The ratio that an upgrade case is reckoned with, whatever it was found from."""

from dataclasses import dataclass

from analytics.life.results import Interval
from analytics.money.figures import Amount, share_of_one
from analytics.money.quantities import LogNormal


@dataclass(frozen=True, slots=True)
class FailureRatio:
    """Failures after a change over failures before, with its interval.

    Parameters
    ----------
    estimate : float
        0.5 halves the failures.
    median : float
        Middle of its uncertainty; differs from the estimate with few events.
    interval : Interval
        Limits of the ratio.
    notes : tuple of str
        Sentences to show beside the figure.
    """

    estimate: float
    median: float
    interval: Interval
    notes: tuple[str, ...] = ()

    @property
    def quantity(self) -> LogNormal:
        """The ratio as an uncertain input of an upgrade case."""
        limits = self.interval
        return LogNormal(self.median, limits.low, limits.high, limits.confidence)

    def of_all_failures(self, share: Amount) -> "FailureRatio":
        """Ratio of all failures, where the change acts on some of them only.

        Parameters
        ----------
        share : float
            Of the failures now that the change acts on, above zero, at most
            one; taken as certain.

        Raises
        ------
        InvalidFigure
            If the share lies outside its range.
        """
        part = share_of_one(share, "share of failures")
        limits = self.interval

        def whole(ratio: float) -> float:
            return 1.0 - part * (1.0 - ratio)

        acts = f"The change acts on {100 * part:.0f}\u00a0% of the failures."
        return FailureRatio(
            whole(self.estimate),
            whole(self.median),
            Interval(
                whole(limits.low), whole(limits.high), limits.confidence, limits.method
            ),
            (*self.notes, acts),
        )
