"""How good the records are: what is unknown, missing, open or doubtful."""
