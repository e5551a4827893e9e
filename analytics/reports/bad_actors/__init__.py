"""Bad actors: the rule that flags, the evidence, the page."""
