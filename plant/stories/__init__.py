"""What the page of one position or one pump tells, ready to render."""
