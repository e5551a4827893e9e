"""Views of the repair log, one module per page."""
