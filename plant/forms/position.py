"""Forms of a position: identity and duty, what holds from a day on, leaving service."""

from typing import Any

from django import forms

from plant.access import sites_visible
from plant.choices import Coupling, Criticality, Hazard, Sparing, VibrationCategory
from plant.forms.fields import NOT_RECORDED, ChosenOrAny, DayField, MeasureField
from plant.models import Area, DutyPeriod, Position, User

# More than a year can only be a slip of the keyboard.
MOST_BUFFER_HOURS = 10_000


class PositionForm(forms.Form):
    area: "forms.ModelChoiceField[Area]" = forms.ModelChoiceField(None)
    tag = forms.CharField(max_length=40)
    service = forms.CharField(max_length=120, required=False)
    liquid = forms.CharField(max_length=80, required=False)
    hazards = forms.MultipleChoiceField(
        choices=Hazard.choices, required=False, widget=forms.CheckboxSelectMultiple
    )
    criticality = forms.ChoiceField(choices=Criticality.choices)
    sparing = forms.ChoiceField(choices=Sparing.choices)
    spare_group_name = forms.CharField(
        max_length=40,
        required=False,
        label="Spare group",
        help_text="The same name at every position that spares this one.",
    )
    needed_running = forms.IntegerField(
        min_value=1,
        max_value=99,
        required=False,
        label="Needed running",
        help_text="How many pumps of the spare group must run.",
    )
    stopped_cost_per_hour = forms.DecimalField(
        min_value=0, max_digits=12, decimal_places=2, required=False
    )
    buffer_hours = MeasureField(
        "h",
        min_value=0,
        max_value=MOST_BUFFER_HOURS,
        label="Buffer",
        help_text="How long production goes on from tanks after the stop; taken off "
        "lost production once an outage (common practice). Blank: 0.",
    )
    output_share_lost = MeasureField(
        "%",
        min_value=0,
        max_value=100,
        label="Output lost",
        help_text="Part of the cost of a stopped hour that a stop here costs, less "
        "than 100 where the plant goes on at part load (common practice). Blank: 100.",
    )
    flow_m3_h = MeasureField("m³/h", min_value=0, label="Flow")
    bep_flow_m3_h = MeasureField("m³/h", min_value=0, label="Best-efficiency flow")
    head_m = MeasureField("m", min_value=0, label="Head")
    speed_rpm = MeasureField("r/min", min_value=0, label="Speed")
    power_kw = MeasureField("kW", min_value=0, label="Power")
    temperature_c = MeasureField("°C", min_value=-273.15, label="Temperature")
    density_kg_m3 = MeasureField("kg/m³", min_value=0, label="Density")
    coupling = ChosenOrAny(
        Coupling.choices,
        blank=NOT_RECORDED,
        help_text="With the speed it sets the limits of alignment.",
    )
    spacer_length_mm = MeasureField("mm", min_value=0.1, label="Length of the spacer")
    vibration_category = ChosenOrAny(
        VibrationCategory.choices,
        blank="By the liquid",
        help_text="Category of ISO 10816-7; by the liquid: I where it is toxic.",
    )
    in_service_on = DayField(required=False, label="In service since")
    out_of_service_on = DayField(required=False, label="Out of service since")
    records_from = DayField(
        required=False, help_text="The day its log begins; empty: that of the site."
    )

    SECTIONS = {
        "Identity": ("area", "tag", "service", "liquid", "hazards"),
        "Importance and sparing": (
            "criticality",
            "sparing",
            "spare_group_name",
            "needed_running",
            "stopped_cost_per_hour",
            "buffer_hours",
            "output_share_lost",
        ),
        "Duty": (
            "flow_m3_h",
            "bep_flow_m3_h",
            "head_m",
            "speed_rpm",
            "power_kw",
            "temperature_c",
            "density_kg_m3",
            "coupling",
            "spacer_length_mm",
            "vibration_category",
        ),
        "Time": ("in_service_on", "out_of_service_on", "records_from"),
    }

    def __init__(
        self, *args: Any, user: User, position: Position | None = None, **options: Any
    ) -> None:
        if position is not None:
            options.setdefault("initial", _facts(position))
        super().__init__(*args, **options)
        sites = [position.site] if position else sites_visible(user)
        self.fields["area"].queryset = Area.objects.filter(  # type: ignore[attr-defined]
            site__in=sites
        ).select_related("site")
        self.fields["area"].label_from_instance = _area_label  # type: ignore[attr-defined]

    def clean_stopped_cost_per_hour(self) -> Any:
        return self.cleaned_data["stopped_cost_per_hour"] or 0

    def clean_buffer_hours(self) -> float:
        return self.cleaned_data["buffer_hours"] or 0.0

    def clean_output_share_lost(self) -> float:
        """Typed in per cent, kept as a share; nothing typed is all of it."""
        percent = self.cleaned_data["output_share_lost"]
        return 1.0 if percent is None else float(percent) / 100

    def sections(self) -> list[tuple[str, list[forms.BoundField]]]:
        return [
            (heading, [self[name] for name in names])
            for heading, names in self.SECTIONS.items()
        ]


def _area_label(area: Area) -> str:
    return f"{area.name} ({area.site})"


def _facts(position: Position) -> dict[str, Any]:
    facts: dict[str, Any] = {
        name: getattr(position, name)
        for names in PositionForm.SECTIONS.values()
        for name in names
        if hasattr(position, name)
    }
    facts["output_share_lost"] = round(position.output_share_lost * 100, 6)
    if position.spare_group is not None:
        facts["spare_group_name"] = position.spare_group.name
        facts["needed_running"] = position.spare_group.needed_running
    return facts


class OutOfServiceForm(forms.Form):
    out_of_service_on = DayField(label="Out of service since")


class DutyPeriodForm(forms.Form):
    starts_on = DayField(
        label="Holds from", help_text="The same day again changes that entry."
    )
    running_percent = forms.FloatField(
        min_value=0,
        max_value=100,
        initial=100,
        label="Running share",
        help_text="Share of calendar time the pump runs.",
        widget=forms.NumberInput(attrs={"step": "any"}),
    )
    piping_plan = forms.CharField(
        max_length=20, required=False, label="Seal piping plan"
    )
    seal_support_system = forms.CharField(max_length=120, required=False)
    casing = forms.CharField(max_length=120, required=False)

    def __init__(
        self, *args: Any, period: DutyPeriod | None = None, **options: Any
    ) -> None:
        if period is not None:
            options.setdefault("initial", _duty_facts(period))
        super().__init__(*args, **options)
        self.fields["running_percent"].unit = "%"  # type: ignore[attr-defined]

    def details(self) -> dict[str, Any]:
        """The facts as duty_period_set takes them."""
        facts = dict(self.cleaned_data)
        facts["running_share"] = facts.pop("running_percent") / 100
        return facts


def _duty_facts(period: DutyPeriod) -> dict[str, Any]:
    return {
        "starts_on": period.starts_on,
        "running_percent": round(period.running_share * 100, 6),
        "piping_plan": period.piping_plan,
        "seal_support_system": period.seal_support_system,
        "casing": period.casing,
    }
