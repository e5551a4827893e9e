"""Failures, parts and money to expect in the next twelve months."""
