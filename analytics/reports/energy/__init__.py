"""Efficiency of pumps against as new, and whether renewing what wore pays."""
