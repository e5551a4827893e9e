"""Tests of the fleet import."""
