"""What the data-quality page is about: site, area, and how far back."""

from typing import Any

from django import forms

from plant.access import sites_visible
from plant.models import Area, Site, User
from records.forms.repair_filter import AreaField
from records.quality.figures import MONTHS, QualityScope

PERIODS = [("3", "3 months"), ("12", "12 months"), ("36", "36 months")]


class DataQualityForm(forms.Form):
    site = forms.ModelChoiceField(
        Site.objects.none(), required=False, empty_label="All sites"
    )
    area = AreaField(Area.objects.none(), required=False, empty_label="All areas")
    months = forms.ChoiceField(
        label="Repairs of the last", choices=PERIODS, required=False, initial="12"
    )

    def __init__(self, data: Any, *, user: User) -> None:
        super().__init__(data or None)
        self.user = user
        sites = sites_visible(user)
        site: Any = self.fields["site"]
        area: Any = self.fields["area"]
        site.queryset = sites
        area.queryset = Area.objects.filter(site__in=sites).select_related("site")

    def scope(self) -> QualityScope:
        """What is asked for; a field that cannot be read leaves nothing out."""
        self.full_clean()
        asked = getattr(self, "cleaned_data", {})
        return QualityScope(
            user=self.user,
            site=asked.get("site"),
            area=asked.get("area"),
            months=int(asked.get("months") or MONTHS),
        )
