"""The server's side of the tablet form: what it sends, and what it takes with it."""
