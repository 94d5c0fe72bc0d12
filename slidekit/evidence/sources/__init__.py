"""What is cited and shown: works, citations of them, and statements of rights."""
