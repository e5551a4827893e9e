"""Refusals of the money sums, each worded so that a page can print it."""


class MoneyError(Exception):
    """A figure was refused; the message is a sentence for the reader."""


class InvalidFigure(MoneyError, ValueError):
    """A number given cannot be a price, a rate, a count or a period."""


class NoInternalRate(MoneyError):
    """The payments have no internal rate of return."""


class SeveralInternalRates(MoneyError):
    """The payments change sign more than once: a rate would not be the only one."""


class TooLittleData(MoneyError):
    """The records are sound but too few for this comparison."""


class DropNotClear(MoneyError):
    """The readings scatter more than the drop they are to show."""
