"""Lost production of one repair, for its page: worked out beside entered."""

from typing import Any
from urllib.parse import urlencode

from django.urls import reverse
from django.utils import timezone

from analytics.reports.lost_production.losses import Losses
from analytics.reports.lost_production.report import losses_in
from analytics.reports.lost_production.table import (
    counts_in_words,
    entered_in_words,
    marks,
)
from analytics.reports.lost_production.words import Stoppage, Words
from plant.access import may
from plant.display import NO_VALUE, money
from plant.models import Position, User
from records.choices import CostKind, CostStatus, RepairState
from records.models import CostLine, Repair
from records.selectors.stoppages import Days

LONGEST_NOTE = CostLine._meta.get_field("note").max_length or 0


def repair_panel(repair: Repair, user: User) -> dict[str, Any]:
    """Context of the panel; `refusal` says why there is no figure."""
    context = {"repair": repair, "refusal": _refusal(repair)}
    if context["refusal"]:
        return context
    now = timezone.now()
    positions = Position.objects.filter(pk=repair.position_id)
    found = losses_in(positions, Days(None, timezone.localdate(now)), now)
    rows = found.table[found.table["repair"] == repair.pk]
    [stoppage] = Stoppage.of(rows)
    return context | _figures(repair, stoppage, found, user)


def _refusal(repair: Repair) -> str:
    if repair.state == RepairState.VOID:
        return "None: a void repair never counts."
    if repair.shop_work_of is not None:
        return (
            f"None: shop work. Its stoppage is that of {repair.shop_work_of}, where "
            "production counts."
        )
    if repair.stopped_at is None:
        return "None: the pump was not stopped for this repair."
    return ""


def _figures(
    repair: Repair, stoppage: Stoppage, found: Losses, user: User
) -> dict[str, Any]:
    words = Words(found)
    currency = words.member(stoppage)["currency"]
    reckoning = words.reckoning(stoppage)
    counts = counts_in_words(stoppage, words)
    return {
        "reckoning": f"{reckoning[0].upper()}{reckoning[1:]}.",
        "bearing": words.bearing(stoppage),
        "marks": marks(stoppage),
        "entries": [
            {
                "term": "Worked out",
                "text": money(stoppage.amount, currency)
                if stoppage.cents
                else NO_VALUE,
            },
            {
                "term": "Entered",
                "text": entered_in_words(stoppage, found) or NO_VALUE,
            },
            {"term": "What counts", "text": counts},
        ],
        "enter_url": _enter_url(repair, stoppage, reckoning, user),
    }


def _enter_url(repair: Repair, stoppage: Stoppage, reckoning: str, user: User) -> str:
    """The cost form, filled in; whoever follows it still has to save it."""
    may_enter = may(user, "records.log_repair") and may(user, "records.see_costs")
    if not (may_enter and stoppage.counted):
        return ""
    filled = {
        "kind": CostKind.LOST_PRODUCTION,
        "amount": stoppage.counted_amount,
        "status": CostStatus.ESTIMATE,
        "note": f"Worked out: {reckoning}"[:LONGEST_NOTE],
    }
    return f"{reverse('records:cost_new', args=[repair.pk])}?{urlencode(filled)}"
