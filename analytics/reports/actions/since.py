"""What the records say today, beside the figures that a verdict rested on."""

from dataclasses import dataclass
from datetime import date
from typing import Any

from analytics.reports.actions import page
from analytics.reports.actions.judgement import ActionJudgement, judgement
from analytics.reports.actions.kept import judgement_kept
from plant.display import NO_VALUE
from records.models import Action

COLUMNS = [
    {"label": "Figure"},
    {"label": "Kept with the verdict"},
    {"label": "From the records now"},
]
SAME = "From the records of today every figure comes out the same."


@dataclass(frozen=True, slots=True)
class Difference:
    """One figure, as it was kept and as it would be now."""

    about: str
    kept: str
    now: str


@dataclass(frozen=True, slots=True)
class ShownJudgement:
    """The kept figures where there are any, else those worked out from the records.

    `differences` is None where nothing was kept that could differ.
    """

    found: ActionJudgement
    differences: list[Difference] | None = None


def judgement_shown(action: Action, as_of: date) -> ShownJudgement:
    """The judgement that the verdict rested on, or one with the records up to a day."""
    now = judgement(action, as_of)
    kept = judgement_kept(action)
    if kept is None:
        return ShownJudgement(now)
    return ShownJudgement(kept, differences(kept, now))


def differences(kept: ActionJudgement, now: ActionJudgement) -> list[Difference]:
    """Figures that the page would write otherwise today."""
    before, after = figure_texts(kept), figure_texts(now)
    return [
        Difference(about, was, is_now)
        for about in {**before, **after}
        for was in [before.get(about, NO_VALUE)]
        for is_now in [after.get(about, NO_VALUE)]
        if was != is_now
    ]


def figure_texts(found: ActionJudgement) -> dict[str, str]:
    """Every figure of the page by what it is about, as the page writes it."""
    tiles = {tile["label"]: _tile_text(tile) for tile in page.tiles(found)}
    looks = {
        f"After {page.look_words(look)}": page.look_sentence(found, look)
        for look in page.looks(found)
    }
    units = {one.unit.label: page.unit_after(one) for one in found.units}
    lives = " ".join(page.life_sentences(found))
    return {
        "Conclusion": page.conclusion(found),
        **tiles,
        **looks,
        **units,
        **({"Lives of the parts": lives} if lives else {}),
    }


def _tile_text(tile: dict[str, Any]) -> str:
    parts = (tile.get(name, "") for name in ("value", "note", "interval"))
    return "; ".join(part for part in parts if part)


def context(shown: ShownJudgement) -> dict[str, Any]:
    """What the panel says, with what differs today."""
    answer = page.context(shown.found)
    if shown.differences is None:
        return answer
    if not shown.differences:
        return {**answer, "same": SAME}
    rows = [
        [{"text": row.about}, {"text": row.kept}, {"text": row.now}]
        for row in shown.differences
    ]
    return {**answer, "difference_columns": COLUMNS, "difference_rows": rows}
