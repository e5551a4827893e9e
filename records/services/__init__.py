"""Changes to the repair log, one module per business word."""
