"""Vocabulary of the asset register: how pumps, seals and bearings are described."""

from django.db import models


class Criticality(models.TextChoices):
    HIGH = "high", "High"
    MEDIUM = "medium", "Medium"
    LOW = "low", "Low"


class Sparing(models.TextChoices):
    NONE = "none", "None"
    INSTALLED = "installed spare", "Installed spare"


class Hazard(models.TextChoices):
    TOXIC = "toxic", "Toxic"
    FLAMMABLE = "flammable", "Flammable"
    CORROSIVE = "corrosive", "Corrosive"
    HOT = "hot", "Hot"
    COLD = "cold", "Cold"
    OXIDISING = "oxidising", "Oxidising"
    PYROPHORIC = "pyrophoric", "Pyrophoric"
    POLYMERISING = "polymerising", "Polymerising"
    CRYSTALLISING = "crystallising", "Crystallising"
    ABRASIVE = "abrasive", "Abrasive"
    ENVIRONMENT = "environment", "Harmful to the environment"


class Assembly(models.TextChoices):
    """What carries one serial number and moves between positions."""

    WHOLE = "whole pump", "Whole pump"
    BACK_PULL_OUT = "back pull-out", "Back pull-out"
    CARTRIDGE = "rotor cartridge", "Rotor cartridge"


class Mounting(models.TextChoices):
    """How the shaft is held."""

    OVERHUNG = "overhung", "Overhung impeller"
    BETWEEN = "between bearings", "Between bearings"
    VERTICAL = "vertical", "Vertical, suspended"


class ImpellerKind(models.TextChoices):
    OPEN = "open", "Open"
    SEMI_OPEN = "semi-open", "Semi-open"
    CLOSED = "closed", "Closed, with wear rings"


class Coupling(models.TextChoices):
    SHORT = "short flexible", "Short flexible"
    SPACER = "spacer", "With spacer"
    CLOSE = "close-coupled", "Close-coupled, none to align"


class VibrationCategory(models.TextChoices):
    """Category of ISO 10816-7 that a person chose for a position."""

    FIRST = "1", "I"
    SECOND = "2", "II"


class Component(models.TextChoices):
    SEAL = "seal", "Mechanical seal"
    RADIAL = "radial bearing", "Radial bearing"
    THRUST = "thrust bearing", "Thrust bearing"


BEARINGS = (Component.RADIAL, Component.THRUST)


class Location(models.TextChoices):
    """Places of seals and bearings in one pump; one component stands in each."""

    SEAL_SINGLE_INNER = "seal single inner", "Seal, single end, inner"
    SEAL_SINGLE_OUTER = "seal single outer", "Seal, single end, outer"
    SEAL_DE_INNER = "seal de inner", "Seal, drive end, inner"
    SEAL_DE_OUTER = "seal de outer", "Seal, drive end, outer"
    SEAL_NDE_INNER = "seal nde inner", "Seal, non-drive end, inner"
    SEAL_NDE_OUTER = "seal nde outer", "Seal, non-drive end, outer"
    RADIAL_DE = "radial de", "Radial bearing, drive end"
    RADIAL_NDE = "radial nde", "Radial bearing, non-drive end"
    THRUST = "thrust", "Thrust bearing"


LOCATIONS: dict[str, tuple[Location, ...]] = {
    Component.SEAL: tuple(place for place in Location if place.startswith("seal")),
    Component.RADIAL: (Location.RADIAL_DE, Location.RADIAL_NDE),
    Component.THRUST: (Location.THRUST,),
}


class Arrangement(models.IntegerChoices):
    """Seal arrangement as in API 682."""

    SINGLE = 1, "1, single"
    UNPRESSURISED = 2, "2, dual with buffer"
    PRESSURISED = 3, "3, dual with barrier"


class SealKind(models.TextChoices):
    PUSHER = "pusher", "Pusher"
    BELLOWS = "bellows", "Bellows"


class FlexibleElement(models.TextChoices):
    ROTATING = "rotating", "Rotating"
    STATIONARY = "stationary", "Stationary"


class Beginning(models.TextChoices):
    """What is known of the day a life began."""

    KNOWN = "known", "Known"
    AGE_KNOWN = "age known", "Known age at the start of records"
    UNKNOWN = "unknown", "Unknown"


class ConditionFitted(models.TextChoices):
    NEW = "new", "New"
    REFITTED = "refitted", "Refitted unopened"
    CLEANED = "cleaned", "Cleaned and refitted"
    REPAIRED = "repaired", "Repaired"
    EXCHANGED = "exchanged", "Exchange unit"


class ConditionFound(models.TextChoices):
    GOOD = "good", "Good"
    WORN = "worn", "Worn"
    REJECT = "reject", "Reject"
    NOT_INSPECTED = "not inspected", "Not inspected"


class WhyRemoved(models.TextChoices):
    DEFECT = "defect", "A defect was detected"
    PRACTICE = "practice", "Renewed as practice with other work"
    PLANNED = "planned", "Planned replacement"
    UPGRADED = "upgraded", "Upgraded to another type"
    DAMAGED = "damaged", "Damaged by another item or unit"
    RETIRED = "retired", "Pump retired"
    UNKNOWN = "unknown", "Not known"


class Ending(models.TextChoices):
    """How a life ended, derived from facts by plant.endings."""

    STILL_IN = "still in", "Still in service"
    FAILED = "failed", "Failed: removed for a detected defect"
    REJECTED = "rejected", "Rejected at inspection, no defect seen before"
    DAMAGED = "damaged", "Damaged by another item or unit"
    SOUND = "sound", "Taken out sound with other work"
    NOT_INSPECTED = "not inspected", "Taken out with other work, not inspected"
    PLANNED = "planned", "Planned replacement"
    UPGRADED = "upgraded", "Upgraded"
    RETIRED = "retired", "Pump retired"
    DEAD_ON_FITTING = "dead on fitting", "Failed before it had run"
    UNKNOWN = "unknown", "Ending not known"
