"""Reliability statistics on plain numbers: no database, no pages, no drawing."""
