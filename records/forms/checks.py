"""The sheet of checks: one small form for each kind, as found and as left."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.http import QueryDict

from records.check_catalogue import CATALOGUE, CheckDescription
from records.check_choices import CheckKind, CheckStage
from records.check_words import limit_in_words
from records.models import Repair, SettingCheck
from records.selectors.check_limits import is_offered, limits_of_repair
from records.services.check_entries import LONGEST, CheckEntry, CheckRefused
from records.services.checks import checks_version
from records.services.life_changes import REASON_LENGTH

LEFT_ONLY = ("out_of_limit_reason",)
REASONS = ("not_measured_reason", "out_of_limit_reason")


def _words(label: str, name: str, help_text: str = "") -> forms.CharField:
    return forms.CharField(
        label=label, required=False, max_length=LONGEST[name], help_text=help_text
    )


class CheckForm(forms.Form):
    """One kind at one stage; blank as a whole means that nothing is said."""

    entered_value = forms.CharField(
        label="Value",
        required=False,
        max_length=LONGEST["entered_value"],
        widget=forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off"}),
    )
    entered_unit = forms.ChoiceField(label="Unit", required=False)
    instrument = _words("Measured with", "instrument")
    rotor_mass_kg = forms.CharField(
        label="Mass of the rotor",
        required=False,
        max_length=12,
        widget=forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off"}),
    )
    not_measured_reason = _words("Why not measured", "not_measured_reason")
    out_of_limit_reason = _words("Why it stays out of limit", "out_of_limit_reason")

    def __init__(
        self, *args: Any, kind: CheckKind, stage: CheckStage, **kwargs: Any
    ) -> None:
        super().__init__(*args, **kwargs)
        self.kind, self.stage = kind, stage
        unit: Any = self.fields["entered_unit"]
        unit.choices = [(name, name) for name in CATALOGUE[kind].units]
        if kind == CheckKind.BALANCE:
            self.fields["rotor_mass_kg"].unit = "kg"  # type: ignore[attr-defined]
        else:
            del self.fields["rotor_mass_kg"]
        if stage == CheckStage.FOUND:
            for name in LEFT_ONLY:
                del self.fields[name]

    @property
    def is_blank(self) -> bool:
        typed = self.cleaned_data
        return not any(typed[name] for name in self.fields if name != "entered_unit")

    @property
    def measured(self) -> list[forms.BoundField]:
        return [self[name] for name in self.fields if name not in REASONS]

    @property
    def reasons(self) -> list[forms.BoundField]:
        return [self[name] for name in self.fields if name in REASONS]

    @property
    def shows_reasons(self) -> bool:
        """Whether the part with the reasons stands open."""
        return any(field.errors or field.value() for field in self.reasons)

    def entry(self) -> CheckEntry:
        return CheckEntry(kind=self.kind, stage=self.stage, **self.cleaned_data)


class SheetForm(forms.Form):
    """What the sheet as a whole says: which state was opened, and why it changes."""

    version = forms.IntegerField(widget=forms.HiddenInput)
    reason = forms.CharField(
        label="Reason for the correction",
        max_length=REASON_LENGTH,
        help_text="It stays in the history beside your name.",
    )

    def __init__(self, *args: Any, is_correction: bool, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if not is_correction:
            del self.fields["reason"]


@dataclass(frozen=True, slots=True)
class KindRow:
    """One kind on the sheet, with the limit beside it; blank where there is none."""

    description: CheckDescription
    limit: str
    source: str
    forms: list[CheckForm]


class CheckSheet:
    """Every check offered for the pump of a repair, and those stored already."""

    def __init__(
        self, repair: Repair, data: QueryDict | None = None, *, is_correction: bool
    ) -> None:
        self.repair = repair
        self.form = SheetForm(
            data,
            is_correction=is_correction,
            initial={"version": checks_version(repair)},
        )
        stored = {(row.kind, row.stage): row for row in repair.checks.all()}
        self.rows = list(self._rows(stored, data, is_correction))

    def _rows(
        self,
        stored: dict[tuple[str, str], SettingCheck],
        data: QueryDict | None,
        is_correction: bool,
    ) -> Iterator[KindRow]:
        limits = limits_of_repair(self.repair)
        for kind, description in CATALOGUE.items():
            rows = [row for (name, _), row in stored.items() if name == kind]
            if not rows and not is_offered(
                kind, self.repair.position, self.repair.pump
            ):
                continue
            limit: Any = limits[kind]
            low, high, source = limit.low, limit.high, limit.source
            # Once signed, the limit that was shown at the measuring stays in sight.
            shown = rows if is_correction or kind == CheckKind.BALANCE else []
            for row in shown:
                low, high, source = row.limit_low, row.limit_high, row.limit_source
            has_limit = low is not None or high is not None
            if has_limit and not shown:
                source = f"{source} ({limit.certainty.label.lower()})"
            yield KindRow(
                description,
                limit_in_words(low, high, description.unit) if has_limit else "",
                source,
                [
                    _form(kind, stage, stored.get((kind, stage)), data)
                    for stage in CheckStage
                ],
            )

    @property
    def check_forms(self) -> list[CheckForm]:
        return [form for row in self.rows for form in row.forms]

    def is_valid(self) -> bool:
        # Every form is asked, so that all faults show at once.
        return all([self.form.is_valid(), *[f.is_valid() for f in self.check_forms]])

    def entries(self) -> list[CheckEntry]:
        return [form.entry() for form in self._filled()]

    def refuse(self, error: ValidationError) -> None:
        """Show a refusal beside the field it is about."""
        if not isinstance(error, CheckRefused):
            self.form.add_error(None, error)
            return
        form = self._filled()[error.index]
        name = error.field if error.field in form.fields else None
        form.add_error(name, error)
        place = f"{form.kind.label}, {form.stage.label.lower()}"
        self.form.add_error(None, f"{place}: {' '.join(error.messages)}")

    def _filled(self) -> Sequence[CheckForm]:
        return [form for form in self.check_forms if not form.is_blank]


def _form(
    kind: CheckKind,
    stage: CheckStage,
    stored: SettingCheck | None,
    data: QueryDict | None,
) -> CheckForm:
    prefix = f"{kind.value.replace(' ', '-')}-{stage.value}"
    initial = {}
    if stored is not None:
        names = set(CheckForm.base_fields) - {"rotor_mass_kg"}
        initial = {name: getattr(stored, name) for name in names}
    return CheckForm(data, kind=kind, stage=stage, prefix=prefix, initial=initial)
