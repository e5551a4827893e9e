"""The monthly review: its figures, what changed since, its page."""
