"""Reads of the repair log, one module per question."""
