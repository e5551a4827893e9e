"""Ticks beside what looks half done; one each, so that none is answered unread."""

from collections.abc import Iterable
from typing import Any

from django import forms

from records.services.half_done import question_in_words


class AnswersField(forms.MultipleChoiceField):
    """Codes of questions; the service knows which of them are open."""

    def valid_value(self, value: Any) -> bool:
        return bool(question_in_words(str(value)))


class AsIsForm(forms.Form):
    """Asks nothing until `ask_as_is`; what was ticked before stays in sight."""

    as_is = AnswersField(
        label="Looks half done", required=False, widget=forms.CheckboxSelectMultiple
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if self.is_bound:
            self.ask_as_is(self.ticked)

    @property
    def ticked(self) -> list[str]:
        return [str(code) for code in self["as_is"].value() or []]

    def ask_as_is(self, questions: Iterable[str]) -> None:
        asked = dict.fromkeys([*self.ticked, *questions])
        words = [(code, question_in_words(code)) for code in asked]
        field: Any = self.fields["as_is"]
        field.choices = [(code, sentence) for code, sentence in words if sentence]

    @property
    def asks_as_is(self) -> bool:
        field: Any = self.fields["as_is"]
        return bool(field.choices)
