"""Maintenance ratios in the manner of EN 15341 and of ISO 14224, annex E.

The numbers of indicators in EN 15341:2007 are from memory; the edition of 2019
numbers them anew. Every ratio is refused where it would divide by nothing.
"""

from analytics.money.errors import InvalidFigure
from analytics.money.figures import Amount, above_zero, zero_or_more


def maintenance_cost_ratio(
    maintenance_cost: Amount, replacement_value: Amount
) -> float:
    """Maintenance cost over the replacement value of the assets.

    Parameters
    ----------
    maintenance_cost : float or Decimal
        Of the period, usually a year; zero or more.
    replacement_value : float or Decimal
        Above zero, same currency.

    Returns
    -------
    float
        Share of one; times 100 it is E1 of EN 15341:2007.

    Raises
    ------
    InvalidFigure
        If a number is out of range.
    """
    value = above_zero(replacement_value, "replacement value")
    return zero_or_more(maintenance_cost, "maintenance cost") / value


def availability(up_hours: Amount, down_hours: Amount) -> float:
    """Up time over up time and down time.

    Parameters
    ----------
    up_hours, down_hours : float
        Zero or more, not both zero. With down time due to maintenance only
        it is T1, with all down time due to failures T2 of EN 15341:2007.

    Returns
    -------
    float
        Share of one.

    Raises
    ------
    InvalidFigure
        If a number is negative or both are zero.
    """
    up = zero_or_more(up_hours, "up time")
    return up / above_zero(up + zero_or_more(down_hours, "down time"), "time watched")


def operating_time_between_failures(
    operating_hours: Amount, failures: int
) -> float | None:
    """Operating time over failures, T17 of EN 15341:2007.

    Parameters
    ----------
    operating_hours : float
        Of all pumps together, zero or more.
    failures : int
        Zero or more.

    Returns
    -------
    float or None
        Hours; None without failures.

    Raises
    ------
    InvalidFigure
        If a number is negative.
    """
    hours = zero_or_more(operating_hours, "operating time")
    count = zero_or_more(failures, "number of failures")
    return hours / count if count else None


def mean_time_to_restore(restoration_hours: Amount, failures: int) -> float | None:
    """Time to restore over failures, T21 of EN 15341:2007.

    Parameters
    ----------
    restoration_hours : float
        From failure to service again, all failures together, zero or more.
    failures : int
        Zero or more.

    Returns
    -------
    float or None
        Hours; None without failures.

    Raises
    ------
    InvalidFigure
        If a number is negative or hours are given without failures.
    """
    hours = zero_or_more(restoration_hours, "time to restore")
    count = zero_or_more(failures, "number of failures")
    if hours and not count:
        raise InvalidFigure("There is time to restore but no failure.")
    return hours / count if count else None


def planned_hours_share(planned_hours: Amount, all_hours: Amount) -> float:
    """Planned and scheduled man-hours over all man-hours, O5 of EN 15341:2007.

    Returns
    -------
    float
        Share of one.

    Raises
    ------
    InvalidFigure
        If hours are negative, none at all, or more planned than worked.
    """
    return _part(planned_hours, all_hours, "planned man-hours", "man-hours")


def preventive_hours_share(preventive_hours: Amount, all_hours: Amount) -> float:
    """Preventive man-hours over all man-hours, ISO 14224 annex E.

    Returns
    -------
    float
        Share of one; the rest is corrective.

    Raises
    ------
    InvalidFigure
        If hours are negative, none at all, or more preventive than worked.
    """
    return _part(preventive_hours, all_hours, "preventive man-hours", "man-hours")


def preventive_cost_share(preventive_cost: Amount, all_cost: Amount) -> float:
    """Preventive maintenance cost over all maintenance cost.

    Returns
    -------
    float
        Share of one; the rest is corrective.

    Raises
    ------
    InvalidFigure
        If a cost is negative, nothing was spent, or more preventively than
        in all.
    """
    return _part(preventive_cost, all_cost, "preventive cost", "maintenance cost")


def rework_ratio(reworked: int, repairs: int) -> float:
    """Repairs that had to be done again over all repairs, ISO 14224 annex E.

    Returns
    -------
    float
        Share of one.

    Raises
    ------
    InvalidFigure
        If a count is negative, there is no repair, or more were done again
        than done.
    """
    return _part(reworked, repairs, "repairs done again", "repairs")


def overdue_share(overdue: int, due: int) -> float:
    """Preventive orders overdue over those due, ISO 14224 annex E.

    Returns
    -------
    float
        Share of one.

    Raises
    ------
    InvalidFigure
        If a count is negative, none is due, or more are overdue than due.
    """
    return _part(overdue, due, "orders overdue", "orders due")


def cost_per_order(cost: Amount, orders: int) -> float:
    """Maintenance cost over work orders, ISO 14224 annex E.

    Returns
    -------
    float
        Money per order.

    Raises
    ------
    InvalidFigure
        If the cost is negative or there is no order.
    """
    count = above_zero(orders, "number of orders")
    return zero_or_more(cost, "maintenance cost") / count


def _part(part: Amount, whole: Amount, part_name: str, whole_name: str) -> float:
    total = above_zero(whole, f"sum of {whole_name}")
    some = zero_or_more(part, f"sum of {part_name}")
    if some > total:
        raise InvalidFigure(f"There are more {part_name} than {whole_name}.")
    return some / total
