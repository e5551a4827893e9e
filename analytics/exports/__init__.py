"""Files that people take away: the same numbers as the pages, in full."""
