"""Readings over time, with zones and warning levels."""
