"""The rolling MTBR on paper: line, band and bounds stand where their numbers say."""

import pytest
from reportlab.graphics.shapes import Circle, Polygon, PolyLine, String

from analytics.exports.review_chart import FOOT, rolling_chart
from analytics.reports.reviews.sheet import SheetPoint


def month(number, value, low, high):
    return SheetPoint(f"2025-{number:02d}-28", value, low, high)


def drawn(points, kind):
    return [one for one in rolling_chart(points).contents if isinstance(one, kind)]


FLAT = [month(number, 10.0, 5.0, 20.0) for number in range(1, 7)]


def test_the_band_lies_between_the_limits_over_every_month():
    [band] = drawn(FLAT, Polygon)
    ups = set(band.points[1::2])
    assert len(band.points) == 2 * 2 * len(FLAT)
    assert len(ups) == 2
    [*edges, line] = [one.points[1::2] for one in drawn(FLAT, PolyLine)]
    assert {up for edge in edges for up in edge} == ups
    # Twice and half of the line, measured from the foot of the drawing.
    height = line[0] - FOOT
    assert sorted(up - FOOT for up in ups) == pytest.approx([height / 2, 2 * height])


def test_the_band_breaks_where_the_interval_has_no_upper_end():
    points = [*FLAT[:2], month(3, 10.0, 5.0, None), *FLAT[3:]]
    assert [len(band.points) // 4 for band in drawn(points, Polygon)] == [2, 3]
    line = drawn(points, PolyLine)[-1]
    assert len(line.points) == 2 * len(points)


def test_a_month_without_repairs_is_an_open_ring_at_its_lower_limit():
    points = [*FLAT[:3], month(4, None, 10.0, None), *FLAT[4:]]
    rings = [dot for dot in drawn(points, Circle) if dot.strokeColor is not None]
    dots = [dot for dot in drawn(points, Circle) if dot.strokeColor is None]
    assert [ring.cy for ring in rings] == [dots[0].cy]
    assert len(dots) == 5
    words = [one.text for one in drawn(points, String)]
    assert any("open ring: no repairs, at least" in text for text in words)
    assert not any("open ring" in one.text for one in drawn(FLAT, String))


def test_the_newest_month_is_always_named():
    assert "2025-06" in [one.text for one in drawn(FLAT, String)]
