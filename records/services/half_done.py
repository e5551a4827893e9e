"""Swaps that look half done; asked back before a name stands under them."""

from collections.abc import Collection, Iterable, Sequence

from django.core.exceptions import ValidationError

from plant.choices import Component, Location
from records.choices import Activity, Category, Item
from records.models import Repair
from records.selectors.pump_changes import pump_change
from records.services.component_rows import ComponentIn, ComponentOut

COMPONENT_OF_ITEM: dict[str, Component] = {
    Item.SEAL: Component.SEAL,
    Item.RADIAL_BEARING: Component.RADIAL,
    Item.THRUST_BEARING: Component.THRUST,
}
FAILED = "failed"
WORKED_ON = "worked on"
HANDED_BACK = "handed back"
LEFT_EMPTY = "left empty"
FAILURES = (Category.CORRECTIVE, Category.CONDITION)


class AsIsAsked(ValidationError):
    """Asks back; `questions` are the codes that `as_is` would have to hold."""

    def __init__(self, questions: Sequence[str]) -> None:
        words = [question_in_words(code) for code in questions]
        super().__init__(words, code="as_is")
        self.questions = list(questions)


def questions_of(
    repair: Repair, outs: Iterable[ComponentOut], ins: Iterable[ComponentIn]
) -> list[str]:
    """What looks forgotten, as codes: the item that stayed, the places left empty.

    Nothing is asked where the whole pump was changed: it left with what is in it.
    """
    if repair.pump is None:
        return []
    outs = list(outs)
    codes = []
    component = COMPONENT_OF_ITEM.get(repair.item)
    failed = repair.category in FAILURES
    asked = failed or repair.activity == Activity.REPLACE
    if component and asked and all(o.life.component != component for o in outs):
        codes.append(f"{FAILED if failed else WORKED_ON}:{repair.item}")
    filled = {row.location for row in ins}
    state = HANDED_BACK if repair.returned_at else LEFT_EMPTY
    empty = [out.life.location for out in outs if out.life.location not in filled]
    codes += [f"{state}:{place}" for place in empty]
    return codes if codes and pump_change(repair) is None else []


def question_in_words(code: str) -> str:
    """The sentence of a code; blank for a code that asks nothing."""
    kind, _, value = code.partition(":")
    if kind in (FAILED, WORKED_ON) and value in COMPONENT_OF_ITEM:
        item = str(Item(value).label).lower()
        component = str(COMPONENT_OF_ITEM[value].label).lower()
        return (
            f"The {kind} item is a {item} but no {component} was taken out: "
            "tick if that is so."
        )
    if kind in (HANDED_BACK, LEFT_EMPTY) and value in Location.values:
        place = Location(value).label
        if kind == HANDED_BACK:
            return f"Handed back with nothing fitted at {place}: tick if that is so."
        return f"Nothing was fitted at {place}: tick if that is so."
    return ""


def refuse_half_done(questions: Iterable[str], as_is: Collection[str]) -> None:
    """Ask back what is not said to be so.

    Raises
    ------
    AsIsAsked
        With every question that `as_is` leaves open.
    """
    open_questions = [code for code in questions if code not in as_is]
    if open_questions:
        raise AsIsAsked(open_questions)
