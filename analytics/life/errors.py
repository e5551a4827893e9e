"""Refusals of the life statistics, each worded so that a page can print it."""


class LifeError(Exception):
    """A statistic was refused; the message is a sentence for the engineer."""


class InvalidSample(LifeError, ValueError):
    """The numbers given cannot be lives, exposures or settings of any kind."""


class TooFewFailures(LifeError):
    """The sample is sound but holds too few failures for this statistic."""


class NoSpread(LifeError):
    """All failures are at one age, so their spread cannot be estimated."""


class NoMaximum(LifeError):
    """The likelihood rises without end: the data do not fix the parameters."""


class DidNotConverge(LifeError):
    """The search stopped before the answer was exact enough to show."""


class CovariateRefused(LifeError):
    """A column of a life regression is empty, constant or repeats others."""
