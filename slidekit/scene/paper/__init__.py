"""What goes on paper besides panels: the script in large type, the cue sheet, the handout."""
