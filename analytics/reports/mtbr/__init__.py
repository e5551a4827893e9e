"""Mean time between repairs and failures."""
