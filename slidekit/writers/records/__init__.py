"""What was made of what: record.json, section by section."""
