"""Refusals of a service shown beside the fields they are about."""

from collections.abc import Mapping

from django import forms
from django.core.exceptions import NON_FIELD_ERRORS, ValidationError


def errors_take(
    form: forms.BaseForm, error: ValidationError, names: Mapping[str, str]
) -> None:
    """Add each message to its field, or to the form where it has no such field.

    `names` maps the service's word for a field to the form's, where they differ.
    """
    if not hasattr(error, "error_dict"):
        form.add_error(None, error)
        return
    for word, messages in error.error_dict.items():
        name = names.get(word, word)
        shown = name in form.fields and name != NON_FIELD_ERRORS
        form.add_error(name if shown else None, messages)
