"""What the panel of one action says about its before and after."""

from typing import Any

from django.urls import reverse

from analytics.charts.before_after import LookDrawn, before_after
from analytics.charts.theme import figure_json
from analytics.judging.verdict import Finding
from analytics.reports.actions.judgement import ActionJudgement, Look, UnitAfter
from analytics.reports.actions.lives import LIFE_RULE
from analytics.reports.bad_actors.report import YEAR_DAYS, UnitKind
from plant import display

Cell = dict[str, Any]
LOOK_COLUMNS = [
    {"label": "After"},
    {"label": "Counted", "numeric": True},
    {"label": "Expected", "numeric": True},
    {"label": "Nine in ten between", "numeric": True},
    {"label": "Equals counted", "numeric": True},
    {"label": "Equals expected", "numeric": True},
]
UNIT_COLUMNS = [
    {"label": "Unit"},
    {"label": "Before", "numeric": True},
    {"label": "A year, as counted", "numeric": True},
    {"label": "A year, expected", "numeric": True},
    {"label": "Counted after", "numeric": True},
    {"label": "Expected after", "numeric": True},
]
# With more, whoever gives a verdict would scroll past them to the form.
FEW_UNITS = 10
WORDS = {
    Finding.WORKS: "Works",
    Finding.DOES_NOT: "Does not work",
    Finding.UNPROVEN: "Unproven",
    Finding.TOO_EARLY: "Too early",
}


def context(found: ActionJudgement) -> dict[str, Any]:
    answer: dict[str, Any] = {
        "found": found,
        "action": found.action,
        "conclusion": conclusion(found),
        "tiles": tiles(found),
        "since_verdict": since_verdict(found),
        "frozen": frozen_words(found),
        "method": found.kept.method if found.kept else "",
        "life_sentences": life_sentences(found),
    }
    if found.frozen is not None and found.frozen.expected is not None:
        rows = unit_rows(found)
        answer |= {
            "unit_columns": UNIT_COLUMNS,
            "unit_rows": rows,
            "units": display.count(len(rows), "unit").capitalize(),
            "few_units": len(rows) <= FEW_UNITS,
        }
    drawn = looks(found)
    if drawn:
        answer |= {
            "reading": "A count below its bar is rarer than one in twenty if nothing "
            "changed. Looks before the planned date describe and decide nothing.",
            "figure": figure_json(before_after([look_drawn(look) for look in drawn])),
            "look_columns": LOOK_COLUMNS,
            "look_rows": [_look_row(found, look) for look in drawn],
        }
    return answer


def conclusion(found: ActionJudgement) -> str:
    """The verdict of the figures in a sentence or two."""
    words = f"{WORDS[found.finding]}. {found.reason}"
    if found.finding is Finding.TOO_EARLY and found.planned_on is not None:
        return f"{words} The verdict is planned for {display.date(found.planned_on)}."
    if found.judged is None:
        return words
    by = (
        f"By the lives of {found.lives.parts}s, before and after"
        if found.judged_by_lives and found.lives
        else "By repairs, against what was expected on the day of the decision"
    )
    return f"{words} {by}, with the records up to {display.date(last_day(found))}."


def last_day(found: ActionJudgement) -> Any:
    return found.after.window.end if found.after else found.as_of


def tiles(found: ActionJudgement) -> list[Cell]:
    shown: list[Cell] = [{"label": "The figures say", "value": WORDS[found.finding]}]
    judged = found.judged
    if judged is None:
        return shown
    low, high = judged.expected_interval
    shown += [
        {
            "label": "Events after",
            "value": str(judged.events),
            "note": f"expected if nothing changed: {display.fixed(judged.expected)}",
            "interval": f"nine in ten between {low} and {high}",
        },
        {
            "label": "Counted over expected",
            "value": display.fixed(judged.ratio, 2),
            "interval": f"90\u00a0% interval: {limits(judged.ratio_interval)}",
        },
    ]
    if found.after is not None and found.after.equal_years > 0:
        shown.append(_equals_tile(found))
    return shown


def limits(interval: Any) -> str:
    return display.interval(interval.low, interval.high, lambda v: display.fixed(v, 2))


def _equals_tile(found: ActionJudgement) -> Cell:
    after = found.after
    assert after is not None
    expected = equals_expected(found, after.equal_years)
    ratio = after.equal_events / expected if expected else None
    return {
        "label": "Untreated equals",
        "value": display.fixed(ratio, 2),
        "note": f"{display.count(after.equal_events, 'event')} at "
        f"{display.count(len(found.equals), 'unit')} where "
        f"{display.fixed(expected)} were expected",
    }


def equals_expected(found: ActionJudgement, years: float) -> float:
    """Events of the equals if they went on as before."""
    known = sum(unit.years for unit in found.equals)
    rate = sum(unit.rate * unit.years for unit in found.equals)
    return rate / known * years if known else 0.0


