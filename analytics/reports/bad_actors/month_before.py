"""What became of each flag since a month before, from the same records."""

from collections.abc import Callable
from dataclasses import replace

import pandas as pd

from analytics.in_service import Service
from analytics.reports.bad_actors.changes import (
    Change,
    a_month_before,
    list_changes,
)
from analytics.reports.bad_actors.judgement import judged
from analytics.reports.bad_actors.units import position_units


def with_changes(
    table: pd.DataFrame,
    service: Service,
    units_of: Callable[[Service], pd.DataFrame],
) -> tuple[pd.DataFrame, tuple[str, ...]]:
    """Add the column `change` to judged units; and the names of who left while flagged.

    `units_of` makes the units out of a service; that of the month before is asked of
    the records already read.
    """
    earlier = replace(service, scope=a_month_before(service.scope))
    before = judged(units_of(earlier), service.scope.confidence, with_rates=False)
    # By key: two sites may have the same tag.
    keys = [str(key) for key in before["key"]]
    names = dict(zip(keys, before["label"], strict=True))
    changes = list_changes(
        now=[str(key) for key in table.loc[table["is_flagged"], "key"]],
        before=[str(key) for key in before.loc[before["is_flagged"], "key"]],
        judged=[str(key) for key in table["key"]],
    )
    change_of = changes.by_unit()
    became = [change_of.get(str(key)) for key in table["key"]]
    changed = table.assign(change=pd.Series(became, table.index, dtype=object))
    return changed, tuple(sorted(names[key] for key in changes.gone))


def flagged_by_change(service: Service) -> dict[str, Change]:
    """The positions that the rule flags, each new or still there, by name.

    For a page that shows no more of them: nothing else is worked out. The service is
    that of `bad_actor_service`.
    """
    units, confidence = position_units(service), service.scope.confidence
    table = judged(units, confidence, with_rates=False)
    table, _gone = with_changes(table, service, position_units)
    flagged = table[table["is_flagged"]].sort_values("label")
    return dict(zip(flagged["label"], flagged["change"], strict=True))
