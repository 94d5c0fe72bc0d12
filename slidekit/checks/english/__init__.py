"""What English sentences say of numbers, sides, marks and certainty; other languages go unread."""
