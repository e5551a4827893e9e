"""Whether a thing done made a difference: pure statistics, no Django."""
