"""The version of this program, kept beside every result that is frozen."""

VERSION = "0.2.0"
