"""Sheets to HTML and PDF, cards onto sheets of paper, and the look at what came out."""
