"""What an upgrade case rests on, what it brings, and the page that says so."""
