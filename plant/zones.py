"""Times of a site are read and written in that site's own zone."""

from zoneinfo import ZoneInfo

from django.utils import timezone

from plant.models import Site


def site_zone(site: Site) -> timezone.override:
    """Context in which forms and pages use the zone of `site`."""
    return timezone.override(ZoneInfo(site.time_zone))
