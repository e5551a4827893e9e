"""The cost report as a workbook: summary, tables, cost lines, notes."""

from analytics.exports.cost_workbook.book import write_cost_workbook

__all__ = ["write_cost_workbook"]
