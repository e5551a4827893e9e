"""Kinds of checks made on the bench and at the coupling, and how sure a limit is."""

from django.db import models


class CheckKind(models.TextChoices):
    """What is measured; the unit of each is in records.check_catalogue."""

    DEFLECTION = "shaft deflection", "Shaft deflection at the seal faces"
    LIFT = "lift test", "Radial play, lift test near the seal"
    SHAFT_RUNOUT = "shaft runout", "Shaft runout"
    SLEEVE_RUNOUT = "sleeve runout", "Sleeve runout"
    SQUARENESS = "face squareness", "Seal-chamber face squareness"
    CONCENTRICITY = "bore concentricity", "Seal-chamber bore concentricity"
    END_PLAY = "end play", "Shaft end play"
    RUNNING_CLEARANCE = "running clearance", "Impeller running clearance"
    WEAR_RING = "wear-ring clearance", "Wear-ring clearance, on the diameter"
    OFFSET = "alignment offset", "Coupling offset"
    ANGULARITY = "alignment angularity", "Coupling angularity"
    SOFT_FOOT = "soft foot", "Soft foot"
    PIPE_STRAIN = "pipe strain", "Pipe strain at the coupling"
    BALANCE = "balance", "Residual unbalance of the rotor"


class CheckStage(models.TextChoices):
    FOUND = "found", "As found"
    LEFT = "left", "As left"


class Certainty(models.TextChoices):
    """How sure the source of a limit is."""

    FOUND = "found", "Read in the source named"
    MEMORY = "memory", "Default, from memory"
    PRACTICE = "practice", "Common practice"
    SITE = "site", "Set by the site"
