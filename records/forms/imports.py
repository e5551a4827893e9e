"""The form that sends a fleet's files and says how to read them."""

from pathlib import Path
from typing import Any

from django import forms
from django.conf import settings
from django.core.files.uploadedfile import UploadedFile

from records.importing.layout import SHEETS
from records.importing.options import (
    DATE_ORDERS,
    DECIMALS,
    ENCODINGS,
    SEPARATORS,
    ReadOptions,
)
from records.importing.reading import MEGABYTE

ENDINGS = (".csv", ".xlsx")


class SeveralFiles(forms.ClearableFileInput):
    allow_multiple_selected = True


class SeveralFilesField(forms.FileField):
    """Some files sent together, each checked like one."""

    def clean(self, data: Any, initial: Any = None) -> list["UploadedFile[Any]"]:
        single = super().clean
        sent = data if isinstance(data, list | tuple) else [data]
        return [single(file, initial) for file in sent if file] or [single(None)]


class FleetImportForm(forms.Form):
    sheets = SeveralFilesField(
        label="Files",
        help_text=f"Up to {len(SHEETS)} CSV files named {', '.join(SHEETS)}; or one "
        ".xlsx workbook with sheets of these names.",
        widget=SeveralFiles(attrs={"accept": ",".join(ENDINGS)}),
    )
    separator = forms.ChoiceField(choices=SEPARATORS, label="Separator between cells")
    decimal = forms.ChoiceField(choices=DECIMALS, label="Decimal sign")
    date_order = forms.ChoiceField(choices=DATE_ORDERS, label="Dates are written")
    encoding = forms.ChoiceField(choices=ENCODINGS, label="Text encoding")

    def clean_sheets(self) -> list["UploadedFile[Any]"]:
        files: list[UploadedFile[Any]] = self.cleaned_data["sheets"]
        limit = settings.IMPORT_FILE_LIMIT_BYTES
        for file in files:
            if Path(file.name or "").suffix.lower() not in ENDINGS:
                raise forms.ValidationError(
                    f"{file.name}: only files ending in .csv or .xlsx can be imported."
                )
            if (file.size or 0) > limit:
                raise forms.ValidationError(
                    f"{file.name} is larger than {limit // MEGABYTE} MB: split it by "
                    "area or year."
                )
        books = [f for f in files if (f.name or "").lower().endswith(".xlsx")]
        if len(files) > (1 if books else len(SHEETS)):
            raise forms.ValidationError(
                f"Send up to {len(SHEETS)} CSV files, or one workbook alone."
            )
        return files

    def options(self) -> ReadOptions:
        names = ("separator", "decimal", "date_order", "encoding")
        return ReadOptions(**{name: self.cleaned_data[name] for name in names})


class ImportFilterForm(forms.Form):
    """Filters above the list of imports."""

    state = forms.ChoiceField(required=False)

    def __init__(self, *args: Any, states: list[tuple[str, str]], **kwargs: Any):
        super().__init__(*args, **kwargs)
        field: Any = self.fields["state"]
        field.choices = [("", "Any"), *states]

    def state_wanted(self) -> str:
        return self.cleaned_data["state"] if self.is_bound and self.is_valid() else ""
