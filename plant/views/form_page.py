"""The one way a form of the register is shown, stored and refused."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any, TypeVar

from django import forms
from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpResponse
from django.shortcuts import redirect, render

from plant.forms.service_errors import errors_take
from plant.requests import UserRequest

AnyForm = TypeVar("AnyForm", bound=forms.Form)


@dataclass(frozen=True, slots=True)
class FormPage:
    """Words and ways out of one form page.

    `names` maps a service's field names to the form's, where they differ.
    """

    title: str
    button: str
    cancel_url: str
    done: str
    subtitle: str = ""
    steps: list[dict[str, str]] = field(default_factory=list)
    names: Mapping[str, str] = field(default_factory=dict)


def form_answer(
    request: UserRequest,
    form: AnyForm,
    page: FormPage,
    store: Callable[[AnyForm], str],
) -> HttpResponse:
    """Show the form, or store it and go where `store` says; refusals come back."""
    if request.method == "POST" and form.is_valid():
        try:
            address = store(form)
        except ValidationError as error:
            errors_take(form, error, page.names)
        else:
            messages.success(request, page.done)
            return redirect(address)
    context: dict[str, Any] = {"form": form, "page": page}
    return render(request, "plant/form.html", context)
