"""The fleet today, and the rows behind each figure."""
