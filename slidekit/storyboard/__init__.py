"""What the author wrote: frozen models, reading YAML with line numbers, borrowing, wording."""
