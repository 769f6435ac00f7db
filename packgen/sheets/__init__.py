"""What stands on each sheet, card and page: rows, words and figures to scale."""
