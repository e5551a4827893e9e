"""A site with one bad unit, its review of March, and the way to close it."""

from datetime import date, timedelta

import pytest
from django.urls import reverse

from analytics.reports.reviews.figures import flagged_units, review_figures
from analytics.services.reviews import review_close, review_decide, review_open
from tests.analytics.reports.bad_actors.test_page import noon
from tests.factories.plant import (
    AreaFactory,
    PlacementFactory,
    PositionFactory,
    SiteFactory,
)
from tests.factories.records import RepairFactory

MARCH = date(2025, 3, 1)


@pytest.fixture
def site(db):
    """Twenty positions; P-00 came back every month, the others once a year."""
    site = SiteFactory(rework_window_days=10)
    area = AreaFactory(site=site)
    for number in range(20):
        position = PositionFactory(area=area, tag=f"P-{number:02d}")
        placement = PlacementFactory(position=position)
        for month in range(12 if number == 0 else 1):
            day = date(2024, 4, 5) + timedelta(days=30 * month)
            RepairFactory(
                position=position,
                pump=placement.pump,
                reported_at=noon(day),
                stopped_at=noon(day),
                returned_at=noon(day),
                item="impeller",
                activity="2",
                failure_mode="VIB",
                number=f"R-{number:02d}-{month:02d}",
            )
    return site


@pytest.fixture
def review(site, engineer):
    return review_open(by=engineer, site=site, month=MARCH)


def decide_all(engineer, review):
    for unit in flagged_units(review_figures(review, engineer)):
        model = review.site.positions if unit["kind"] == "position" else None
        target = (model or review.site.pumps).get(pk=unit["pk"])
        review_decide(
            by=engineer, review=review, unit=target, decision="watch", note="Look at it"
        )


def closed(engineer, review):
    decide_all(engineer, review)
    return review_close(by=engineer, review=review)


def posted(client, review, unit, **typed):
    """What the decision form of a position answers."""
    args = [review.pk, "position", unit.pk]
    return client.post(reverse("analytics:review_decide", args=args), typed)
