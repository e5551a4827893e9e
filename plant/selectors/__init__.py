"""Reads of the asset register, one module per question."""
