"""Administration of the counting rules: each change is a new version."""

from typing import Any

from django import forms
from django.contrib import admin
from django.core.exceptions import ValidationError
from django.db import models
from django.db.models import OuterRef, Subquery
from django.http import HttpRequest

from plant.access import sites_visible
from plant.admin import OwnSitesFilter
from plant.display import yes_no
from plant.keeping import InOurWords
from plant.requests import user_of
from records.choices import Activity, Category, Item
from records.counting import Rule, rules_by_site
from records.models import CountingRule
from records.services.counting_rules import counting_rule_set

FACTS = (
    "repair_categories",
    "failure_categories",
    "excluded_activities",
    "excluded_items",
)


def ticked(choices: Any, label: str, *, required: bool) -> forms.MultipleChoiceField:
    return forms.MultipleChoiceField(
        choices=choices,
        label=label,
        required=required,
        widget=forms.CheckboxSelectMultiple,
    )


class CountingRuleForm(forms.ModelForm):  # type: ignore[type-arg]
    """A new version, ticked from the vocabulary."""

    repair_categories = ticked(
        Category.choices, "Counts as a repair (MTBR)", required=True
    )
    failure_categories = ticked(
        Category.choices, "Counts as a failure (MTBF)", required=True
    )
    excluded_activities = ticked(
        Activity.choices, "Activities left out", required=False
    )
    excluded_items = ticked(Item.choices, "Items left out", required=False)

    class Meta:
        model = CountingRule
        fields = ("site", *FACTS)

    def clean(self) -> dict[str, Any]:
        """Refuse here, beside the field, what the service refuses as well."""
        facts = super().clean() or {}
        if not set(facts.get("failure_categories", ())) <= set(
            facts.get("repair_categories", Category.values)
        ):
            self.add_error(
                "failure_categories",
                ValidationError("What counts as a failure also counts as a repair."),
            )
        return facts


@admin.register(CountingRule)
class CountingRuleAdmin(InOurWords):
    heading = "Counting rules"
    adding = "Set a new version of a site's counting rule"
    meaning = "What counts as a repair and as a failure; each change is a new version."
    form = CountingRuleForm
    list_display = ("__str__", "in_words", "holds_now", "made_at", "made_by")
    list_select_related = ("site", "made_by")
    list_filter = (("site", OwnSitesFilter),)

    def get_queryset(self, request: HttpRequest) -> models.QuerySet[Any]:
        rows: models.QuerySet[Any] = super().get_queryset(request)
        newest = CountingRule.objects.filter(site=OuterRef("site")).order_by("-version")
        rows = rows.annotate(newest=Subquery(newest.values("version")[:1]))
        return rows.filter(site__in=sites_visible(user_of(request)))

    def get_changeform_initial_data(self, request: HttpRequest) -> dict[str, Any]:
        """The rule that holds now where there is one site, else the standard."""
        sites = list(sites_visible(user_of(request))[:2])
        if len(sites) != 1:
            return {name: getattr(Rule(), name) for name in FACTS}
        rule = rules_by_site(sites)[sites[0].pk]
        return {"site": sites[0].pk} | {name: getattr(rule, name) for name in FACTS}

    def formfield_for_foreignkey(
        self, db_field: Any, request: HttpRequest, **options: Any
    ) -> Any:
        if db_field.name == "site":
            options["queryset"] = sites_visible(user_of(request))
        return super().formfield_for_foreignkey(db_field, request, **options)

    def has_change_permission(self, request: HttpRequest, obj: Any = None) -> bool:
        """A version never changes: closed reviews were made by it."""
        return False

    def has_delete_permission(self, request: HttpRequest, obj: Any = None) -> bool:
        return False

    def save_model(
        self, request: HttpRequest, obj: CountingRule, form: Any, change: bool
    ) -> None:
        facts = {name: form.cleaned_data[name] for name in FACTS}
        stored = counting_rule_set(by=user_of(request), site=obj.site, **facts)
        # The admin's messages and log speak of `obj`.
        obj.__dict__.update(stored.__dict__)

    @admin.display(description="what it counts")
    def in_words(self, rule: CountingRule) -> str:
        facts = {name: getattr(rule, name) for name in FACTS}
        return Rule(version=rule.version, **facts).in_words()

    @admin.display(description="holds now")
    def holds_now(self, rule: Any) -> str:
        return yes_no(rule.version == rule.newest)
