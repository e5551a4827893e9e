"""Views of statistics and dashboards, one module per page."""
