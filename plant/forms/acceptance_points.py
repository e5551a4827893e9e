"""Form of one acceptance point of a pump."""

from typing import Any

from django import forms

from plant.forms.fields import DayField
from plant.forms.numbers import TypedFloatField
from plant.models import AcceptancePoint

POINT_FIELDS = (
    "flow_m3_h",
    "head_m",
    "shaft_power_kw",
    "density_kg_m3",
    "measured_on",
    "source",
)
WATER_KG_M3 = 998.0
LEAST = 1e-6
MOST = 1e6


class _MeasuredField(TypedFloatField):
    """A value above zero with its unit beside the label."""

    def __init__(self, unit: str, **options: Any) -> None:
        super().__init__(min_value=LEAST, max_value=MOST, **options)
        self.unit = unit


class AcceptancePointForm(forms.Form):
    flow_m3_h = _MeasuredField("m³/h", label="Flow")
    head_m = _MeasuredField("m", label="Head")
    shaft_power_kw = _MeasuredField(
        "kW",
        label="Power at the shaft",
        help_text="Not at the motor's terminals: motor input times motor efficiency.",
    )
    density_kg_m3 = _MeasuredField(
        "kg/m³",
        label="Density",
        initial=WATER_KG_M3,
        help_text="Of the liquid of the test; most tests run on cold water.",
    )
    measured_on = DayField(required=False, label="Measured on")
    source = forms.CharField(
        max_length=120,
        required=False,
        help_text="Such as: acceptance test, ISO 9906 grade 2B; or curve sheet.",
    )

    def __init__(
        self, *args: Any, point: AcceptancePoint | None = None, **options: Any
    ) -> None:
        if point is not None:
            facts = {name: getattr(point, name) for name in POINT_FIELDS}
            options.setdefault("initial", facts)
        super().__init__(*args, **options)
