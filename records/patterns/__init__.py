"""What can be seen when a pump is taken apart, one module per kind of part."""
