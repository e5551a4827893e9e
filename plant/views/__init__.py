"""Pages of the asset register."""
