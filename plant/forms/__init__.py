"""Forms of the asset register: they check what was typed, services do the rest."""
