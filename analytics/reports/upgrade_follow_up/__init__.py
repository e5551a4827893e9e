"""Upgrade cases after their answer: what was promised, and what came of it."""
