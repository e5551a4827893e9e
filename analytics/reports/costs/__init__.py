"""What repairs cost: sums, tables, the page."""
