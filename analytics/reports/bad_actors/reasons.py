"""Why a unit is flagged, in one sentence with every number from the model."""

from collections.abc import Sequence

from analytics.reports.bad_actors.facts import RepairFacts
from analytics.reports.bad_actors.repeats import main_item, repeat_of
from plant.display import count, fixed, number, percent

# Below it the odds say nothing that helps.
SURE_ENOUGH = 0.5
NEARLY_SURE = 0.995
# By simulation, where the rates of like pumps spread smoothly, at least so many of
# those with about these odds are truly worse: DEVELOPERS.md, below the table of flags.
GRADES = ((0.95, "very likely", 0.79), (0.80, "likely", 0.61))
RAREST_NAMED = 1_000_000


def flag_reason(
    *,
    repairs: int,
    events: int,
    months: float,
    expected: float,
    worse: float,
    p_value: float,
    facts: Sequence[RepairFacts] = (),
) -> str:
    """Counts against the peers, how sure, and what comes back.

    `expected` are events of the peers in the same time, `worse` and `p_value` those of
    the rule.
    """
    parts = [
        f"{counts_in_words(repairs, events)}{_of_item(facts)} in {fixed(months)} "
        f"months where pumps like it have {fixed(expected)}",
        _how_sure(worse, p_value),
    ]
    repeat = repeat_of(facts)
    if repeat is not None:
        parts.append(repeat.in_words)
    return "; ".join(parts) + "."


def counts_in_words(repairs: int, events: int) -> str:
    """Repairs, and what they are once rework is merged."""
    words = count(repairs, "repair")
    if events == repairs:
        return words
    return f"{words} ({count(events, 'separate event')}, rework merged)"


def sure_in_words(worse: float) -> str:
    """How likely it is worse than twice its peers, and how far to trust the odds."""
    odds = f"more than {percent(0.99)}" if worse > NEARLY_SURE else percent(worse)
    word, caveat = "perhaps", "such odds are often too high"
    grade = next((grade for grade in GRADES if worse >= grade[0]), None)
    if grade is not None:
        _least, word, share = grade
        caveat = (
            f"where pumps differ by degrees, as few as {percent(share)} of such hold"
        )
    return f"{word} worse than twice its peers (odds {odds}; {caveat})"


def one_in(chance: float, *, rarer: str = "fewer than") -> str:
    """A small chance in words: 1 in 18; `rarer` stands before the rarest named."""
    if chance * RAREST_NAMED < 1:
        return f"{rarer} 1 in {number(RAREST_NAMED)}"
    return f"1 in {number(1 / chance, 2)}"


def _how_sure(worse: float, p_value: float) -> str:
    chance = f"by chance alone {one_in(p_value)} pumps like it would have as many"
    if worse >= SURE_ENOUGH:
        return f"{sure_in_words(worse)}, and {chance}"
    return chance


def _of_item(facts: Sequence[RepairFacts]) -> str:
    """How many of the separate events began with the item that most did."""
    found = main_item(facts)
    if found is None:
        return ""
    item, times = found
    return f", {count(times, 'event')} of the {item.lower()},"
