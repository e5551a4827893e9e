"""The ratio from two kinds of part is that of their lives."""

from datetime import UTC, date, datetime

import pytest
from django.utils import timezone

from analytics.life.data import LifeData
from analytics.life.weibull import weibull_fit
from analytics.money.errors import TooLittleData
from analytics.money.failures_avoided.from_lives import ratio_from_lives
from analytics.reports.upgrades.evidence_lives import lives_evidence
from analytics.reports.upgrades.report import upgrade_report
from analytics.reports.upgrades.typed import Population
from records.choices import Item
from tests.analytics.reports.upgrades.fleet import case_of, failed, fleet_made
from tests.analytics.seals_on_record import PUMP_A, PUMP_B, seals
from tests.factories.plant import SiteFactory

pytestmark = pytest.mark.django_db
AS_OF = date(2025, 1, 1)
OLD, NEW = Population(part="MS-40"), Population(part="MS-50")


@pytest.fixture
def two_kinds(db):
    seals(PUMP_B, part_number="MS-40")
    seals(PUMP_A, part_number="MS-50")


def test_the_ratio_is_that_of_the_two_fits(two_kinds, manager):
    found = lives_evidence(manager, AS_OF, OLD, NEW)
    fits = [
        weibull_fit(LifeData(ages, [True] * 10, unit="h")) for ages in (PUMP_B, PUMP_A)
    ]
    by_hand = ratio_from_lives(*fits)
    assert found.ratio.estimate == pytest.approx(by_hand.estimate, rel=1e-6)
    # Barringer's pumps: 6,950 h against 26,290 h on the mean.
    assert found.ratio.estimate == pytest.approx(6950 / 26290, rel=0.02)
    assert found.old.in_words == "Seals, MS-40: 10 of 10 lives ended with a failure"


def test_a_seal_saves_only_the_share_of_failures_that_are_of_seals(two_kinds, manager):
    positions = fleet_made()
    for position in positions[:4]:
        failed(position, date(2023, 11, 1), item=Item.THRUST_BEARING, repair=100)
    lives = {"ratio_from": "lives", "old": OLD, "new": NEW}
    case = case_of(positions[:2], **lives)
    case.as_of = date(2023, 12, 31)
    report = upgrade_report(case, manager, positions[:2])
    whole = report.ratio.lives.ratio.estimate
    assert report.ratio.ratio.estimate == pytest.approx(1 - 21 / 25 * (1 - whole))
    assert "21 of 25 failures" in report.ratio.sentences[1]
    of_seals = case_of(positions[:2], what_fails="seal", **lives)
    only = upgrade_report(of_seals, manager, positions[:2])
    assert only.ratio.ratio.estimate == pytest.approx(whole)


def test_the_answer_is_the_same_in_whatever_zone_it_is_asked(two_kinds, manager):
    positions = fleet_made(SiteFactory(time_zone="Pacific/Auckland"))
    seals([None] * 5, part_number="MS-50")
    case = case_of(positions[:2], ratio_from="lives", old=OLD, new=NEW)
    records = []
    for zone in ("UTC", "America/Los_Angeles", "Pacific/Auckland"):
        with timezone.override(zone):
            report = upgrade_report(case, manager, positions[:2])
            records.append(report.as_record())
    assert records[0] == records[1] == records[2]


def test_lives_of_seals_say_nothing_about_bearing_failures(two_kinds, manager):
    positions = fleet_made()
    failed(positions[0], date(2023, 11, 1), item=Item.THRUST_BEARING, repair=100)
    lives = {"ratio_from": "lives", "old": OLD, "new": NEW, "what_fails": "bearing"}
    report = upgrade_report(case_of(positions[:2], **lives), manager, positions[:2])
    assert report.result is None
    assert "another part than the bearing failures" in report.refusals[0]


def test_a_kind_of_part_nobody_has_is_refused_by_name(two_kinds, manager):
    with pytest.raises(TooLittleData, match="Seals, MS-99: No such life"):
        lives_evidence(manager, AS_OF, OLD, Population(part="MS-99"))


def test_two_failures_are_too_few_on_either_side(two_kinds, manager):
    seals([5000, 9000], part_number="MS-60")
    with pytest.raises(TooLittleData, match="A life with 2 failures says too little"):
        lives_evidence(manager, AS_OF, OLD, Population(part="MS-60"))


def test_seals_and_bearings_are_never_compared(two_kinds, manager):
    with pytest.raises(TooLittleData, match="no life in common"):
        lives_evidence(manager, AS_OF, OLD, Population("bearing", "6309"))


def test_what_ended_after_the_day_is_still_running(two_kinds, manager):
    early = datetime(2021, 1, 1, tzinfo=UTC).date()
    found = lives_evidence(manager, early, OLD, OLD)
    assert found.old.failed == sum(age <= 366 * 24 for age in PUMP_B)
