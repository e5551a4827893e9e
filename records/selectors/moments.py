"""Moments out of the database as pandas counts them."""

from typing import Any

import pandas as pd

from plant.days import moment_counted


def moments_counted(column: "pd.Series[Any]") -> "pd.Series[pd.Timestamp]":
    """In UTC; one of another age is cut, not fatal."""
    try:
        return pd.to_datetime(column, utc=True)
    except pd.errors.OutOfBoundsDatetime:
        cut = [None if pd.isna(one) else moment_counted(one) for one in column]
        return pd.to_datetime(pd.Series(cut, index=column.index), utc=True)
