"""Moments out of the database as pandas and numpy count them."""

from typing import Any

import numpy as np
import numpy.typing as npt
import pandas as pd
from django.db.models import BigIntegerField, Func

from plant.days import FIRST_MOMENT, LAST_MOMENT

SECOND = 1_000_000
FIRST, LAST = (
    int(moment.timestamp()) * SECOND for moment in (FIRST_MOMENT, LAST_MOMENT)
)


class Microseconds(Func):
    """A moment as whole microseconds since 1970.

    A number is read many times faster than a moment, of which the driver makes a
    Python object each.
    """

    template = "(EXTRACT(EPOCH FROM %(expressions)s) * 1000000)::bigint"
    arity = 1
    output_field = BigIntegerField()

    def get_db_converters(self, connection: Any) -> list[Any]:
        """None: it comes as a whole number, and there are many of them."""
        return []

    def as_sqlite(self, compiler: Any, connection: Any, **more: Any) -> Any:
        """SQLite keeps a moment as text in UTC, with six decimals or none."""
        return super().as_sql(
            compiler,
            connection,
            template=(
                "(CAST(strftime('%%%%s', substr(%(expressions)s, 1, 19)) AS INTEGER)"
                " * 1000000"
                " + CAST(substr(substr(%(expressions)s, 21) || '000000', 1, 6)"
                " AS INTEGER))"
            ),
            **more,
        )


def microseconds_counted(column: "pd.Series[Any]") -> npt.NDArray[np.float64]:
    """Microseconds since 1970, not-a-number for none; of another age are cut."""
    numbers = column.to_numpy(dtype=np.float64, na_value=np.nan)
    return np.asarray(np.clip(numbers, FIRST, LAST))


def moments_counted(column: "pd.Series[Any]") -> "pd.Series[pd.Timestamp]":
    """Moments in UTC out of microseconds; one of another age is cut, not fatal."""
    numbers = microseconds_counted(column)
    # Every number here is whole and far below 2 ** 53: nothing is rounded.
    known = np.where(np.isnan(numbers), 0, numbers).astype(np.int64)
    stamps = known.astype("datetime64[us]").astype("datetime64[ns]")
    stamps[np.isnan(numbers)] = np.datetime64("NaT")
    return pd.Series(stamps, index=column.index).dt.tz_localize("UTC")
