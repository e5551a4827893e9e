"""What all lists and forms of the administration share: our words, our fields."""

from typing import Any

from django.contrib import admin
from django.contrib.admin.widgets import RelatedFieldWidgetWrapper
from django.db import models
from django.forms import DateInput
from django.http import HttpRequest, HttpResponse

from plant.display import NO_VALUE


class InOurWords(admin.ModelAdmin):  # type: ignore[type-arg]
    """A list and its forms, named as people name them.

    `heading` stands above the list, `adding` above the form for a new row, `meaning` is
    the sentence on the front page. `labels` and `helps` replace Django's own.
    """

    heading = ""
    adding = ""
    meaning = ""
    labels: dict[str, str] = {}
    helps: dict[str, str] = {}
    empty_value_display = NO_VALUE
    show_facets = admin.ShowFacets.NEVER
    formfield_overrides = {
        models.DateField: {"widget": DateInput({"type": "date"}, format="%Y-%m-%d")}
    }

    def formfield_for_dbfield(
        self, db_field: Any, request: HttpRequest, **options: Any
    ) -> Any:
        field: Any = super().formfield_for_dbfield(db_field, request, **options)
        if field is None:
            return None
        if isinstance(field.widget, RelatedFieldWidgetWrapper):
            # What it is about is kept on its own page, not in a window of its own.
            field.widget = field.widget.widget
        field.label = self.labels.get(db_field.name, field.label)
        field.help_text = self.helps.get(db_field.name, field.help_text)
        return field

    def changelist_view(
        self, request: HttpRequest, extra_context: dict[str, Any] | None = None
    ) -> HttpResponse:
        words = {"title": self.heading, "adding": self.adding}
        return super().changelist_view(request, words | (extra_context or {}))

    def changeform_view(
        self,
        request: HttpRequest,
        object_id: str | None = None,
        form_url: str = "",
        extra_context: dict[str, Any] | None = None,
    ) -> HttpResponse:
        kept = self.get_object(request, object_id) if object_id else None
        words = {"title": str(kept) if kept else self.adding, "heading": self.heading}
        words |= {"subtitle": None} | (extra_context or {})
        return super().changeform_view(request, object_id, form_url, words)
