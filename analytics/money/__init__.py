"""What failures cost and what a change pays back: plain numbers, no database."""
