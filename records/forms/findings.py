"""What was found at teardown: patterns ticked, and the facts they may point to."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Any

from django import forms

from records.choices import Cause, Item, Mechanism
from records.forms.as_is import AsIsForm
from records.forms.fields import in_families, items_by_subunit
from records.models import Repair
from records.selectors.repairs import repair_version
from records.services.findings import NOTE_LENGTH
from records.services.life_changes import REASON_LENGTH
from records.teardown_patterns import PATTERNS, Pattern

NOT_YET_KNOWN: tuple[str, str] = ("", "Not yet known")


def _may_be_open(label: str, choices: Any, help_text: str = "") -> forms.ChoiceField:
    return forms.ChoiceField(
        label=label,
        choices=[NOT_YET_KNOWN, *choices],
        required=False,
        help_text=help_text,
    )


@dataclass(frozen=True, slots=True)
class PatternRow:
    """One pattern of the page with its two fields."""

    pattern: Pattern
    seen: forms.BoundField
    note: forms.BoundField


class FindingsForm(AsIsForm):
    """Every pattern has a tick and a note; the item decides which stand in front."""

    version = forms.IntegerField(widget=forms.HiddenInput)
    item = _may_be_open("Failed item", items_by_subunit())
    mechanism = _may_be_open(
        "Mechanism", in_families(Mechanism), "What physically happened."
    )
    cause = _may_be_open("Cause", in_families(Cause), "Why it happened.")
    reason = forms.CharField(
        label="Reason for the correction",
        max_length=REASON_LENGTH,
        help_text="It stays in the history beside your name.",
    )

    def __init__(
        self, *args: Any, repair: Repair, is_correction: bool, **kwargs: Any
    ) -> None:
        super().__init__(*args, initial=_facts(repair), **kwargs)
        if not is_correction:
            del self.fields["reason"]
        for pattern in PATTERNS:
            self.fields[_seen(pattern)] = forms.BooleanField(
                label=pattern.title, help_text=pattern.description, required=False
            )
            self.fields[_note(pattern)] = forms.CharField(
                label=f"Note on: {pattern.title}",
                required=False,
                max_length=NOTE_LENGTH,
            )

    @property
    def front(self) -> list[PatternRow]:
        """Patterns of the item chosen, and whatever is ticked."""
        return [row for row in self._rows() if self._stands_in_front(row)]

    @property
    def others(self) -> list[PatternRow]:
        return [row for row in self._rows() if not self._stands_in_front(row)]

    @property
    def ticked_patterns(self) -> list[Pattern]:
        return [row.pattern for row in self._rows() if row.seen.value()]

    @property
    def facts_shown(self) -> list[forms.BoundField]:
        names = ("mechanism", "cause", "reason")
        return [self[name] for name in names if name in self.fields]

    @property
    def suggestions(self) -> list[str]:
        """A sentence for each pattern ticked; nothing is chosen by it."""
        return [suggestion_in_words(pattern) for pattern in self.ticked_patterns]

    def findings(self) -> dict[str, Any]:
        """What the services of the findings take."""
        typed = self.cleaned_data
        return {
            "patterns": [
                (row.pattern.code, typed[_note(row.pattern)])
                for row in self._rows()
                if typed[_seen(row.pattern)]
            ],
            **{
                name: typed[name]
                for name in ("item", "mechanism", "cause", "version", "as_is", "reason")
                if name in typed
            },
        }

    def _rows(self) -> Iterator[PatternRow]:
        for pattern in PATTERNS:
            yield PatternRow(pattern, self[_seen(pattern)], self[_note(pattern)])

    def _stands_in_front(self, row: PatternRow) -> bool:
        item = str(self["item"].value() or "")
        is_known = item not in ("", Item.UNKNOWN)
        return bool(row.seen.value()) or (is_known and item in row.pattern.items)


def suggestion_in_words(pattern: Pattern) -> str:
    mechanisms = _either(f"{code}, {code.label}" for code in pattern.mechanisms)
    causes = _either(f"{code}, {code.label}" for code in pattern.causes)
    return (
        f"{pattern.title}: often mechanism {mechanisms}; usual cause {causes} "
        f"({pattern.source})."
    )


def _either(words: Iterable[str]) -> str:
    return " or ".join(words)


def _facts(repair: Repair) -> dict[str, Any]:
    facts: dict[str, Any] = {
        "version": repair_version(repair),
        "item": repair.item,
        "mechanism": repair.mechanism,
        "cause": repair.cause,
    }
    notes = {row.pattern: row.note for row in repair.teardown_findings.all()}
    for pattern in PATTERNS:
        if pattern.code in notes:
            facts[_seen(pattern)] = True
            facts[_note(pattern)] = notes[pattern.code]
    return facts


def _seen(pattern: Pattern) -> str:
    return f"seen-{pattern.code.replace(' ', '-')}"


def _note(pattern: Pattern) -> str:
    return f"note-{pattern.code.replace(' ', '-')}"
