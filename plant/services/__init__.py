"""Changes to the asset register, one module per business word."""
