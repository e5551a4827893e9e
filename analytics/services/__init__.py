"""Changes to what analytics freezes: reviews, and what was expected of an action."""
