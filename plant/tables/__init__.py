"""Rows of the register's tables, as components/data_table.html takes them."""
