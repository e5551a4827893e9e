"""Vocabulary of actions: what was changed, how far it is, whether it worked."""

from django.db import models


class ChangeMade(models.TextChoices):
    """What an action or an upgrade case changes."""

    DUAL_SEAL = "dual seal", "Dual seal"
    SEAL_TYPE = "seal type", "Other seal, faces or secondary seals"
    PIPING_PLAN = "piping plan", "Other piping plan or seal support"
    BEARINGS = "bearings", "Other bearing arrangement or rating"
    LUBRICATION = "lubrication", "Lubrication or housing seals"
    POWER_END = "power end", "Stiffer shaft or power end"
    MATERIAL = "material", "Other material"
    HYDRAULIC = "hydraulic", "Duty brought nearer to best efficiency flow"
    FITTING = "fitting", "Fitting, settings and training"
    ALIGNMENT = "alignment", "Alignment, pipe strain or base"
    OPERATION = "operation", "Starting, venting or operating practice"
    OTHER = "other", "Other"


class ActionState(models.TextChoices):
    OPEN = "open", "Open"
    DONE = "done", "Done"
    JUDGED = "judged", "Judged"
    DROPPED = "dropped", "Dropped"


class Verdict(models.TextChoices):
    WORKS = "works", "Works"
    DOES_NOT = "does not", "Does not work"
    UNPROVEN = "unproven", "Unproven"
