"""Printed tags of positions and pumps: their codes, sheets and what leads from them."""
