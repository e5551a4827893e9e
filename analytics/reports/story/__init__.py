"""The pump's story: everything on record of one position or machine, on one page."""
