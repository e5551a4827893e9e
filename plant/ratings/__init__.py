"""Figures computed from the data of one pump or position; no rows, no rounding.

Each is a `Rating`: a number that carries its unit, its source and how sure the
source is. One module per subject; import from here.
"""

from plant.ratings.alignment import (
    AlignmentGrade,
    AlignmentLimit,
    short_coupling_gap_mm,
    short_coupling_offset_mm,
    spacer_angle_mrad,
    spacer_offset_mm,
)
from plant.ratings.balance import (
    BALANCE_GRADES,
    api_permissible_unbalance_g_mm,
    permissible_specific_unbalance_um,
    permissible_unbalance_g_mm,
)
from plant.ratings.bearing_life import (
    RollingElement,
    basic_rating_life_hours,
    basic_rating_life_million_rev,
    load_ratio_needed,
    pair_rating_kn,
    rating_needed_kn,
    system_rating_life_hours,
)
from plant.ratings.hydraulics import (
    hydraulic_power_kw,
    off_best_efficiency,
    pump_efficiency,
)
from plant.ratings.life_targets import LIFE_TARGETS, LifeTarget, Scope
from plant.ratings.modified_life import (
    RELIABILITY_FACTORS,
    modified_rating_life_hours,
    reliability_factor,
)
from plant.ratings.rating import Rating, RatingError, Status
from plant.ratings.shaft import (
    STIFFNESS_LIMIT_PER_INCH,
    STIFFNESS_LIMIT_PER_MM,
    shaft_deflection_mm,
    shaft_stiffness_ratio,
    shaft_stiffness_ratio_per_inch,
)
from plant.ratings.vibration import (
    VIBRATION_LIMITS,
    VibrationCategory,
    VibrationLimits,
    VibrationZone,
    ZoneResult,
    sine_rms_mm_s,
    vibration_limits,
    vibration_zone,
)

__all__ = [
    "BALANCE_GRADES",
    "LIFE_TARGETS",
    "RELIABILITY_FACTORS",
    "STIFFNESS_LIMIT_PER_INCH",
    "STIFFNESS_LIMIT_PER_MM",
    "VIBRATION_LIMITS",
    "AlignmentGrade",
    "AlignmentLimit",
    "LifeTarget",
    "Rating",
    "RatingError",
    "RollingElement",
    "Scope",
    "Status",
    "VibrationCategory",
    "VibrationLimits",
    "VibrationZone",
    "ZoneResult",
    "api_permissible_unbalance_g_mm",
    "basic_rating_life_hours",
    "basic_rating_life_million_rev",
    "hydraulic_power_kw",
    "load_ratio_needed",
    "modified_rating_life_hours",
    "off_best_efficiency",
    "pair_rating_kn",
    "permissible_specific_unbalance_um",
    "permissible_unbalance_g_mm",
    "pump_efficiency",
    "rating_needed_kn",
    "reliability_factor",
    "shaft_deflection_mm",
    "shaft_stiffness_ratio",
    "shaft_stiffness_ratio_per_inch",
    "short_coupling_gap_mm",
    "short_coupling_offset_mm",
    "sine_rms_mm_s",
    "spacer_angle_mrad",
    "spacer_offset_mm",
    "system_rating_life_hours",
    "vibration_limits",
    "vibration_zone",
]
