"""Files to frozen records: YAML facts, Markdown procedures and job files, every mistake with its place."""