def frozen_words(found: ActionJudgement) -> list[str]:
    """What was frozen, when, over which window, by which version and rule."""
    if found.stored is None:
        return ["Nothing was frozen when this was decided."]
    stored, frozen = found.stored, found.frozen
    group = frozen.group if frozen is not None and frozen.group else "none"
    return [
        f"Frozen as of {display.date(stored.as_of)} over {stored.window_months} "
        f"months, by version {stored.software_version}. Equals: {group}.",
        stored.rule,
        *([LIFE_RULE] if found.lives is not None else []),
    ]


def since_verdict(found: ActionJudgement) -> str:
    """Whether the figures are those that the verdict rested on; blank before it."""
    judged_at = found.action.judged_at
    if judged_at is None:
        return ""
    given = f"The verdict was given on {display.date(judged_at)}."
    if found.kept is not None:
        return (
            f"{given} These are the figures it rested on, kept with it by version "
            f"{found.kept.software_version}; later corrections do not change them."
        )
    return (
        f"{given} The figures of that day are not kept: these are worked out from "
        "the records as they are today, up to the planned date."
    )


def unit_rows(found: ActionJudgement) -> list[list[Cell]]:
    """Treated units: as counted before, as expected, and after."""
    assert found.frozen is not None
    after = {one.unit.key: one for one in found.units}
    rows = []
    for unit in found.frozen.treated:
        now = after.get(unit.key)
        texts = [
            display.count(unit.events, "event"),
            display.fixed(unit.raw_rate, 2),
            display.fixed(unit.rate, 2),
            str(now.events) if now else display.NO_VALUE,
            display.fixed(now.expected) if now else display.NO_VALUE,
        ]
        page = "position" if found.frozen.kind == UnitKind.POSITION else "pump"
        url = reverse(f"plant:{page}_detail", args=[unit.key])
        cells: list[Cell] = [{"text": unit.label, "url": url}]
        rows.append(cells + [{"text": text, "numeric": True} for text in texts])
    return rows


def looks(found: ActionJudgement) -> list[Look]:
    """The looks that have come, and the last window where it is another one."""
    drawn = list(found.looks)
    after, judged = found.after, found.judged
    if after is None or judged is None:
        return drawn
    months = found.action.judge_after_months
    if drawn and drawn[-1].after.window.end == after.window.end:
        return drawn
    if not found.is_due:
        months = 0
    low, high = judged.expected_interval
    return [*drawn, Look(months, after, judged.expected, low, high)]


def look_words(look: Look) -> str:
    if look.months:
        return f"{look.months} months"
    days = look.after.window.day_after - look.after.window.first_day
    return f"{display.fixed(days * 12 / YEAR_DAYS)} months, so far"


def look_drawn(look: Look) -> LookDrawn:
    words = look_words(look)
    return LookDrawn(words, look.after.events, look.expected, look.low, look.high)


def look_sentence(found: ActionJudgement, look: Look) -> str:
    """The row of a look in words."""
    counted, expected, between, equals, equals_due = _look_texts(found, look)
    return (
        f"{counted} counted, {expected} expected, nine in ten between {between}; "
        f"equals {equals} counted, {equals_due} expected"
    )


def unit_after(one: UnitAfter) -> str:
    return f"{one.events} counted after, {display.fixed(one.expected)} expected"


def _look_texts(found: ActionJudgement, look: Look) -> list[str]:
    after = look.after
    return [
        str(after.events),
        display.fixed(look.expected),
        f"{look.low} and {look.high}",
        str(after.equal_events),
        display.fixed(equals_expected(found, after.equal_years)),
    ]


def _look_row(found: ActionJudgement, look: Look) -> list[Cell]:
    texts = _look_texts(found, look)
    first: list[Cell] = [{"text": look_words(look)}]
    return first + [{"text": text, "numeric": True} for text in texts]


def life_sentences(found: ActionJudgement) -> list[str]:
    """Lives compared as lives; where they cannot be, why."""
    lives = found.lives
    if lives is None:
        return []
    noun = f"{lives.parts} life,{lives.parts} lives"
    sentences = [
        f"{display.count(lives.before, noun).capitalize()} of the same part and plan "
        f"before, {display.count(lives.after, noun)} after."
    ]
    judged = lives.judged
    if judged is None:
        return [*sentences, "One side is empty, so there is nothing to compare."]
    if judged.mean_before is not None and judged.mean_after is not None:
        sentences.append(
            f"Mean life {display.hours(judged.mean_before)} before and "
            f"{display.hours(judged.mean_after)} after; by chance alone a difference "
            f"like this comes in {display.percent(judged.p_value)} of cases."
        )
    words = WORDS[judged.finding].lower()
    return [*sentences, f"By lives: {words}. {judged.reason}"]
