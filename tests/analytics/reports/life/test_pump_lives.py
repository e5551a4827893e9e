"""A pump's page shows its seals and bearings with their ages."""

from plant.choices import (
    Beginning,
)
from tests.analytics.seals_on_record import DAY, FAILED, FITTED, fitted
from tests.factories.plant import (
    DutyPeriodFactory,
    FittedLifeFactory,
    PlacementFactory,
)


def test_a_pump_shows_its_lives_newest_first_with_both_ages(engineer_client):
    duty = DutyPeriodFactory(running_share=0.5)
    placement = PlacementFactory(position=duty.position, placed_at=FITTED)
    facts = {"pump": placement.pump, "position": placement.position}
    FittedLifeFactory(
        part_number="OLD",
        fitted_at=FITTED,
        removed_at=FITTED + 100 * DAY,
        **FAILED,
        **facts,
    )
    FittedLifeFactory(part_number="NEW", fitted_at=FITTED + 101 * DAY, **facts)
    address = f"/pumps/{placement.pump_id}/lives/"
    page = engineer_client.get(address).content.decode().replace("\xa0", " ")
    assert page.index("NEW") < page.index("OLD")
    assert "100 days" in page
    assert "1,200 h" in page
    assert "estimated" in page
    assert "<h1" in page
    panel = engineer_client.get(address, headers={"HX-Request": "true"})
    assert "<h1" not in panel.content.decode()
    assert "1,200" in panel.content.decode()


def test_a_pump_of_unknown_beginning_shows_no_age(engineer_client):
    life = fitted(2_000, beginning=Beginning.UNKNOWN)
    page = engineer_client.get(f"/pumps/{life.pump_id}/lives/").content.decode()
    assert "Left out: beginning not known" in page
    assert "2,000" not in page
