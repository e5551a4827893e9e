"""What drives life: regression on what was known at fitting."""
