"""What a reader of the costs must be told, beside page and in every file."""

from collections.abc import Iterable

from analytics.reports.costs.basis import Basis
from analytics.reports.costs.groupings import CostGrouping
from analytics.reports.costs.question import CostQuestion
from records.selectors.part_named import PART_RULE

Note = tuple[str, str]

ADDED_UP = (
    "Standing cost lines (one that a later line replaced is left out) of repairs that "
    "are not void. Repair cost is labour, parts, contractor and other; lost "
    "production, and environment and safety stand apart and are never added to it. "
    "Shop work is charged to its position and is not counted as another repair."
)
NO_INTERVAL = (
    "Sums of cost carry no interval: they are sums of what was entered, not estimates "
    "from a sample."
)
REWORK = (
    "Rework is a repair reported within the window of its site after the last repair "
    "of the same pump was handed back, with its shop work; the repairs page marks the "
    "same rows."
)
LATE = (
    "Booked late: lines booked in the period for repairs reported before it began. "
    "By event they belong to the earlier period and changed its figures after it was "
    "reported; by booking they are part of this one. A line that took the place of an "
    "earlier figure counts in full, not by the difference."
)
PUMP_YEARS = (
    "Pump-years are the calendar time of positions in service, as the MTBR counts it "
    "(a year is 12 months of 30.4375 days); a pump in the store adds none."
)
CATEGORIES = (
    "Preventive and corrective follow the maintenance category of each repair; what "
    "condition monitoring found is corrective work, modification stands apart."
)
CONVERTED_LINES = (
    "The list of cost lines as CSV has converted amounts to eight places: up to a "
    "million lines add up within half a cent of the total, which is rounded once."
)
PERIODS = (
    "The period before has the same length: as many months where the period is whole "
    "months, else as many days."
)


def method_of(question: CostQuestion) -> list[str]:
    """Sentences on how the figures are made."""
    return [
        ADDED_UP,
        f"{question.money_in_words} {NO_INTERVAL}",
        PERIODS,
        PUMP_YEARS,
        REWORK,
        LATE,
        CATEGORIES,
        PART_RULE,
        *_of_converted(question),
    ]


def _of_converted(question: CostQuestion) -> list[str]:
    return [] if question.treatment.is_plain else [CONVERTED_LINES]


def notes_of(
    question: CostQuestion, grouping: CostGrouping, warnings: Iterable[str]
) -> list[Note]:
    """Label and sentence, in the order in which a file tells them."""
    window = question.scope.window
    return [
        ("Period", f"{window.start} to {window.end}"),
        ("Place", question.scope.in_words()),
        ("Work counted", question.work.in_words),
        ("Period by", Basis(question.basis).in_words),
        ("Grouped by", str(grouping.label)),
        ("What is added up", ADDED_UP),
        ("Currencies", question.money_in_words),
        ("Uncertainty", NO_INTERVAL),
        ("Periods compared", PERIODS),
        ("Pump-years", PUMP_YEARS),
        ("Rework", REWORK),
        ("Booked late", LATE),
        ("Preventive and corrective", CATEGORIES),
        ("Parts", PART_RULE),
        *(("Converted lines", text) for text in _of_converted(question)),
        *(("Counting rule", rule) for rule in question.scope.rule_in_words()),
        *(("Check", warning) for warning in warnings),
    ]
