"""The positions a story is compared with: nearest first, and never too many."""

from analytics.reports.story import neighbours
from analytics.reports.story.neighbours import neighbours_of
from tests.factories.plant import AreaFactory, PositionFactory, SiteFactory


def test_the_nearest_in_area_and_liquid_come_first_and_the_rest_is_cut(
    engineer, db, monkeypatch
):
    site = SiteFactory()
    here, there = AreaFactory(site=site), AreaFactory(site=site)
    far = PositionFactory(area=there, tag="P-1", liquid="oil")
    same_liquid = PositionFactory(area=there, tag="P-2", liquid="acid")
    same_area = PositionFactory(area=here, tag="P-3", liquid="oil")
    like = PositionFactory(area=here, tag="P-4", liquid="acid")
    own = PositionFactory(area=here, tag="P-5", liquid="acid")
    PositionFactory(liquid="acid")
    found = neighbours_of(user=engineer, place=own)
    assert found.pks == tuple(p.pk for p in (own, like, same_area, same_liquid, far))
    assert not found.is_cut
    monkeypatch.setattr(neighbours, "MOST_NEIGHBOURS", 3)
    found = neighbours_of(user=engineer, place=own)
    assert found.pks == (own.pk, like.pk, same_area.pk)
    assert "3 positions of the site" in found.in_words()
