"""What the rows of components cannot say, known before anything is stored."""

from collections.abc import Iterable, Iterator, Sequence

from django.core.exceptions import ValidationError

from plant.choices import Location, WhyRemoved
from plant.display import date_time
from records.choices import ChangeKind
from records.models import Repair
from records.services.component_rows import (
    ComponentIn,
    ComponentOut,
    RowRefused,
    fitted_at_of,
    removed_at_of,
)


def rows_impossible(
    repair: Repair, outs: Sequence[ComponentOut], ins: Iterable[ComponentIn]
) -> list[RowRefused]:
    """Every row that cannot be; the times of the repair are known."""
    fitted = {row.location: row for row in ins}
    refused = []
    for index, out in enumerate(outs):
        for sentence in _faults(repair, out, fitted.get(out.life.location)):
            error = ValidationError(sentence)
            refused.append(RowRefused(error, ChangeKind.OUT, index))
    return refused


def refuse_rows_impossible(
    repair: Repair, outs: Sequence[ComponentOut], ins: Iterable[ComponentIn]
) -> None:
    """Raise the first RowRefused, if there is one."""
    for refused in rows_impossible(repair, outs, ins):
        raise refused


def _faults(
    repair: Repair, out: ComponentOut, follower: ComponentIn | None
) -> Iterator[str]:
    if not out.why_removed:
        yield "Say why it was taken out."
    elif out.why_removed == WhyRemoved.DEFECT and not out.defect_detected:
        yield "No defect was detected, so a defect is not why it left."
    removed_at = removed_at_of(repair, out)
    if removed_at < out.life.fitted_at:
        yield (
            f"Fitted on {date_time(out.life.fitted_at)}: later than the time you gave."
        )
    if follower is not None and removed_at > fitted_at_of(repair, follower):
        place = Location(out.life.location).label
        yield (
            f"{place}: the old one is taken out on {date_time(removed_at)}, later than "
            f"the new one is fitted on {date_time(fitted_at_of(repair, follower))}. "
            "Correct one of the two times."
        )
