"""What came of a stoppage, and which figure counts."""

from django.db import models


class Outcome(models.TextChoices):
    """Why a stoppage lost production, or did not."""

    LOSS = "loss", "Production lost"
    UNPRICED = "unpriced", "Lost hours without a stopped cost"
    COVERED = "covered", "Covered by a spare"
    ASSUMED = "assumed", "Cover assumed"
    BORNE = "borne", "Borne by another stoppage"
    BUFFER = "buffer", "Within the buffer"
    NO_SHARE = "no-share", "A stop here costs no output"
    NO_TIME = "no-time", "No time in service"
