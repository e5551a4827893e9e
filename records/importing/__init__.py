"""The fleet import: read files, check every row against everything, store at once."""
