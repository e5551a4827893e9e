"""What each page says: one package a page, from rows to figures and tables."""
