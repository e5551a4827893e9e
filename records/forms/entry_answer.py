"""The answer to what a tablet's log asked; nothing is chosen beforehand."""

from collections.abc import Sequence
from typing import Any

from django import forms

from records.tablet.answering import REASON_LENGTH, Answer


class EntryAnswerForm(forms.Form):
    answer = forms.ChoiceField(label="Your answer", widget=forms.RadioSelect)
    reason = forms.CharField(
        label="Reason",
        required=False,
        max_length=REASON_LENGTH,
        help_text="Why it is withdrawn, or a word to the engineer it is left to.",
    )

    def __init__(self, *args: Any, offered: Sequence[Answer], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        field: Any = self.fields["answer"]
        field.choices = [(str(answer), str(answer.label)) for answer in offered]
        if not {Answer.WITHDRAW, Answer.LEAVE}.intersection(offered):
            del self.fields["reason"]
