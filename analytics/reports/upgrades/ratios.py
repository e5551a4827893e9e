"""Where the ratio of failures after to before comes from, or why there is none."""

from dataclasses import dataclass

from analytics.exposure import Flags, Window
from analytics.life.errors import LifeError
from analytics.money.errors import MoneyError, TooLittleData
from analytics.money.failures_avoided.ratio import FailureRatio
from analytics.reports.upgrades.assumptions import Assumptions, RatioFrom
from analytics.reports.upgrades.changes import ChangesFound, changes_found
from analytics.reports.upgrades.evidence_fleet import FleetEvidence, fleet_evidence
from analytics.reports.upgrades.evidence_lives import (
    ITEMS_OF_COMPONENT,
    LivesEvidence,
    lives_evidence,
)
from analytics.reports.upgrades.history import FailureHistory
from records.models import UpgradeCase


@dataclass(frozen=True, slots=True)
class RatioFound:
    """The ratio with its source in words; None with the reason where there is none."""

    ratio: FailureRatio | None = None
    source: str = ""
    refusal: str = ""
    lives: LivesEvidence | None = None
    fleet: FleetEvidence | None = None
    changes: ChangesFound | None = None
    sentences: tuple[str, ...] = ()


def ratio_found(
    case: UpgradeCase,
    assumptions: Assumptions,
    history: FailureHistory,
    members: Flags,
    window: Window,
) -> RatioFound:
    """Ask the records as the case says; refusals come back as sentences."""
    try:
        if assumptions.ratio_from == RatioFrom.LIVES:
            return _from_lives(case, assumptions, history, members, window)
        if assumptions.ratio_from == RatioFrom.FLEET:
            return _from_fleet(case, assumptions, history)
    except (MoneyError, LifeError) as refusal:
        return RatioFound(refusal=str(refusal))
    return RatioFound()


def _from_lives(
    case: UpgradeCase,
    assumptions: Assumptions,
    history: FailureHistory,
    members: Flags,
    window: Window,
) -> RatioFound:
    share, words = _share_acted_on(assumptions, history, members, window)
    user = history.scope.user
    found = lives_evidence(user, case.as_of, assumptions.old, assumptions.new)
    ratio = found.ratio if share == 1.0 else found.ratio.of_all_failures(share)
    sentences = (
        f"{found.old.in_words}. {found.new.in_words}.",
        *words,
        "The two kinds of part stood at other positions: where their duty differs, "
        "the ratio tells of that too.",
    )
    failed = found.old.failed + found.new.failed
    return RatioFound(
        ratio, f"records, lives, n = {failed}", lives=found, sentences=sentences
    )


def _share_acted_on(
    assumptions: Assumptions, history: FailureHistory, members: Flags, window: Window
) -> tuple[float, tuple[str, ...]]:
    """Share of the counted failures that are of this kind of part, and in words."""
    items = set(ITEMS_OF_COMPONENT[assumptions.old.component])
    counted = set(assumptions.what_fails.items)
    if counted and not items & counted:
        raise TooLittleData(
            "The lives are of another part than the "
            f"{assumptions.what_fails.label.lower()} that the case counts."
        )
    if counted and counted <= items:
        return 1.0, ()
    events = history.events
    inside = events["day"].between(window.first_day, window.day_after - 1)
    of_group = events[inside & members[events["unit"].to_numpy(dtype=int)]]
    acted, total = int(of_group["item"].isin(items).sum()), len(of_group)
    if not acted:
        raise TooLittleData("No failure of this kind of part is on record there.")
    return acted / total, (
        f"{acted} of {total} failures of these and like positions are of this kind of "
        "part; the change leaves the others as they are.",
    )


def _from_fleet(
    case: UpgradeCase, assumptions: Assumptions, history: FailureHistory
) -> RatioFound:
    changes = changes_found(
        *(history.scope, case.change_made, assumptions.old, assumptions.new),
        but=case.action_id,
    )
    found = fleet_evidence(history, changes.days, changes.source)
    raw = found.measured.raw_ratio
    uncorrected = ""
    if raw is not None:
        uncorrected = (
            f"Their own record alone would say {raw:.2f}: part of that is bad luck "
            "that would have passed by itself, and it is not promised."
        )
    words = (found.in_words, uncorrected, changes.note)
    events = found.events_before + found.measured.events_after
    return RatioFound(
        ratio=found.measured.ratio,
        source=f"records, fleet, n = {events}",
        fleet=found,
        changes=changes,
        sentences=tuple(word for word in words if word),
    )
