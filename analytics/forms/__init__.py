"""Filter forms of the analytics pages, sent with GET."""
