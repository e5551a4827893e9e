"""Whether repairs come faster: recurrence and trend of whole pumps."""
