"""What is kept of scans from one run to the next."""
