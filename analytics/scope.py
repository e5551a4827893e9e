"""What a figure is about: whose eyes, which sites and area, which days."""

from dataclasses import dataclass
from datetime import date
from functools import cached_property

from django.utils import timezone

from analytics.exposure import Window
from plant.access import sites_visible
from plant.models import Area, Position, Site, User
from plant.models.position import PositionQuerySet
from records.counting import Rule, rules_by_site


@dataclass(frozen=True)
class Scope:
    """Everything a report needs to know about the question asked."""

    user: User
    window: Window
    site: Site | None = None
    area: Area | None = None
    position: Position | None = None
    confidence: float = 0.90

    @cached_property
    def sites(self) -> list[Site]:
        visible = sites_visible(self.user)
        if self.area is not None:
            visible = visible.filter(pk=self.area.site_id)
        if self.site is not None:
            visible = visible.filter(pk=self.site.pk)
        if self.position is not None:
            visible = visible.filter(pk=self.position.site_id)
        return list(visible)

    @cached_property
    def rules(self) -> dict[int, Rule]:
        return rules_by_site(self.sites)

    def positions(self) -> PositionQuerySet:
        """Positions asked for, never one of a site that the user may not see."""
        rows = Position.objects.visible_to(self.user)
        if self.site is not None:
            rows = rows.filter(site=self.site)
        if self.area is not None:
            rows = rows.filter(area=self.area)
        if self.position is not None:
            rows = rows.filter(pk=self.position.pk)
        return rows

    def rule_in_words(self) -> list[str]:
        """The counting rule, once for all sites or once for each that differs."""
        words = {site.name: self.rules[site.pk].in_words() for site in self.sites}
        if len(set(words.values())) <= 1:
            return list(words.values())[:1]
        return [f"{name}: {sentence}" for name, sentence in words.items()]

    def in_words(self) -> str:
        """Place and days, for subtitles and notes of exports."""
        where = "all sites"
        if self.area is not None:
            where = f"{self.area.name}, {self.area.site}"
        elif self.site is not None:
            where = str(self.site)
        elif len(self.sites) == 1:
            where = str(self.sites[0])
        return f"{where}, {self.window.start} to {self.window.end}"


def today() -> date:
    """The day it is now at the user's site."""
    return timezone.localdate()
