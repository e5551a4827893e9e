"""The asset register's tables."""

from plant.models.acceptance_point import AcceptancePoint
from plant.models.fitted_life import Bearing, FittedLife, Seal
from plant.models.job import Job
from plant.models.position import DutyPeriod, Position, SpareGroup
from plant.models.pump import Placement, Pump
from plant.models.site import Area, Site
from plant.models.user import SHELL_USERNAME, User

__all__ = [
    "SHELL_USERNAME",
    "AcceptancePoint",
    "Area",
    "Bearing",
    "DutyPeriod",
    "FittedLife",
    "Job",
    "Placement",
    "Position",
    "Pump",
    "Seal",
    "Site",
    "SpareGroup",
    "User",
]
