"""The four sheets of an import: one table for templates, help and checks alike."""

from plant.models import Area, DutyPeriod, FittedLife, Position, Pump, Site, SpareGroup
from records.choices import CostKind
from records.importing import vocabulary as v
from records.importing.columns import (
    Column,
    Kind,
    Sheet,
    day,
    moment,
    money,
    number,
    text,
    word,
)
from records.limits import MOST_HOURS, MOST_METER_HOURS
from records.models import Repair

SITE_IF_AMBIGUOUS = "Needed only where the tag exists at two sites"
MAKER_IF_AMBIGUOUS = "Needed only where two makers use the same serial number"

POSITIONS = Sheet(
    "positions",
    "One row a position (tag).",
    (
        text("site", Site, "name", "Works; made when it is new", required=True),
        text("area", Area, "name", "Process unit; made when it is new", required=True),
        text("tag", Position, "tag", "Tag, once per site", required=True),
        text("service", Position, "service", "What the pump does here"),
        text("liquid", Position, "liquid", "Pumped liquid"),
        Column("hazards", Kind.WORDS, "Hazards of the liquid", words=v.HAZARD),
        word("criticality", v.CRITICALITY, "What a stop means; medium when blank"),
        word("sparing", v.SPARING, "Whether a spare stands beside it"),
        Column("running_share", Kind.SHARE, "Share of calendar time it runs"),
        money("stopped_cost_per_hour", "What one hour of stop costs"),
        number("flow_m3_h", "m³/h", "Flow in normal duty"),
        number("head_m", "m", "Head in normal duty"),
        number("speed_rpm", "r/min", "Shaft speed"),
        number("power_kw", "kW", "Power of the driver"),
        number("temperature_c", "°C", "Temperature of the liquid", lowest=-273.15),
        number("density_kg_m3", "kg/m³", "Density of the liquid"),
        number("bep_flow_m3_h", "m³/h", "Flow at best efficiency"),
        day("in_service_on", "Day it came into service"),
        day("out_of_service_on", "Day it went out of service for good"),
        text("spare_group", SpareGroup, "name", "Positions that spare each other"),
        number("needed_running", "", "Of the group, how many must run", 1, whole=True),
        day("records_from", "Day its log begins, where later than in_service_on"),
        text("piping_plan", DutyPeriod, "piping_plan", "Seal piping plan in force"),
    ),
)
PUMPS = Sheet(
    "pumps",
    "One row a pump at a position; a pump that moved has several rows.",
    (
        text("serial_number", Pump, "serial_number", "Of the assembly", required=True),
        text("maker", Pump, "maker", "Maker; makes the serial number unique"),
        text("design", Pump, "design", "Such as overhung end suction"),
        text("size", Pump, "size", "Maker's size or type"),
        text("casing_material", Pump, "casing_material", "Material of the casing"),
        text("tag", Position, "tag", "Where it stands or stood; blank in the store"),
        moment("placed_on", "When it came there; blank: when the tag's service began"),
        moment("removed_on", "When it left; blank: still there"),
        number("shaft_overhang_mm", "mm", "Free length of the shaft"),
        number("shaft_diameter_mm", "mm", "Shaft diameter at the seal"),
        word("assembly", v.ASSEMBLY, "What carries the serial number"),
        day("retired_on", "Day the pump was scrapped"),
        day("records_from", "Day its log begins, where that differs from the tag's"),
        text("site", Site, "name", SITE_IF_AMBIGUOUS + ", or the tag is blank"),
    ),
)
COMPONENTS = Sheet(
    "components",
    "One row a seal or bearing, from fitting to removal.",
    (
        text("serial_number", Pump, "serial_number", "Of the pump", required=True),
        word("component", v.COMPONENT, "Kind of component", required=True),
        Column(
            "location",
            Kind.TEXT,
            "Seal: single, drive end or non-drive end, with inner or outer; bearing: "
            "drive end, non-drive end, radial or thrust",
        ),
        moment("fitted_on", "When it was fitted; may be blank if beginning is unknown"),
        word("beginning", v.BEGINNING, "What is known of its first day"),
        number("age_at_entry_days", "days", "Age on fitted_on, when it was not new"),
        moment("removed_on", "When it was taken out; blank: still in"),
        word("reason_out", v.REASON_OUT, "Why it left"),
        number(
            "fitted_hours",
            "h",
            "Running-hour meter at fitting",
            highest=MOST_METER_HOURS,
        ),
        number(
            "removed_hours",
            "h",
            "Running-hour meter at removal",
            highest=MOST_METER_HOURS,
        ),
        number(
            "age_at_entry_hours",
            "h",
            "Running hours on it at fitted_on",
            highest=MOST_METER_HOURS,
        ),
        moment("started_on", "First start; blank: fitted_on stands for it"),
        moment("failed_on", "Failure as reported, or the stop; blank: removed_on"),
        Column("defect_detected", Kind.YES_NO, "Was a defect noticed before removal"),
        word("condition_found", v.CONDITION_FOUND, "Condition at inspection"),
        text("serial", FittedLife, "serial", "The component's own serial number"),
        word("condition_fitted", v.CONDITION_FITTED, "New when blank"),
        word("arrangement", v.ARRANGEMENT, "Seal arrangement as in API 682"),
        word("kind", v.SEAL_KIND, "Kind of seal"),
        text("faces", FittedLife, "faces", "Face pair of the seal"),
        text("secondary_seal", FittedLife, "secondary_seal", "Secondary seals"),
        text("piping_plan", FittedLife, "piping_plan", "Blank: that of the tag"),
        text("part_number", FittedLife, "part_number", "Part number"),
        text("designation", FittedLife, "designation", "Bearing designation"),
        text("lubrication", FittedLife, "lubrication", "Lubrication of the bearing"),
        number("dynamic_rating_kn", "kN", "Dynamic rating C of the bearing"),
        number("load_kn", "kN", "Calculated load P on the bearing"),
        text(
            "dynamic_rating_source",
            FittedLife,
            "dynamic_rating_source",
            "Where the dynamic rating is printed",
        ),
        word("flexible_element", v.FLEXIBLE_ELEMENT, "Which seal part is flexible"),
        text(
            "bearing_arrangement",
            FittedLife,
            "bearing_arrangement",
            "Such as a pair back to back",
        ),
        number("fitted_starts", "", "Start counter at fitting", whole=True),
        number("removed_starts", "", "Start counter at removal", whole=True),
        text("maker", Pump, "maker", MAKER_IF_AMBIGUOUS),
    ),
)
REPAIRS = Sheet(
    "repairs",
    "One row a repair. Imported repairs are signed by whoever imports them.",
    (
        text("repair_number", Repair, "number", "Once per site", required=True),
        text("tag", Position, "tag", "Blank: where the pump stood"),
        text("serial_number", Pump, "serial_number", "Blank: what stood at the tag"),
        moment("reported_at", "When the fault or need was reported", required=True),
        moment("stopped_at", "When the pump stopped or was taken out of service"),
        moment("returned_at", "When it was handed back"),
        word("work_class", v.CATEGORY, "Why the work was done", required=True),
        word("activity", v.ACTIVITY, "Maintenance activity, ISO 14224"),
        word("operating_state", v.OPERATING_STATE, "State of the pump at the failure"),
        word("release", v.RELEASE, "What escaped"),
        word("failure_mode", v.FAILURE_MODE, "ISO 14224; a failure needs one"),
        word("impact", v.IMPACT, "Impact on the pump's function"),
        word("item", v.ITEM, "Item that failed or was worked on first"),
        word("mechanism", v.MECHANISM, "Failure mechanism, ISO 14224"),
        word("cause", v.CAUSE, "Failure cause, ISO 14224"),
        word("detection", v.DETECTION, "How it was found, ISO 14224"),
        number("active_hours", "h", "Hours of active work", highest=MOST_HOURS),
        money("labour_cost", "Own labour"),
        money("parts_cost", "Parts"),
        money("contractor_cost", "Contractors"),
        money("lost_production_cost", "Lost production"),
        money("environment_safety_cost", "Environment and safety"),
        word("cost_status", v.COST_STATUS, "Booked when blank"),
        day("booked_on", "Day of booking; blank: hand-back, else report"),
        Column("currency", Kind.CURRENCY, "Blank: that of the site"),
        text("text", Repair, "text", "What was seen and done"),
        money("other_cost", "Other repair cost"),
        number("delay_hours", "h", "Hours of waiting", highest=MOST_HOURS),
        number("man_hours", "h", "Man-hours", highest=MOST_HOURS),
        text("site", Site, "name", SITE_IF_AMBIGUOUS),
        text("maker", Pump, "maker", MAKER_IF_AMBIGUOUS),
        *(
            text(f"{paper}_reference", Repair, f"{paper}_reference", "Number of paper")
            for paper in ("permit", "isolation", "decontamination")
        ),
    ),
)
SHEETS = {sheet.name: sheet for sheet in (POSITIONS, PUMPS, COMPONENTS, REPAIRS)}
COST_COLUMNS = {
    "labour_cost": CostKind.LABOUR,
    "parts_cost": CostKind.PARTS,
    "contractor_cost": CostKind.CONTRACTOR,
    "lost_production_cost": CostKind.LOST_PRODUCTION,
    "environment_safety_cost": CostKind.ENVIRONMENT_SAFETY,
    "other_cost": CostKind.OTHER,
}
