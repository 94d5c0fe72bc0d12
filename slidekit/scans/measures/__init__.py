"""What can be measured: within an outline, along a line, and in a volume."""
