"""From the one word of reason_out to the facts that a life keeps, and contradictions.

The facts, not the word, decide how a life ended: see plant.endings.
"""

from typing import Any

from plant.choices import WhyRemoved
from records.importing.vocabulary import ReasonOut

SOUND_REASONS = {
    ReasonOut.SOUND: WhyRemoved.PRACTICE,
    ReasonOut.PLANNED: WhyRemoved.PLANNED,
    ReasonOut.UPGRADED: WhyRemoved.UPGRADED,
    ReasonOut.RETIRED: WhyRemoved.RETIRED,
}


class Contradiction(ValueError):
    """Facts that cannot all be true; the message says which."""


def ending_facts(
    reason: str | None, defect_detected: bool | None, condition_found: str | None
) -> dict[str, Any]:
    """Fields of a removed life.

    Raises
    ------
    Contradiction
        When the reason and the defect do not go together.
    """
    facts: dict[str, Any] = {}
    if condition_found:
        facts["condition_found"] = condition_found
    if reason == ReasonOut.FAILED:
        if defect_detected is False:
            raise Contradiction(
                "reason_out says failed, defect_detected says no: make them agree."
            )
        return facts | {"defect_detected": True, "why_removed": WhyRemoved.DEFECT}
    if reason in SOUND_REASONS:
        if defect_detected:
            raise Contradiction(
                f"reason_out says {reason}, defect_detected says yes: if a defect "
                "was the reason, write failed."
            )
        why = SOUND_REASONS[ReasonOut(reason)]
        return facts | {"defect_detected": False, "why_removed": why}
    if defect_detected is not None:
        facts["defect_detected"] = defect_detected
    if reason == ReasonOut.DAMAGED:
        return facts | {"why_removed": WhyRemoved.DAMAGED}
    why = WhyRemoved.DEFECT if defect_detected and not reason else WhyRemoved.UNKNOWN
    return facts | {"why_removed": why}
