"""Forms of the repair log: what is typed, and the errors beside it."""
