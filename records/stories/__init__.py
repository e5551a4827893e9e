"""What one page of the repair log tells, gathered for its template."""
