"""Cells of the repair log's tables, on the page and in the export."""
