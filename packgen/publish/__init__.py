"""What to make, its files, its code, and what was issued."""
