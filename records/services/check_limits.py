"""A site's own limits of checks: added, changed, removed; checks keep what they had."""

from django.core.exceptions import ValidationError
from django.db import transaction

from plant.access import require
from plant.models import Site, User
from records.check_choices import Certainty
from records.models import CheckLimit
from records.services.life_changes import REASON_LENGTH

CHANGE_LIMITS = "records.change_limits"
GIVE_AN_END = "Give a lowest or a highest value, or both."
WRONG_WAY_ROUND = "The lowest value lies above the highest."
STANDS_ALREADY = (
    "This site has a limit for this check, design and size already: change that one."
)


@transaction.atomic
def check_limit_set(
    *,
    by: User,
    site: Site,
    kind: str,
    source: str,
    design: str = "",
    size: str = "",
    low: float | None = None,
    high: float | None = None,
    certainty: str = Certainty.SITE,
    limit: CheckLimit | None = None,
) -> CheckLimit:
    """Add a limit of the site, or change `limit`; it holds for checks from now on.

    Raises
    ------
    ValidationError
        Without an end, with the ends the wrong way round, without a source, or when
        the site has one for the same case already.
    """
    require(by, CHANGE_LIMITS, site=site)
    if limit is not None:
        require(by, CHANGE_LIMITS, site=limit.site)
    # One at a time per site: the search for a twin must see what the other stored.
    Site.objects.select_for_update(no_key=True).get(pk=site.pk)
    row = limit or CheckLimit(site=site)
    row.site, row.kind = site, kind
    row.design, row.size = design.strip(), size.strip()
    row.low, row.high = low, high
    row.source, row.certainty = source.strip(), certainty
    _refuse_impossible(row)
    row._history_user = by  # type: ignore[attr-defined]
    row.full_clean()
    row.save()
    return row


@transaction.atomic
def check_limit_remove(*, by: User, limit: CheckLimit, reason: str) -> None:
    """Take a limit of the site away: the next one that fits holds again."""
    require(by, CHANGE_LIMITS, site=limit.site)
    if not reason.strip():
        raise ValidationError({"reason": "Give the reason; it stays in the history."})
    limit._history_user = by  # type: ignore[attr-defined]
    limit._change_reason = reason.strip()[:REASON_LENGTH]  # type: ignore[attr-defined]
    limit.delete()


def _refuse_impossible(row: CheckLimit) -> None:
    if row.low is None and row.high is None:
        raise ValidationError({"high": GIVE_AN_END})
    if row.low is not None and row.high is not None and row.low > row.high:
        raise ValidationError({"low": WRONG_WAY_ROUND})
    if not row.source:
        raise ValidationError({"source": "Say where the limit comes from."})
    twin = CheckLimit.objects.filter(
        site=row.site, kind=row.kind, design__iexact=row.design, size__iexact=row.size
    ).exclude(pk=row.pk)
    if twin.exists():
        raise ValidationError({"kind": STANDS_ALREADY})
