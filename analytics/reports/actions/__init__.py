"""Actions: what was to be expected, whether it worked, and what pays here."""
