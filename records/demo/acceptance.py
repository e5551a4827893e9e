"""Acceptance tests of the pumps in one area of the demo plant; nothing is drawn."""

from datetime import date

from simple_history.utils import bulk_create_with_history

from plant.models import AcceptancePoint, Placement, Site, User
from records.demo.rounds import GRAVITY, PUMP_EFFICIENCY

AREA = "Chlorination"
WATER_KG_M3 = 998.0
SOURCE = "Acceptance test on water, ISO 9906 grade 2B"
# Flow as a share of the duty, with head and efficiency as shares of theirs there.
CURVE = ((0.8, 1.07, 0.965), (1.0, 1.0, 1.0), (1.2, 0.9, 0.98))


def acceptance_points_store(site: Site, by: User, measured_on: date) -> None:
    """Three points of each pump that stands in the area; the others have none."""
    placements = Placement.objects.filter(
        position__site=site, position__area__name=AREA, removed_at=None
    )
    rows = [
        point
        for placement in placements.select_related("position").order_by("pk")
        for point in _points(placement, measured_on)
    ]
    bulk_create_with_history(rows, AcceptancePoint, default_user=by)


def _points(placement: Placement, measured_on: date) -> list[AcceptancePoint]:
    duty = placement.position
    rows = []
    for share, head_share, efficiency_share in CURVE:
        flow = round((duty.flow_m3_h or 0.0) * share, 1)
        head = round((duty.head_m or 0.0) * head_share, 2)
        power = WATER_KG_M3 * GRAVITY * flow / 3600 * head / 1000
        rows.append(
            AcceptancePoint(
                pump_id=placement.pump_id,
                flow_m3_h=flow,
                head_m=head,
                shaft_power_kw=round(power / (PUMP_EFFICIENCY * efficiency_share), 2),
                density_kg_m3=WATER_KG_M3,
                measured_on=measured_on,
                source=SOURCE,
            )
        )
    return rows
