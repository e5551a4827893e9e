"""What is read at a running pump, where, and in which unit it is stored."""

from django.db import models


class Quantity(models.TextChoices):
    """Quantity of a reading; the unit stored is in UNIT_OF_QUANTITY."""

    VIBRATION = "vibration", "Vibration velocity, r.m.s."
    TEMPERATURE = "bearing temperature", "Bearing temperature"
    LEAKAGE = "seal leakage", "Seal leakage"
    FLOW = "flow", "Flow"
    HEAD = "head", "Head"
    SUCTION = "suction pressure", "Suction pressure"
    DISCHARGE = "discharge pressure", "Discharge pressure"
    POWER = "power", "Power at the motor terminals"
    SPEED = "speed", "Speed"


UNIT_OF_QUANTITY: dict[str, str] = {
    Quantity.VIBRATION: "mm/s",
    Quantity.TEMPERATURE: "°C",
    Quantity.LEAKAGE: "ml/h",
    Quantity.FLOW: "m³/h",
    Quantity.HEAD: "m",
    Quantity.SUCTION: "bar",
    Quantity.DISCHARGE: "bar",
    Quantity.POWER: "kW",
    Quantity.SPEED: "r/min",
}


class Point(models.TextChoices):
    """Where it is read; vibration in three directions at each bearing housing."""

    NONE = "", "Pump as a whole"
    DE_HORIZONTAL = "de h", "Drive end, horizontal"
    DE_VERTICAL = "de v", "Drive end, vertical"
    DE_AXIAL = "de a", "Drive end, axial"
    NDE_HORIZONTAL = "nde h", "Non-drive end, horizontal"
    NDE_VERTICAL = "nde v", "Non-drive end, vertical"
    NDE_AXIAL = "nde a", "Non-drive end, axial"
    DE_BEARING = "de", "Drive-end bearing"
    NDE_BEARING = "nde", "Non-drive-end bearing"


class RunningState(models.TextChoices):
    RUNNING = "running", "Running"
    STANDBY = "standby", "Standby"
