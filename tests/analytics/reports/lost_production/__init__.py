"""Tests of lost production worked out from stoppages."""
